"""`labels`: what is asked, what is written and told, and what stands in the way; two revisions in git."""

import json
from pathlib import Path

import fastjsonschema
import pytest

from tests.cli.asking import ROOT, ask, change, git, small
from tests.show.paper_reading import pages, signs

PITCH = 'title = "Main bay"\npitch_mm = 12.7\n'


@pytest.fixture
def studio(machine: Path) -> Path:
    """The starter studio, its bay with a pitch, with one commit."""
    small(machine)
    change(machine / "bays" / "main.toml", 'title = "Main bay"\n', PITCH)
    git(machine, "init", "--quiet", ".")
    git(machine, "add", "--all")
    git(machine, "commit", "--quiet", "-m", "As it is")
    return machine


def text_of(path: Path) -> str:
    return "".join(map(signs, pages(path.read_bytes())))


def flat(text: str) -> str:
    return " ".join(text.split())


def test_a_pdf_is_written_and_its_name_told(studio: Path) -> None:
    ran = ask("labels")
    assert (ran.status, ran.out) == (0, "labels.pdf\n"), ran.err
    assert "Mainbay,fromthefront" in text_of(studio / "labels.pdf")
    assert "worktree" in text_of(studio / "labels.pdf")
    assert "page1of1" in text_of(studio / "labels.pdf")


def test_a_revision_is_named_on_the_sheet_by_its_whole_id(studio: Path) -> None:
    assert ask("labels", "last", "-o", "at.pdf").status == 0
    assert git(studio, "rev-parse", "HEAD") in text_of(studio / "at.pdf")
    assert "2026-03-01" in text_of(studio / "at.pdf")


def test_from_behind_and_letter(studio: Path) -> None:
    assert ask("labels", "--rear", "--paper", "letter", "-o", "rear.pdf").status == 0
    page = pages((studio / "rear.pdf").read_bytes())[0]
    assert (float(page.width), float(page.height)) == (792, 612)
    assert "frombehind,column1ontheright" in signs(page)


def test_svg_has_a_file_a_sheet(studio: Path) -> None:
    change(studio / "bays" / "main.toml", "pitch_mm = 12.7", "pitch_mm = 12.7\nstrip_mm = 60")
    ran = ask("labels", "-o", "l.svg")
    assert (ran.status, ran.out) == (0, "l.svg\n"), ran.err
    change(studio / "bays" / "main.toml", "pitch_mm = 12.7", "pitch_mm = 127")
    ran = ask("labels", "-o", "m.svg")
    names = ran.out.split()
    assert names[:2] == ["m-1.svg", "m-2.svg"]
    assert all((studio / name).read_text(encoding="utf-8").startswith("<?xml") for name in names)


def test_json_is_valid_and_writes_no_file_unasked(studio: Path) -> None:
    ran = ask("labels", "--json")
    assert ran.status == 0
    document = json.loads(ran.out)
    schema = json.loads((ROOT / "schemas" / "labels.schema.json").read_text(encoding="utf-8"))
    fastjsonschema.compile(schema)(document)
    (strip,) = document["strips"]
    assert (strip["bay"], strip["columns"][1]["left_mm"]) == ("main", 12.7)
    assert not (studio / "labels.pdf").exists()
    ran = ask("labels", "--flags", "--json", "-o", "f.pdf")
    document = json.loads(ran.out)
    fastjsonschema.compile(schema)(document)
    assert document["strips"] == []
    assert "f.pdf" in ran.err or document["flags"] == []


def test_of_two_revisions_only_what_differs(studio: Path) -> None:
    ran = ask("labels", "last..last", "-o", "none.pdf")
    assert (ran.status, ran.out) == (0, "No label differs; no file is written.\n")
    assert not (studio / "none.pdf").exists()
    with (studio / "bays" / "main.toml").open("a", encoding="utf-8") as file:
        file.write('\n[[bay.main.column]]\nat = 1\nlabel_top = "Choir"\n')
    git(studio, "add", "--all")
    git(studio, "commit", "--quiet", "-m", "Another label")
    assert ask("labels", "last~1..last", "-o", "d.pdf").status == 0
    assert "Choir" in text_of(studio / "d.pdf")
    assert "onlywhatdiffersfrom" in text_of(studio / "d.pdf")
    document = json.loads(ask("labels", "last~1..last", "--json").out)
    assert document["before"] == git(studio, "rev-parse", "HEAD~1")


def test_the_same_bytes_twice(studio: Path) -> None:
    for name in ("a.pdf", "b.pdf"):
        assert ask("labels", "-o", name).status == 0
    assert (studio / "a.pdf").read_bytes() == (studio / "b.pdf").read_bytes()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("--bay mian", "There is no bay mian. Do: Did you mean `main`?"),
        ("--ruler-measured 80", "A ruler of 100 mm that measures 80 mm is not a matter of scale."),
        ("--ruler-measured nan", "A ruler of 100 mm that measures nan mm is not a matter of scale."),
        ("--ruler-measured wide", '--ruler-measured: "wide" is not a number.'),
        ("--smallest 1", "Type of 1 points is not for a label strip. "),
        ("--flags --rear", "Flags are for cables"),
        ("--flags --bay main", "Flags are for cables"),
        ("--paper a5", "--paper takes one of: a4, letter."),
        ("-o labels.png", "does not say which format"),
        ("-o labels", "does not say which format"),
        ("-o labels.svg --format pdf", "says another format than --format pdf. Do: Write -o labels.pdf"),
        ("--fags", "Did you mean --flags?"),
        ("nowhere", "nowhere"),
        ("last...last", "with two dots"),
        ("-o nowhere/labels.pdf", "could not be written"),
    ],
)
def test_mistakes_are_told_with_what_to_do(studio: Path, words: str, told: str) -> None:
    ran = ask("labels", *words.split())
    assert (ran.status, ran.out) == (2, "")
    assert told.strip() in flat(ran.err)
    assert "Traceback" not in ran.err
    assert list(studio.glob("*.pdf")) == []


