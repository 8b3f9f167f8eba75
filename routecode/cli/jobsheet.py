"""`routecode jobsheet`: the steps that turn one studio into another, and the tests afterwards."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from routecode.cli import asked, options
from routecode.cli.failure import Refused
from routecode.cli.quoted import quoted
from routecode.cli.results import NAME as RESULTS
from routecode.cli.say import say, sentences, tell, width_of
from routecode.ground.finding import Mistake
from routecode.show.escape import visible
from routecode.studio.opened import Opened

if TYPE_CHECKING:
    from routecode.hands.job import Job
    from routecode.show.jobsheet import Sheet


class Papers(NamedTuple):
    """The files asked for, the paper of the PDF, whether files of others may be replaced."""

    html: Path | None
    pdf: Path | None
    paper: str
    force: bool


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
@click.option(
    "--pdf",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write it on paper, with boxes to tick and room to write; with --tests the test sheet alone.",
)
@click.option(
    "--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True, help="The paper of the PDF."
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
    pdf: Path | None,
    paper: str,
    force: bool,
    guessing: bool,
    markdown: bool,
    as_json: bool,
) -> None:
    """Say what hands do to turn A into B: A..B two revisions, A (or A..worktree) one revision and the files as they are now.

    Without either: the last commit and the files as they are now. `built` is what stands in the racks. Three parts: at the bench
    beforehand, at the racks with the studio down, tests. After every step the studio is one that harms nothing. The way back is B..A.
    """
    from routecode.change.difference import Difference
    from routecode.hands.job import job

    if sum(map(bool, (results, html or pdf, markdown, as_json))) > 1:
        raise click.UsageError("Choose one of --write-results, --html or --pdf, --markdown and --json.")
    if force and html is None and pdf is None:
        raise click.UsageError("--force goes with --html FILE or --pdf FILE.")
    files = Papers(html, pdf, paper, force)
    _may_write(files)
    before, after = asked.both(folder, between)
    made = job(Difference(before, after, guessing=guessing))
    if as_json:
        from routecode.show.document import written
        from routecode.show.jobsheet_document import jobsheet_document

        say(written(jobsheet_document(made, before.name, after.name)))
    elif results:
        _write_results(folder, made)
    else:
        whole = _sheet(folder, between, made, (before, after), tests_only)
        if html is not None or pdf is not None:
            _write(whole, files, after.name, _day(folder, after))
        elif markdown:
            from routecode.show.jobsheet_markdown import jobsheet_markdown

            say(jobsheet_markdown(whole))
        else:
            from routecode.show.jobsheet import jobsheet_text

            say(jobsheet_text(whole, width_of(sys.stdout)))


def _sheet(folder: Path, between: str | None, made: "Job", sides: tuple[Opened, Opened], tests_only: bool) -> "Sheet":
    from routecode.cli.draw import called_side
    from routecode.show.jobsheet import Named, sheet

    before, after = (called_side(folder, side) for side in sides)
    named = Named(before, after, _back(folder, between), _asked(folder, between), _labels(folder, between))
    return sheet(made, named, tests_only=tests_only)


def _back(folder: Path, between: str | None) -> str:
    """The command for the way back; empty where the files as they are now are one side, which stand on the right only."""
    before, dots, after = (between or "last").partition("..")
    if not dots or after == asked.WORKTREE:
        return ""
    return _command(folder, "jobsheet", f"{after or 'last'}..{before or 'last'}")


def _asked(folder: Path, between: str | None) -> str:
    """The command that writes the file of results for the same question."""
    return _command(folder, "jobsheet", *((between,) if between else ()), "--write-results")


def _labels(folder: Path, between: str | None) -> str:
    """The command that prints the labels that differ between the same two sides."""
    what = between or "last"
    return _command(folder, "labels", what if asked.is_range(what) else f"{what}..{asked.WORKTREE}")


def _command(folder: Path, *words: str) -> str:
    where = () if folder == Path() else ("--in", str(folder))
    return f"routecode {' '.join(map(quoted, (*words, *where)))}"


def _day(folder: Path, after: Opened) -> str:
    """The day of the after side; empty for the files as they are now."""
    if after.name in (asked.WORKTREE, asked.STAGED):
        return ""
    return asked.commit_of(folder, after.name).when[:10]


def _may_write(files: Papers) -> None:
    """Refuse names that say another format or hold what is not ours, before anything is computed."""
    from routecode.cli.paper_file import may_put
    from routecode.cli.sheet_files import ends_as
    from routecode.show.jobsheet_page import is_ours

    if files.html is not None and files.pdf is not None and files.html.absolute() == files.pdf.absolute():
        raise click.UsageError("Both files have the same name.")
    for form, path in (("html", files.html), ("pdf", files.pdf)):
        if path is not None:
            ends_as(form, path)
    if files.html is not None:
        may_put(files.html, files.force, is_ours)
    if files.pdf is not None:
        from routecode.show.paper.pen import is_ours as is_paper

        may_put(files.pdf, files.force, is_paper)


def _write(whole: "Sheet", files: Papers, revision: str, day: str) -> None:
    """Write the page, the PDF, or both; say their names."""
    from routecode.cli.paper_file import deliver
    from routecode.show.jobsheet_page import is_ours, jobsheet_page
    from routecode.show.paper.pen import is_ours as is_paper

    data: dict[Path, bytes] = {}
    if files.html is not None:
        data[files.html] = jobsheet_page(whole).encode()
    if files.pdf is not None:
        data[files.pdf] = _paper(whole, files.paper, revision, day)
    deliver(data, files.force, lambda head: is_ours(head) or is_paper(head))


def _paper(whole: "Sheet", paper: str, revision: str, day: str) -> bytes:
    try:
        from routecode.show.jobsheet_paper import jobsheet_paper
        from routecode.show.paper.sheets import lacking_findings

        made = jobsheet_paper(whole, revision, day, paper)
    except ImportError as error:
        text = f"PDF files need a package that is not installed: {error.name}."
        raise Refused(Mistake("package-missing", text, do="pip install reportlab")) from error
    for note in lacking_findings(made.lacking):
        tell(sentences(visible(f"{note.text} {note.do}")))
    return made.data


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
