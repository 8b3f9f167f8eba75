"""`parts`: text, JSON, files; a revision and the way between two; sums and prices as a person reads them."""

import csv
import io
from pathlib import Path

import pytest
from python_calamine import CalamineWorkbook

from routecode.show.measure import width
from tests.cli.asking import MILLRACE, ask, git, small
from tests.cli.test_cables import put, valid
from tests.hands.test_parts import PRICES

OWNED = """
[cord_type.short]
title = "Short cord"
ends = ["bantam", "bantam"]
metres = 0.3
own = 1
part = "cord"
[part.cord]
title = "Cord, 30 cm"
kind = "other"
price = 1450
group = "Cords"
[setup.take]
title = "Drum take"
[[setup.take.cord]]
from = "south/top 1..3"
to = "south/bottom 4..6"
[[setup.take.cord]]
from = "south/top 5"
to = "north/bottom 9"
"""
NEW = '\n[[cable]]\nnumber = "L20"\nfrom = "north/bottom 5"\nto = "pre-a/mic 5"\ntype = "pair"\nmetres = 30\n'


def recorded(folder: Path) -> Path:
    """Two commits: the house, and one more cable."""
    put(folder, prices=PRICES, owned=OWNED)
    git(folder, "init", "-q")
    git(folder, "add", "-A")
    git(folder, "commit", "-q", "-m", "As it is")
    with (folder / "cables.toml").open("a", encoding="utf-8") as file:
        file.write(NEW)
    git(folder, "commit", "-qam", "One more line")
    return folder


def words_of(text: str) -> str:
    return " ".join(text.split())


def test_what_a_revision_contains(machine: Path) -> None:
    put(machine, prices=PRICES, owned=OWNED)
    ran = ask("parts")
    assert (ran.status, ran.err) == (0, "")
    assert all(width(line) <= 80 for line in ran.out.splitlines())
    said = words_of(ran.out)
    assert "rears, set of 10 64 pc 2 sets 11.20" in said
    assert "Plug with pins 6 2 1 1 2.50 2.50" in said
    assert "Cord, 30 cm 1 2 2 1,450.00 2,900.00" in said
    assert "Those with a price: 2,902.50." in said
    assert "1 part to order has no price." in said
    worth = 6 * 2.5 + 7 * 11.2 + 62 * 0.8 + 1450  # six plugs, 64 rear connectors in sets of ten, 62 m of pair, one cord
    assert f"All that it contains, at these prices: {worth:,.2f}; 4 parts in it have no price." in said
    assert "Drum take: 4 cords; 2 bantam to bantam missing (too few are owned); 1 bantam to pin missing" in said
    assert "2 cables without a type; write `type`." in said


def test_what_is_bought_by_the_set_says_so_with_each_figure(machine: Path) -> None:
    recorded(machine)
    bays = machine / "bays.toml"
    bays.write_text(bays.read_text(encoding="utf-8").replace("columns = 32", "columns = 48"), encoding="utf-8")
    ran = ask("parts", "last..worktree", "--csv", "parts.csv")
    assert ran.status == 0
    said = words_of(ask("parts", "last..worktree").out)
    assert "rears, set of 10 96 pc 32 pc 2 sets 2 sets 11.20 22.40" in said
    rows = list(csv.DictReader(io.StringIO((machine / "parts.csv").read_text(encoding="utf-8-sig"))))
    (rears,) = [row for row in rows if row["part"] == "rears"]
    assert rears["unit"] == "piece; stock, order and price: set of 10"
    assert (rears["needs"], rears["to order"]) == ("32", "2")


def test_a_cable_that_is_written_longer_is_told_as_a_corrected_record(machine: Path) -> None:
    recorded(machine)
    cables = machine / "cables.toml"
    cables.write_text(cables.read_text(encoding="utf-8").replace("metres = 30", "metres = 31"), encoding="utf-8")
    said = words_of(ask("parts", "last..worktree").out)
    assert "Pair, by the metre" not in said
    assert "taken as a corrected record, since number and ends stay: L20 (31 m, before 30)." in said
    assert "Nothing for the hands" in ask("jobsheet").out


def test_the_example_fits_too() -> None:
    ran = ask("parts", "--in", str(MILLRACE))
    assert ran.status == 0
    assert all(width(line) <= 80 for line in ran.out.splitlines())
    rear = [
        line["contains"]
        for line in valid(ask("parts", "--in", str(MILLRACE), "--json").out)["parts"]
        if line["kind"] == "rear"
    ]
    assert sum(rear) == 64  # the north bay: 32 columns with removable parts


def test_what_a_change_needs(machine: Path) -> None:
    recorded(machine)
    ran = ask("parts", "2..1")
    assert (ran.status, ran.err) == (0, "")
    assert all(width(line) <= 80 for line in ran.out.splitlines())
    said = words_of(ran.out)
    assert '"As it is"' in said
    assert '"One more line"' in said
    assert "Pair, by the metre, m 92 33.5 20 14 0.80 11.20" in said
    assert "rears" not in said  # nothing of the bays comes or goes
    assert "Cable that is needed is told with an allowance: 10 % and 0.5 m for each length." in said  # 33.5 for 30 m
    assert "allowance" not in ask("parts", "1..2").out
    back = words_of(ask("parts", "1..2").out)
    assert "Plug with pins 6 1 1 2.50" in back