def test_a_ruler_may_be_read_with_a_comma(studio: Path) -> None:
    for name, measured in (("a.pdf", "99,4"), ("b.pdf", "99.4"), ("c.pdf", "100")):
        assert ask("labels", "--ruler-measured", measured, "-o", name).status == 0
    read = [(studio / name).read_bytes() for name in ("a.pdf", "b.pdf", "c.pdf")]
    assert read[0] == read[1] != read[2]


def test_a_label_that_is_not_recorded_yet_is_on_the_sheet_of_what_changed(studio: Path) -> None:
    assert ask("labels", "last..worktree").out == "No label differs; no file is written.\n"
    with (studio / "bays" / "main.toml").open("a", encoding="utf-8") as file:
        file.write('\n[[bay.main.column]]\nat = 1\nlabel_top = "Kettle"\n')
    for words in ("last..worktree", "..worktree"):
        ran = ask("labels", words, "-o", "new.pdf")
        assert (ran.status, ran.out) == (0, "new.pdf\n"), ran.err
        assert "Kettle" in text_of(studio / "new.pdf")
    assert "thefilesastheyarenow;onlywhatdiffersfrom" in text_of(studio / "new.pdf")
    assert ask("labels", "last..").out == "No label differs; no file is written.\n"
    assert "with two dots" in flat(ask("labels", "last...worktree").err)


def test_a_single_sheet_goes_to_stdout(studio: Path) -> None:
    change(studio / "bays" / "main.toml", "pitch_mm = 12.7", "pitch_mm = 8.89")
    ran = ask("labels", "-o", "-", "--format", "svg", "--smallest", "3")
    assert (ran.status, ran.err) == (0, "")
    assert ask("labels", "-o", "x.svg", "--smallest", "3").out == "x.svg\n"
    assert ran.out.encode() == (studio / "x.svg").read_bytes()
    ran = ask("labels", "last..last", "-o", "-")
    assert (ran.status, ran.out, ran.err) == (0, "", "No label differs; no file is written.\n")
    change(studio / "bays" / "main.toml", "pitch_mm = 8.89", "pitch_mm = 127")
    ran = ask("labels", "-o", "-", "--format", "svg")
    assert (ran.status, ran.out) == (2, "")
    assert "sheets, and SVG has one file a sheet: they do not go to stdout." in flat(ran.err)
    assert not (studio / "-").exists()


def test_a_bay_without_a_pitch_is_refused_alone_and_left_out_beside_others(studio: Path) -> None:
    with (studio / "bays" / "main.toml").open("a", encoding="utf-8") as file:
        file.write('\n[bay.other]\ntitle = "Other bay"\ncolumns = 8\n')
    ran = ask("labels")
    assert (ran.status, ran.out) == (0, "labels.pdf\n")
    assert "Other bay does not say how far apart its columns are" in flat(ran.err)
    assert "It is left out." in flat(ran.err)
    ran = ask("labels", "--bay", "other", "-o", "o.pdf")
    assert ran.status == 2
    assert "bays/main.toml:" in ran.err
    assert "pitch_mm = ..." in flat(ran.err)


def test_a_studio_without_bays(machine: Path) -> None:
    (machine / "studio.toml").write_text("[studio]\nlanguage = 1\n", encoding="utf-8")
    ran = ask("labels")
    assert ran.status == 2
    assert "has no bays" in ran.err
    ran = ask("labels", "--flags")
    assert (ran.status, ran.out) == (0, "There is nothing to print; no file is written.\n")


def test_a_file_of_others_is_not_replaced_unasked(studio: Path) -> None:
    (studio / "labels.pdf").write_bytes(b"%PDF-1.4 someone's")
    ran = ask("labels")
    assert ran.status == 2
    assert "that this program did not write" in flat(ran.err)
    assert (studio / "labels.pdf").read_bytes() == b"%PDF-1.4 someone's"
    assert ask("labels", "--force").status == 0
    assert ask("labels").status == 0, "our own file is replaced"


def test_a_sign_that_the_fonts_lack_is_told(studio: Path) -> None:
    with (studio / "bays" / "main.toml").open("a", encoding="utf-8") as file:
        file.write('\n[[bay.main.column]]\nat = 1\nlabel_top = "漢"\n')
    ran = ask("labels")
    assert ran.status == 0
    assert 'lack U+6F22 of "漢"' in flat(ran.err)
    assert "6F22" in text_of(studio / "labels.pdf")


def test_a_mistake_in_the_wiring_is_told_as_everywhere(studio: Path) -> None:
    (studio / "studio.toml").write_text("[studio\n", encoding="utf-8")
    ran = ask("labels")
    assert ran.status == 2
    assert "studio.toml:" in ran.err
