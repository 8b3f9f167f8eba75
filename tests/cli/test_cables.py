"""`cables`: text, JSON, CSV, workbook, page and paper, each read back by an outside reader; hostile names; files of others."""

import csv
import io
import json
from datetime import date
from pathlib import Path
from typing import Any

import fastjsonschema
import pdfplumber
import pytest
from python_calamine import CalamineWorkbook

from routecode.show.measure import width
from routecode.show.sheets.csv import csv_of
from routecode.show.sheets.sheet import Book, Sheet
from routecode.show.sheets.xlsx import xlsx_of
from tests.cli.asking import MILLRACE, ROOT, ask, git
from tests.hands.studios import house

FORMULAS = ("=1+1", "+1", "-1", "@SUM(A1)", " =1", "\uff1d1")
SCRIPT = "<script>alert(1)</script>"


def put(folder: Path, **other: str) -> Path:
    for name, text in house(**other).items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def valid(text: str) -> dict[str, Any]:
    document: dict[str, Any] = json.loads(text)
    name = document["schema"].split("/")[1]
    fastjsonschema.compile(json.loads((ROOT / "schemas" / f"{name}.schema.json").read_text(encoding="utf-8")))(document)
    return document


def rows_of(path: Path) -> list[list[str]]:
    return list(csv.reader(io.StringIO(path.read_bytes().decode("utf-8-sig"), newline="")))


def test_text_fits_eighty_columns_and_tells_every_number(machine: Path) -> None:
    put(machine)
    for words in ([], ["--looms"]):
        ran = ask("cables", *words)
        assert (ran.status, ran.err) == (0, "")
        assert all(width(line) <= 80 for line in ran.out.splitlines())
        for number in ("L1-4", "L99", "M1"):
            assert number in ran.out
    said = ask("cables").out
    assert "14 cables" not in said
    assert "13 cables with 20 circuits, 67 m. 2 to be made, 1 dead, 4 circuits spare" in " ".join(said.split())
    assert "M1: 4 of 12 free" in said


def test_the_example_fits_too() -> None:
    ran = ask("cables", "--in", str(MILLRACE))
    assert ran.status == 0
    assert all(width(line) <= 80 for line in ran.out.splitlines())


def test_the_pins_of_a_multipair_without_a_loom_are_where_the_schedule_says_they_are(machine: Path) -> None:
    put(machine, cables=house()["cables.toml"].replace('loom = "Rack"\n', ""))
    assert "pins of each circuit with --looms" in " ".join(ask("cables").out.split())
    told = ask("cables", "--looms").out
    assert "In no loom: 1 cable of several circuits" in told
    assert "8. Preamp A out 8, db25 (OUT, circuit 8)" in " ".join(told.split())
    ask("cables", "--looms", "--csv", "c.csv")
    rows = rows_of(machine / "c.csv")
    assert ["", "M1", "8", "Preamp A out 8", "South bay top 8", "cold", "14", "ring", "RD", ""] in rows
    ask("cables", "--html", "c.html", "--pdf", "c.pdf", "--looms")
    assert "<td>BK" in (machine / "c.html").read_text(encoding="utf-8")
    with pdfplumber.open(machine / "c.pdf") as paper:
        assert "M1 8 Preamp A out 8 South bay top 8 cold" in " ".join(
            " ".join(page.extract_text().split()) for page in paper.pages
        )


def test_json_is_valid_and_has_what_the_text_has(machine: Path) -> None:
    put(machine)
    document = valid(ask("cables", "--json").out)
    by_number = {cable["number"]: cable for cable in document["cables"]}
    assert document["revision"] == "worktree"
    assert (by_number["L1"]["metres"], by_number["L1"]["tested"], by_number["L9"]["status"]) == (
        12,
        "2026-03-01",
        "make",
    )
    assert (by_number["L99"]["lies"]["to"], by_number["L99"]["circuits"]) == ("under the north bay", [])
    first = by_number["M1"]["circuits"][0]
    assert (first["from"]["multipin"], first["from"]["plug"], first["to"]["how"]) == ("OUT", "db25", "solder")
    assert first["pins"][0] == {"carries": "hot", "from": "24", "to": "tip", "colour": "RD", "linked": None}


