"""`routecode jobsheet`: the steps that turn one studio into another, and the tests afterwards."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from routecode.cli import asked, options
from routecode.cli.failure import Refused
from routecode.cli.quoted import quoted
from routecode.cli.results import NAME as RESULTS
from routecode.cli.say import say, sentences, width_of
from routecode.ground.finding import Mistake
from routecode.studio.opened import Opened

if TYPE_CHECKING:
    from routecode.hands.job import Job


@click.command("jobsheet")
@click.argument("between", metavar="[A..B | A]", required=False)
@options.in_folder
@click.option("--tests", "tests_only", is_flag=True, help="Only the test sheet.")
@click.option(
    "--write-results",
    "results",
    is_flag=True,
    help=f"Write the tests, without results, into {RESULTS} beside studio.toml; results that still hold are kept. `check` reads it.",
)
@click.option(
    "--html", type=click.Path(path_type=Path, dir_okay=False), help="Write one page to be printed. Needs nothing else."
)
@click.option("--force", is_flag=True, help="Replace a file that was not written by this command.")
@options.no_guess
@click.option("--markdown", is_flag=True, help="Print Markdown, with boxes to tick.")
@options.as_json
def command(
    between: str | None,
    folder: Path,
    tests_only: bool,
    results: bool,
    html: Path | None,
    force: bool,
    guessing: bool,
    markdown: bool,
    as_json: bool,
) -> None:
    """Say what hands do to turn A into B: A..B two revisions, A one revision and the files as they are now.

    Without either: the last commit and the files as they are now. `built` is what stands in the racks. Three parts: at the bench
    beforehand, at the racks with the studio down, tests. After every step the studio is one that harms nothing. The way back is B..A.
    """
    from routecode.change.difference import Difference
    from routecode.hands.job import job

    if sum(map(bool, (results, html, markdown, as_json))) > 1:
        raise click.UsageError("Choose one of --write-results, --html, --markdown and --json.")
    if force and html is None:
        raise click.UsageError("--force goes with --html FILE.")
    before, after = asked.both(folder, between)
    made = job(Difference(before, after, guessing=guessing))
    if as_json:
        from routecode.show.document import written
        from routecode.show.jobsheet_document import jobsheet_document

        say(written(jobsheet_document(made, before.name, after.name)))
    elif results:
        _write_results(folder, made)
    else:
        _sheet(folder, between, made, (before, after), (tests_only, html, force, markdown))


def _sheet(
    folder: Path,
    between: str | None,
    made: "Job",
    sides: tuple[Opened, Opened],
    how: tuple[bool, Path | None, bool, bool],
) -> None:
    from routecode.cli.draw import called_side
    from routecode.show.jobsheet import Named, jobsheet_text, sheet

    tests_only, html, force, markdown = how
    named = Named(
        called_side(folder, sides[0]), called_side(folder, sides[1]), _back(folder, between), _asked(folder, between)
    )
    whole = sheet(made, named, tests_only=tests_only)
    if html is not None:
        from routecode.show.jobsheet_page import jobsheet_page

        _write_page(html, jobsheet_page(whole), force)
    elif markdown:
        from routecode.show.jobsheet_markdown import jobsheet_markdown

        say(jobsheet_markdown(whole))
    else:
        say(jobsheet_text(whole, width_of(sys.stdout)))


def _back(folder: Path, between: str | None) -> str:
    """The command for the way back; empty where the files as they are now are one side, which stand on the right only."""
    before, dots, after = (between or "last").partition("..")
    where = "" if folder == Path() else f" --in {quoted(folder)}"
    back = quoted(f"{after or 'last'}..{before or 'last'}")
    return f"routecode jobsheet {back}{where}" if dots else ""


def _asked(folder: Path, between: str | None) -> str:
    """The command that writes the file of results for the same question."""
    where = () if folder == Path() else ("--in", str(folder))
    words = (*((between,) if between else ()), "--write-results", *where)
    return f"routecode jobsheet {' '.join(map(quoted, words))}"


def _write_page(path: Path, page: str, force: bool) -> None:
    from routecode.files.write import write_file
    from routecode.show.jobsheet_page import is_ours

    try:
        with path.open("rb") as file:
            ours = is_ours(file.read(4096))
    except FileNotFoundError:
        ours = True
    except OSError as error:
        text = f'The file "{path}" cannot be read: {error.strerror or error}.'
        raise Refused(Mistake("file-unreadable", text, do="Choose another name.")) from error
    if not ours and not force:
        text = f'There is a file "{path}" that this command did not write.'
        raise Refused(Mistake("file-exists", text, do="Choose another name, or say --force."))
    problem = write_file(path, page.encode(), overwrite=True)
    if problem is not None:
        raise Refused(problem)
    say(f"{path}\n")


def _write_results(folder: Path, made: "Job") -> None:
    from routecode.cli.results import read_results
    from routecode.files.write import write_file
    from routecode.hands.tests_results import merged, results_text

    root = asked.root_of(folder)
    text = read_results(root)
    rows = merged(text, made.tests)
    if isinstance(rows, Mistake):
        raise Refused(rows)
    path = root / RESULTS
    problem = write_file(path, results_text(rows).encode(), overwrite=True)
    if problem is not None:
        raise Refused(problem)
    count = len(made.tests)
    do = "Fill in `result` (a number, or ok or fail), `date` and `by`; then ask routecode check."
    say(sentences(f"{path}: {count} tests, {len(rows)} rows in all. {do}"))
