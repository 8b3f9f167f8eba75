"""`routecode book`: a whole revision of the studio as one PDF, to be printed and bound."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from routecode.cli import asked, options
from routecode.cli.failure import Refused
from routecode.cli.quoted import quoted
from routecode.cli.say import sentences, tell
from routecode.ground.finding import Mistake
from routecode.show.escape import visible

if TYPE_CHECKING:
    from routecode.cli.asked import Asked
    from routecode.show.book import Bound


@click.command("book")
@click.argument("revision", metavar="[REVISION]", required=False)
@options.in_folder
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path, dir_okay=False),
    default=Path("book.pdf"),
    help="The file. Without it: book.pdf in the current folder; - is stdout.",
)
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True, help="The paper.")
@click.option(
    "--dot",
    "dot",
    metavar="PROGRAM",
    envvar="ROUTECODE_DOT",
    help="The graphviz program for the drawings (or set ROUTECODE_DOT).",
)
@click.option("--force", is_flag=True, help="Replace a file that was not written by this program.")
def command(revision: str | None, folder: Path, output: Path, paper: str, dot: str | None, force: bool) -> None:
    """Put the whole studio into one PDF: drawings, bays front and behind, setups as patch sheets, cables, parts, findings.

    REVISION: as it was recorded (a commit, `last`, a date, a tag, a number). Without it: the files as they are now. The revision
    stands on every page. What is too large for a page is drawn in parts, and what is left out is said.
    """
    from routecode.cli.paper_file import deliver, may_put
    from routecode.show.paper.pen import is_ours

    _checked(revision, output)
    may_put(output, force, is_ours)
    made = _bound(asked.one(folder, revision), folder, revision, dot, paper)
    deliver({output: made.made.data}, force, is_ours)
    _tell(made)


def _checked(revision: str | None, output: Path) -> None:
    from routecode.cli.paper_file import STDOUT

    if revision is not None and ".." in revision:
        do = f"Name one; what differs between two: routecode review {quoted(revision)}"
        raise Refused(Mistake("one-revision", "A book is of one revision, not of two.", do=do))
    if output != STDOUT and output.suffix.lower() != ".pdf":
        text = f'The book is a PDF; the name "{output.name}" says otherwise.'
        raise Refused(Mistake("unknown-format", text, do=f"Write -o {quoted(str(output.with_suffix('.pdf')))}"))


def _bound(found: "Asked", folder: Path, revision: str | None, dot: str | None, paper: str) -> "Bound":
    from routecode.cli.draw import find_engine, title_of
    from routecode.show.book import TITLE, book
    from routecode.show.paper.sheets import Head

    opened = found.opened
    recorded = opened.name not in (asked.WORKTREE, asked.STAGED)
    date = asked.commit_of(folder, revision).when[:10] if revision is not None and recorded else ""
    head = Head(title_of(opened), TITLE, found.called, opened.name, date)
    engine = find_engine(dot)
    try:
        return book(opened, asked.circuit_of(opened), head, engine, paper)
    except ImportError as error:
        text = f"PDF files need a package that is not installed: {error.name}."
        raise Refused(Mistake("package-missing", text, do="pip install reportlab")) from error


def _tell(made: "Bound") -> None:
    from routecode.show.paper.sheets import lacking_findings

    tell(f"{made.made.pages} pages.\n")
    for text in made.left[:_MOST_TOLD]:
        tell(sentences(visible(f"Left out: {text}")))
    if len(made.left) > _MOST_TOLD:
        tell(sentences(f"Left out: {len(made.left) - _MOST_TOLD} more things; the first pages of the book say which."))
    notes = lacking_findings(made.made.lacking)
    for note in notes[:_MOST_TOLD]:
        tell(sentences(visible(f"{note.text} {note.do}")))
    if len(notes) > _MOST_TOLD:
        tell(sentences(f"And so in {len(notes) - _MOST_TOLD} more texts."))


_MOST_TOLD = 8
"""Of each kind; the rest is a count."""