def test_csv_read_by_the_csv_module(machine: Path) -> None:
    put(machine)
    assert ask("cables", "--csv", "c.csv").out == "c.csv\n"
    heads, *rows = rows_of(machine / "c.csv")
    assert heads[:5] == ["number", "type", "circuit", "from", "on the cable at from"]
    assert [row[0] for row in rows].count("M1") == 8
    assert next(row for row in rows if row[0] == "L1")[-4:] == ["12", "Hall", "in", "2026-03-01"]


def test_the_loom_sheets_as_csv(machine: Path) -> None:
    put(machine)
    ask("cables", "--looms", "--csv", "c.csv")
    heads, *rows = rows_of(machine / "c.csv")
    assert heads[:3] == ["loom", "number", "circuit"]
    assert ["Rack", "M1", "8", "Preamp A out 8", "South bay top 8", "cold", "14", "ring", "RD", ""] in rows


def test_workbook_read_by_an_outside_reader(machine: Path) -> None:
    put(machine)
    ask("cables", "--xlsx", "c.xlsx")
    book = CalamineWorkbook.from_path(str(machine / "c.xlsx"))
    assert book.sheet_names == ["Cables", "Spare circuits", "Looms"]
    heads, *rows = book.get_sheet_by_name("Cables").to_python()
    first = dict(zip(heads, rows[0], strict=True))
    assert (first["number"], first["metres"], first["tested on"]) == ("L1", 12.0, date(2026, 3, 1))
    assert len(rows) == len(rows_of_json(machine))


def rows_of_json(folder: Path) -> list[Any]:
    cables = valid(ask("cables", "--in", str(folder), "--json").out)["cables"]
    return [circuit for cable in cables for circuit in cable["circuits"] or [cable]]


def test_same_input_same_bytes(machine: Path) -> None:
    put(machine)
    forms = ("csv", "xlsx", "html", "pdf")
    for name in ("a", "b"):
        assert ask("cables", *(word for form in forms for word in (f"--{form}", f"{name}.{form}"))).status == 0
    for form in forms:
        assert (machine / f"a.{form}").read_bytes() == (machine / f"b.{form}").read_bytes()


def test_page_is_whole_and_runs_nothing(machine: Path) -> None:
    put(machine, cables=house()["cables.toml"].replace('loom = "Rack"', f'loom = "{SCRIPT}"'))
    ask("cables", "--html", "c.html")
    page = (machine / "c.html").read_text(encoding="utf-8")
    assert "default-src 'none'; style-src 'sha256-" in page
    assert SCRIPT not in page
    assert "&lt;script&gt;" in page
    assert "http" not in page.replace("http-equiv", "")


def test_paper_has_every_number_and_the_cautions(machine: Path) -> None:
    put(machine)
    ask("cables", "--pdf", "c.pdf")
    with pdfplumber.open(machine / "c.pdf") as paper:
        text = " ".join(" ".join(page.extract_text().split()) for page in paper.pages)
    for words in ("L1", "L99", "M1", "Preamp A out 8", "Never lift a mains earth", "worktree"):
        assert words in text


# -- hostile names -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", FORMULAS)
def test_a_name_is_never_a_formula(machine: Path, name: str) -> None:
    sheet = Sheet("x", ("a", "b"), ((name, -3.5),))
    (_, row) = list(csv.reader(io.StringIO(csv_of(sheet).decode("utf-8-sig"), newline="")))
    assert row == [f"'{name}", "-3.5"]
    path = machine / "x.xlsx"
    path.write_bytes(xlsx_of(Book("m", "t", "c", (sheet,))))
    assert CalamineWorkbook.from_path(str(path)).get_sheet_by_index(0).to_python()[1] == [name, -3.5]
    assert b"<f>" not in unzipped(path)