def test_what_the_files_as_they_are_now_need(machine: Path) -> None:
    recorded(machine)
    with (machine / "cables.toml").open("a", encoding="utf-8") as file:
        file.write(NEW.replace("L20", "L21").replace("5", "6", 1).replace("mic/5", "mic/6").replace("mic 5", "mic 6"))
    document = valid(ask("parts", "last..worktree", "--json").out)
    assert (document["before"], document["revision"]) == (git(machine, "rev-parse", "HEAD"), "worktree")
    pair = next(line for line in document["parts"] if line["kind"] == "cable" and line["needs"])
    assert pair["needs"] == 33.5  # 30 m, a tenth more, and half a metre
    said = words_of(ask("parts", "..worktree").out)
    assert "to the files as they are now" in said


def test_json_is_valid(machine: Path) -> None:
    recorded(machine)
    one, two = (valid(ask("parts", *words, "--json").out) for words in ([], ["2..1"]))
    assert (one["before"], one["revision"]) == (None, "worktree")
    assert (two["before"], two["revision"]) == (git(machine, "rev-parse", "HEAD~1"), git(machine, "rev-parse", "HEAD"))
    plug = next(line for line in two["parts"] if line["part"] == "plug-f")
    assert (plug["kind"], plug["needs"], plug["order"], plug["price"]) == ("plug", 1, 0, 2.5)
    assert two["cost"] == sum(group["cost"] for group in two["groups"])
    (setup,) = two["setups"]
    assert [(short["ends"], short["number"], short["why"]) for short in setup["short"]] == [
        (["bantam", "bantam"], 2, "number"),
        (["bantam", "pin"], 1, "none"),
    ]


def test_files_read_by_outside_readers(machine: Path) -> None:
    put(machine, prices=PRICES, owned=OWNED)
    forms = ("csv", "xlsx", "html", "pdf")
    assert ask("parts", *(word for form in forms for word in (f"--{form}", f"p.{form}"))).status == 0
    heads, *rows = csv.reader(io.StringIO((machine / "p.csv").read_bytes().decode("utf-8-sig"), newline=""))
    by_name = {row[1]: dict(zip(heads, row, strict=True)) for row in rows}
    assert by_name["Cord, 30 cm"]["cost"] == "2900.00"
    book = CalamineWorkbook.from_path(str(machine / "p.xlsx"))
    assert book.sheet_names == ["Parts", "Sums by group", "Cords", "Not counted"]
    sheet = book.get_sheet_by_name("Sums by group").to_python()
    assert ["Cords", 2900.0, 1450.0, "1 part to order without a price"] in sheet
    assert (machine / "p.pdf").read_bytes().startswith(b"%PDF")
    assert "Cord, 30 cm" in (machine / "p.html").read_text(encoding="utf-8")


def test_how_many_are_missing_is_not_told_where_it_is_not_known(machine: Path) -> None:
    put(machine, owned=OWNED.replace("own = 1\n", ""))
    assert ask("parts", "--xlsx", "p.xlsx").status == 0
    rows = CalamineWorkbook.from_path(str(machine / "p.xlsx")).get_sheet_by_name("Cords").to_python()
    missing = {row[-1]: row[2] for row in rows[1:]}
    assert missing == {"how many are owned is not said": "", "none of these is owned": 1}


def test_what_is_none_is_an_empty_cell(machine: Path) -> None:
    put(machine, prices=PRICES, owned=OWNED)
    assert ask("parts", "--csv", "p.csv").status == 0
    heads, *rows = csv.reader(io.StringIO((machine / "p.csv").read_bytes().decode("utf-8-sig"), newline=""))
    by_name = {row[1]: dict(zip(heads, row, strict=True)) for row in rows}
    assert all(row[heads.index("set free")] == "" for row in rows)  # nothing comes off where nothing is compared
    told = by_name["rears"]
    assert (told["contains"], told["needs"], told["to order"], told["cost"]) == ("64", "", "", "")


def test_plugs_that_the_wiring_does_not_say_are_told_as_that(machine: Path) -> None:
    small(machine)  # its bay says no contact
    with (machine / "setups.toml").open("a", encoding="utf-8") as file:
        file.write('\n[cord_type.short]\nends = "bantam"\nown = 4\n')
    said = words_of(ask("parts").out)
    assert "?" not in said
    assert "2 with plugs that are not written missing (none of these is owned)" in said
    assert "cord, a plug that is not written to a plug that is not written" in ask("parts", "--csv", "-").out


@pytest.mark.parametrize(
    ("words", "said"),
    [(["2...1"], "two dots"), (["9..1"], "9"), (["lst"], "Did you mean last?"), (["--cvs", "x"], "--csv")],
)
def test_mistyped_requests(machine: Path, words: list[str], said: str) -> None:
    recorded(machine)
    ran = ask("parts", *words)
    assert ran.status == 2
    assert said in words_of(ran.err)
    assert "Traceback" not in ran.err


def test_a_part_for_the_same_thing_twice_is_told_with_its_place(machine: Path) -> None:
    put(machine, prices=PRICES + '[part.other]\nfits = "rca"\n')
    ran = ask("parts")
    assert ran.status == 2
    said = words_of(ran.err)
    assert "Two parts are the plug for `rca`: plug-f and other." in said or "other and plug-f" in said
    assert "prices.toml:" in said
