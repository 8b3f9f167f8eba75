"""The files that tables are written to: CSV, workbook, page, paper; and the options that name them."""

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar

import click

from routecode.cli.failure import Refused
from routecode.cli.quoted import quoted
from routecode.cli.say import sentences, tell
from routecode.ground.finding import Mistake
from routecode.show.escape import visible

if TYPE_CHECKING:
    from routecode.show.sheets.sheet import Book

Decorated = TypeVar("Decorated", bound=Callable[..., Any])
_FORMS = {
    "csv": "the main table as CSV",
    "xlsx": "all tables as a workbook",
    "html": "all tables as one page for a browser",
    "pdf": "all tables on paper",
}
_CALLED = {"csv": "CSV", "xlsx": "a workbook (XLSX)", "html": "a page (HTML)", "pdf": "a PDF"}
_OWN_ENDINGS = {"csv": (".csv",), "xlsx": (".xlsx",), "html": (".html", ".htm"), "pdf": (".pdf",)}
_MOST_TOLD = 8
"""Of texts with signs that the fonts lack; the rest is a count."""


class Wanted(NamedTuple):
    """The files asked for, by form; the paper of a PDF; whether other files may be replaced."""

    files: dict[str, Path]
    paper: str
    force: bool


def sheet_options(function: Decorated) -> Decorated:
    """`-o` and `--csv`, `--xlsx`, `--html`, `--pdf`, each with a FILE, `--paper` and `--force`."""
    function = click.option("--force", is_flag=True, help="Replace files that this program did not write.")(function)
    function = click.option(
        "--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True, help="The paper of a PDF."
    )(function)
    kind = click.Path(path_type=Path, dir_okay=False)
    for form, what in reversed(_FORMS.items()):
        function = click.option(f"--{form}", metavar="FILE", type=kind, help=f"Write {what}; - is stdout.")(function)
    said = "Write what the ending of the name says: .csv, .xlsx, .html, .pdf. May be given several times."
    return click.option("-o", "--output", "outputs", metavar="FILE", type=kind, multiple=True, help=said)(function)


def wanted(paper: str, force: bool, as_json: bool, outputs: Iterable[Path], **files: Path | None) -> Wanted:
    """The files that are asked for; two forms in one file, or a file together with JSON, is a mistake of the request."""
    named = {form: path for form, path in files.items() if path is not None}
    for path in outputs:
        form = _form(path)
        if named.setdefault(form, path) != path:
            raise click.UsageError(f"Two files are {_CALLED[form]}; name one.")
    if as_json and named:
        raise click.UsageError(f"Choose one of --json and --{next(iter(named))}.")
    if len({path.absolute() for path in named.values()}) < len(named):
        raise click.UsageError("Two of the files have the same name.")
    for form, path in named.items():
        ends_as(form, path)
    return Wanted(named, paper, force)


def _form(path: Path) -> str:
    """The form that the ending of a name says."""
    ending = path.suffix.lower()
    form = next((form for form, endings in _OWN_ENDINGS.items() if ending in endings), None)
    if form is None:
        text = f'The name "{path.name}" does not say which format.'
        raise Refused(Mistake("unknown-format", text, do="End it with .csv, .xlsx, .html or .pdf; or say --csv FILE."))
    return form


def ends_as(form: str, path: Path) -> None:
    """Refuse a name that ends otherwise than files of a form do; one without an ending says nothing."""
    ending = path.suffix.lower()
    if ending and ending not in _OWN_ENDINGS[form]:
        text = f'--{form} writes {_CALLED[form]}; the name "{path.name}" says otherwise.'
        do = f"Write --{form} {quoted(str(path.with_suffix(f'.{form}')))}"
        raise Refused(Mistake("unknown-format", text, do=do))


def write_sheets(found: Wanted, book: "Book", command: str, revision: str, cautions: tuple[str, ...]) -> None:
    """Write all of the files, or none; say their names."""
    from routecode.cli.paper_file import deliver

    data = {path: _data(form, found.paper, book, (command, revision), cautions) for form, path in found.files.items()}
    deliver(data, found.force, lambda start: _is_ours(start, command, book))


def _is_ours(start: bytes, command: str, book: "Book") -> bool:
    """Whether a file that begins so was made by this command, as far as that can be seen: a workbook does not show it."""
    from routecode.show.sheets.csv import csv_of
    from routecode.show.sheets.page import is_ours
    from routecode.show.sheets.sheet import Sheet

    if start.startswith(b"%PDF"):
        from routecode.show.paper.pen import is_ours as is_paper

        return is_paper(start)
    heads = csv_of(Sheet("", book.sheets[0].heads, ()))
    return is_ours(start, command) or start.startswith(heads)


def _data(form: str, paper: str, book: "Book", made: tuple[str, str], cautions: tuple[str, ...]) -> bytes:
    """What goes into one file."""
    command, revision = made
    if form == "csv":
        from routecode.show.sheets.csv import csv_of

        return csv_of(book.sheets[0])
    if form == "html":
        from routecode.show.sheets.page import page_of

        return page_of(book, command, cautions)
    if form == "xlsx":
        try:
            from routecode.show.sheets.xlsx import xlsx_of

            return xlsx_of(book)
        except ImportError as error:
            raise _lacking("workbooks", "xlsxwriter") from error
    return _paper(book, revision, cautions, paper)


def _paper(book: "Book", revision: str, cautions: tuple[str, ...], paper: str) -> bytes:
    from routecode.show.paper.sheets import lacking_findings
    from routecode.show.sheets.paper import pdf_of

    try:
        made = pdf_of(book, revision, cautions, paper)
    except ImportError as error:
        raise _lacking("PDF files", "reportlab") from error
    notes = lacking_findings(made.lacking)
    for note in notes[:_MOST_TOLD]:
        tell(sentences(visible(f"{note.text} {note.do}")))
    if len(notes) > _MOST_TOLD:
        tell(sentences(f"And so in {len(notes) - _MOST_TOLD} more texts."))
    return made.data


def _lacking(what: str, package: str) -> Refused:
    return Refused(
        Mistake("package-missing", f"{what} need a package that is not installed.", do=f"pip install {package}")
    )