def unzipped(path: Path) -> bytes:
    from zipfile import ZipFile

    with ZipFile(path) as archive:
        return b"".join(archive.read(name) for name in archive.namelist())


@pytest.mark.parametrize("sign", ["\x1b[31m", "\u202e", "\x00", "\t=1", "\r\n=1", "a\nb"])
def test_what_moves_or_hides_text_is_shown_as_what_it_is(machine: Path, sign: str) -> None:
    sheet = Sheet(f"s{sign}[]:*?/\\", ("a",), ((f"x{sign}y",), (sign,)))
    data = csv_of(sheet).decode("utf-8-sig")
    for char in "\x1b\u202e\x00\t":
        assert char not in data
    rows = list(csv.reader(io.StringIO(data, newline="")))
    assert [len(row) for row in rows] == [1, 1, 1]
    path = machine / "x.xlsx"
    path.write_bytes(xlsx_of(Book(sign, sign, sign, (sheet, sheet))))
    book = CalamineWorkbook.from_path(str(path))
    assert len(set(book.sheet_names)) == 2
    assert book.get_sheet_by_index(0).to_python()[1] == rows[1]


def test_names_of_a_studio_stay_names_everywhere(machine: Path) -> None:
    bad = house()["units.toml"].replace('title = "Preamp A"', f'title = "=HYPERLINK({SCRIPT})"')
    cables = house()["cables.toml"].replace('number = "M1"', 'number = "=M1"')
    put(machine, units=bad, cables=cables)
    assert ask("cables", "--csv", "c.csv", "--xlsx", "c.xlsx", "--html", "c.html", "--pdf", "c.pdf").status == 0
    cells = [cell for row in rows_of(machine / "c.csv") for cell in row]
    assert not [cell for cell in cells if cell.startswith(("=", "+", "-", "@"))]
    assert "'=M1" in cells
    assert b"<f>" not in unzipped(machine / "c.xlsx")
    assert SCRIPT not in (machine / "c.html").read_text(encoding="utf-8")


# -- files and requests --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("form", ["csv", "xlsx", "html", "pdf"])
def test_a_file_of_others_is_not_replaced_unless_forced(machine: Path, form: str) -> None:
    put(machine)
    path = machine / f"mine.{form}"
    path.write_text("mine", encoding="utf-8")
    ran = ask("cables", f"--{form}", path.name, *(["--csv", "other.csv"] if form != "csv" else []))
    assert ran.status == 2
    assert "--force" in ran.err
    assert path.read_text(encoding="utf-8") == "mine"
    assert not (machine / "other.csv").exists()
    assert ask("cables", f"--{form}", path.name, "--force").status == 0
    assert path.read_bytes() != b"mine"


@pytest.mark.parametrize("form", ["csv", "html", "pdf"])
def test_its_own_files_are_replaced(machine: Path, form: str) -> None:
    put(machine)
    for _ in range(2):
        assert ask("cables", f"--{form}", f"c.{form}").status == 0


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--csv", "a", "--json"], "Choose one of --json and --csv."),
        (["--csv", "a", "--xlsx", "a"], "Two of the files have the same name."),
        (["--csv", "no/such/folder/c.csv"], "could not be written"),
        (["--csv", "c.pdf"], '--csv writes CSV; the name "c.pdf" says otherwise. Do: Write --csv c.csv'),
        (["--pdf", "cables.toml", "--force"], "Write --pdf cables.pdf"),
        (["-o", "c.txt"], 'The name "c.txt" does not say which format. Do: End it with .csv, .xlsx, .html or .pdf'),
        (["-o", "a.csv", "-o", "b.csv"], "Two files are CSV; name one."),
        (["-o", "a.csv", "--json"], "Choose one of --json and --csv."),
        (["--csv", "-", "--pdf", "c.pdf"], "Only one file can go to stdout"),
        (["2..1"], "routecode parts 2..1"),
        (["--loom"], "--looms"),
        (["nothing-like-it"], "git"),
    ],
)
def test_requests_that_cannot_be_met(machine: Path, words: list[str], said: str) -> None:
    put(machine)
    ran = ask("cables", *words)
    assert ran.status == 2
    assert said in " ".join((ran.out + ran.err).split())
    assert "Traceback" not in ran.err
    assert {path.suffix for path in machine.iterdir() if path.is_file()} == {".toml"}


