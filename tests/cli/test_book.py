"""`book`: what is asked, what is written and told, and what stands in the way; a revision in git."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.asking import ROOT, ask, git, small
from tests.show.paper_reading import pages, signs


@pytest.fixture
def studio(machine: Path) -> Path:
    """The starter studio with one commit."""
    small(machine)
    git(machine, "init", "--quiet", ".")
    git(machine, "add", "--all")
    git(machine, "commit", "--quiet", "-m", "As it is")
    return machine


def text_of(path: Path) -> str:
    return "".join(map(signs, pages(path.read_bytes())))


def flat(text: str) -> str:
    return " ".join(text.split())


def test_a_book_is_written_and_its_name_told(studio: Path) -> None:
    ran = ask("book")
    assert (ran.status, ran.out) == (0, "book.pdf\n"), ran.err
    found = pages((studio / "book.pdf").read_bytes())
    assert ran.err == f"{len(found)} pages.\n"
    assert all("worktree" in signs(page) for page in found)


def test_a_revision_has_its_whole_id_title_and_day_on_every_page(studio: Path) -> None:
    assert ask("book", "last", "-o", "at.pdf").status == 0
    for page in pages((studio / "at.pdf").read_bytes()):
        assert git(studio, "rev-parse", "HEAD") in signs(page)
        assert "2026-03-01" in signs(page)
    assert '"Asitis"' in signs(pages((studio / "at.pdf").read_bytes())[0])


def test_what_was_changed_since_is_not_in_the_book_of_a_revision(studio: Path) -> None:
    with (studio / "studio.toml").open("a", encoding="utf-8") as file:
        file.write('\n[room.attic]\ntitle = "Pigeon loft"\n[unit.new]\ntitle = "Coo box"\nroom = "attic"\n')
        file.write('port = [{ name = "out", direction = "out", signal = "line" }]\n')
    assert ask("book", "-o", "now.pdf").status == 0
    assert ask("book", "last", "-o", "then.pdf").status == 0
    assert "Coobox" in text_of(studio / "now.pdf")
    assert "Coobox" not in text_of(studio / "then.pdf")


def test_letter(studio: Path) -> None:
    assert ask("book", "--paper", "letter").status == 0
    page = pages((studio / "book.pdf").read_bytes())[0]
    assert (float(page.width), float(page.height)) == (792, 612)


def test_the_same_bytes_twice(studio: Path) -> None:
    for name in ("a.pdf", "b.pdf"):
        assert ask("book", "last", "-o", name).status == 0
    assert (studio / "a.pdf").read_bytes() == (studio / "b.pdf").read_bytes()


def test_what_is_left_out_is_told(studio: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("routecode.show.book_faces.MOST_PICTURES", 1)
    ran = ask("book")
    assert ran.status == 0
    assert "Left out: 2 pictures of the face of Main bay: a book shows" in flat(ran.err)
    assert "picturesoffaces.Drawitwith" in signs(pages((studio / "book.pdf").read_bytes())[0])


def test_without_graphviz_the_book_is_made_without_drawings(studio: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("routecode.cli.draw.find_engine", lambda _setting: None)
    ran = ask("book")
    assert ran.status == 0
    assert "there is no graphviz here" in flat(ran.err)
    assert "nographvizhere" in text_of(studio / "book.pdf")


def test_without_the_writer_of_pdf_it_is_said_what_to_install(studio: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(__import__("sys").modules, "reportlab.pdfgen.canvas", None)
    ran = ask("book")
    assert ran.status == 2
    assert "pip install reportlab" in ran.err
    assert not (studio / "book.pdf").exists()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (
            "last..last",
            "A book is of one revision, not of two. Do: Name one; what differs between two: routecode review",
        ),
        ("--paper a5", "--paper takes one of: a4, letter."),
        ("-o book.html", 'the name "book.html" says otherwise. Do: Write -o book.pdf'),
        ("-o book", "Do: Write -o book.pdf"),
        ("-o studio.toml --force", "Do: Write -o studio.pdf"),
        ("-o nowhere/book.pdf", "could not be written"),
        ("--papr letter", "Did you mean --paper?"),
        ("lst", "lst"),
        ("--dot nothing-such", "There is no program nothing-such."),
    ],
)
def test_mistakes_are_told_with_what_to_do(studio: Path, words: str, told: str) -> None:
    ran = ask("book", *words.split())
    assert (ran.status, ran.out) == (2, "")
    assert told in flat(ran.err)
    assert "Traceback" not in ran.err
    assert list(studio.glob("*.pdf")) == []


def test_a_file_of_others_is_not_replaced_unasked(studio: Path) -> None:
    (studio / "book.pdf").write_bytes(b"%PDF-1.4 someone's")
    ran = ask("book")
    assert ran.status == 2
    assert "that this program did not write" in flat(ran.err)
    assert (studio / "book.pdf").read_bytes() == b"%PDF-1.4 someone's"
    assert ask("book", "--force").status == 0
    assert ask("book").status == 0, "our own file is replaced"


def test_the_book_goes_to_stdout(studio: Path) -> None:
    command = [sys.executable, "-m", "routecode", "book", "-o", "-"]
    done = subprocess.run(
        command, cwd=studio, env={**os.environ, "PYTHONPATH": str(ROOT)}, capture_output=True, check=False
    )
    assert done.returncode == 0
    assert done.stderr.endswith(b" pages.\n")
    assert ask("book").status == 0
    assert done.stdout == (studio / "book.pdf").read_bytes()
    assert not (studio / "-").exists()


def test_a_sign_that_the_fonts_lack_is_told(studio: Path) -> None:
    with (studio / "bays" / "main.toml").open("a", encoding="utf-8") as file:
        file.write('\n[unit.han]\ntitle = "漢"\nport = [{ name = "out", direction = "out", signal = "line" }]\n')
    ran = ask("book")
    assert ran.status == 0
    assert "lack U+6F22 of" in flat(ran.err)


def test_a_mistake_in_the_wiring_is_told_as_everywhere(studio: Path) -> None:
    (studio / "studio.toml").write_text("[studio\n", encoding="utf-8")
    ran = ask("book")
    assert ran.status == 2
    assert "studio.toml:" in ran.err
