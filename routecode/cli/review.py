"""`routecode review`: what a rewiring changes, on one page for a browser."""

from pathlib import Path

import click

from routecode.cli import asked, options
from routecode.cli.draw import SETTING, called_side, find_engine, title_of
from routecode.cli.paper_file import deliver, may_put


@click.command("review")
@click.argument("between", metavar="[A..B | A]", required=False)
@options.in_folder
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path, dir_okay=False, allow_dash=True),
    default=Path("review.html"),
    help="The file. Without it: review.html in the current folder; - writes the page to stdout.",
)
@click.option("--whole", is_flag=True, help="Draw all of the studio. Without it: what differs, with what is near it.")
@options.no_guess
@click.option(
    "--dot", "dot", metavar="PROGRAM", envvar=SETTING, help=f"The graphviz program to use (or set {SETTING})."
)
@click.option("--force", is_flag=True, help="Replace a file that was not written by this command.")
def command(
    between: str | None, folder: Path, output: Path, whole: bool, guessing: bool, dot: str | None, force: bool
) -> None:
    """Put a rewiring on one page, to be reviewed: A..B two revisions, A (or A..worktree) one revision and the files as they are
    now.

    Without either: the last commit and the files as they are now. The page is one HTML file that needs nothing else: what changed in
    words, drawings before and after, the faces of the bays, findings, setups, causes in the text.
    """
    from routecode.change.difference import Difference
    from routecode.show.review.page import Reviewed, is_ours, review_page

    before, after = asked.both(folder, between)
    called = (called_side(folder, before), called_side(folder, after))
    may_put(output, force, is_ours)
    difference = Difference(before, after, guessing=guessing)
    page = review_page(Reviewed(difference, title_of(after), called, find_engine(dot), whole))
    deliver({output: page.encode()}, force, is_ours)