def test_one_file_may_go_to_stdout(machine: Path) -> None:
    put(machine)
    ran = ask("cables", "--csv", "-")
    assert ask("cables", "--csv", "c.csv").status == 0
    assert (ran.status, ran.err) == (0, "")
    assert ran.out.encode() == (machine / "c.csv").read_bytes()
    assert not (machine / "-").exists()


def test_the_ending_of_a_name_may_say_the_form(machine: Path) -> None:
    """`-o` as with every other command that writes a file."""
    put(machine)
    ran = ask("cables", "-o", "a.csv", "--output", "a.PDF")
    assert (ran.status, sorted(ran.out.split())) == (0, ["a.PDF", "a.csv"])
    assert ask("cables", "--csv", "b.csv").status == 0
    assert (machine / "a.csv").read_bytes() == (machine / "b.csv").read_bytes()
    assert (machine / "a.PDF").read_bytes().startswith(b"%PDF")
    assert ask("parts", "-o", "p.html").out == "p.html\n"


def test_wiring_is_never_replaced(machine: Path) -> None:
    """Not even with --force: `labels` takes names of any ending together with --format."""
    put(machine)
    before = (machine / "cables.toml").read_bytes()
    ran = ask("labels", "--flags", "-o", "cables.toml", "--format", "pdf", "--force")
    assert ran.status == 2
    assert 'The file "cables.toml" holds wiring' in " ".join(ran.err.split())
    assert (machine / "cables.toml").read_bytes() == before


def test_a_file_of_others_is_told_without_options_that_there_are_not(machine: Path) -> None:
    put(machine)
    (machine / "c.csv").write_text("mine", encoding="utf-8")
    said = " ".join(ask("cables", "--csv", "c.csv").err.split())
    assert "Do: Choose another name, or say --force." in said


def test_signs_that_the_fonts_lack_are_told_in_lines_that_fit(machine: Path) -> None:
    names = house()["units.toml"].replace('title = "Preamp A"', 'title = "\u97f3\u58f0\u5165\u529b\u88c5\u7f6e"')
    put(machine, units=names)
    ran = ask("cables", "--pdf", "c.pdf")
    assert (ran.status, ran.out) == (0, "c.pdf\n")
    assert "The fonts of the paper lack U+5165" in ran.err
    assert all(width(line) <= 80 for line in ran.err.splitlines())
    assert len([line for line in ran.err.splitlines() if "lack" in line]) <= 8


def test_a_very_long_number_has_lines_of_its_own(machine: Path) -> None:
    long = "-".join(["LONG"] * 30)
    put(machine, cables=house()["cables.toml"].replace('number = "M1"', f'number = "{long}"'))
    ran = ask("cables")
    assert all(width(line) <= 80 for line in ran.out.splitlines())
    assert long in ran.out.replace("\n", "")


def test_an_older_revision(machine: Path) -> None:
    put(machine)
    git(machine, "init", "-q")
    git(machine, "add", "-A")
    git(machine, "commit", "-q", "-m", "As it is")
    text = (machine / "cables.toml").read_text(encoding="utf-8")
    (machine / "cables.toml").write_text(text.replace('number = "M1"', 'number = "M9"'), encoding="utf-8")
    assert "M9" in ask("cables").out
    assert "M9" not in ask("cables", "last").out
    assert '"As it is"' in ask("cables", "last").out
