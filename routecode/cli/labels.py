"""`routecode labels`: strips for the bays and flags for the cables, at true scale, to be printed and cut out."""

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from routecode.cli import asked, options
from routecode.cli.draw import called_side, title_of
from routecode.cli.failure import Refused
from routecode.cli.paper_file import STDOUT, deliver
from routecode.cli.quoted import quoted
from routecode.cli.say import say, sentences, tell
from routecode.ground.finding import Mistake
from routecode.show.escape import visible

if TYPE_CHECKING:
    from routecode.show.labels import Earlier, Sheets
    from routecode.show.paper.sheets import Head
    from routecode.studio.opened import Opened

_FORMATS = ("pdf", "svg")
_LEAST_RULER, _MOST_RULER = 90.0, 110.0
_LEAST_TYPE, _MOST_TYPE = 3.0, 14.0
_MOST_TOLD = 8
"""Of texts with signs that the fonts lack; the rest is a count."""


def _number(value: str | float) -> float:
    """A number, with a point or a comma, as rulers are read."""
    try:
        return float(str(value).replace(",", "."))
    except ValueError:
        raise click.BadParameter(f'"{value}" is not a number.') from None


class _Sides(NamedTuple):
    before: "Opened | None"
    after: "Opened"
    called: str


@click.command("labels")
@click.argument("what", metavar="[REVISION | A..B]", required=False)
@options.in_folder
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path, dir_okay=False),
    help="The file; - is stdout. Without it: labels.pdf (flags.pdf for --flags) in the current folder. SVG has one file a sheet: "
    "NAME-1.svg, NAME-2.svg, ...",
)
@click.option(
    "--format", "form", type=click.Choice(_FORMATS), help="The format. Without it: by the name of the file, else PDF."
)
@click.option("--bay", "bays", metavar="BAY", multiple=True, help="Only this bay; may be given several times.")
@click.option("--rear", is_flag=True, help="The strips as seen from behind: mirrored, with the numbers of the columns.")
@click.option("--flags", is_flag=True, help="Flags for both ends of every numbered cable instead of strips.")
@click.option("--each", is_flag=True, help="A label for every jack: none over a stereo pair or a range.")
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True, help="The paper.")
@click.option(
    "--ruler-measured",
    "measured",
    metavar="MM",
    type=_number,
    default=100.0,
    help="What the ruler of 100 mm measures on paper, as in 99.4: all lengths are corrected by it.",
)
@click.option(
    "--smallest",
    "least",
    metavar="POINTS",
    type=_number,
    default=5.0,
    show_default=True,
    help="The smallest type; labels for which it is too large are shortened.",
)
@options.no_guess
@options.as_json
@click.option("--force", is_flag=True, help="Replace a file that was not written by this program.")
def command(
    what: str | None,
    folder: Path,
    output: Path | None,
    form: str | None,
    bays: tuple[str, ...],
    rear: bool,
    flags: bool,
    each: bool,
    paper: str,
    measured: float,
    least: float,
    guessing: bool,
    as_json: bool,
    force: bool,
) -> None:
    """Make label strips for the bays, or flags for the cables, at true scale.

    For A..B only those pieces of strips, and those flags, that read otherwise in B than in A; A..worktree is to the files as they
    are now. Where the columns stand is said in the wiring: pitch_mm, start_mm, gaps, strip_mm. With --json the labels are printed,
    and written only where -o is given. To read more: routecode rules --labels
    """
    from routecode.show.labels import Wanted, labels_of

    if as_json and output == STDOUT:
        raise click.UsageError("Choose one of --json and -o -.")
    form = _form(form, output)
    _checked(measured, least)
    if flags and (rear or bays or each):
        raise Refused(
            Mistake(
                "flags-alone", "Flags are for cables: --bay, --rear and --each are for strips.", do="Leave one out."
            )
        )
    sides = _sides(folder, what)
    wanted = Wanted(bays, rear, flags, each, paper, measured, least)
    made = labels_of(
        asked.circuit_of(sides.after).plant, wanted, _head(sides, wanted.rear, flags), _earlier(sides, guessing)
    )
    if isinstance(made, tuple):
        raise Refused(
            *made, opened=sides.after, prefix=asked.prefix_of(folder) if sides.after.name == asked.WORKTREE else ""
        )
    if as_json:
        _print(made, sides)
    if output is not None or not as_json:
        _write(made, sides, output or Path(f"{'flags' if flags else 'labels'}.{form}"), form, force, quiet=as_json)


def _form(form: str | None, output: Path | None) -> str:
    if output is None or output == STDOUT:
        return form or _FORMATS[0]
    ending = output.suffix.lower().lstrip(".")
    if form is not None and ending in _FORMATS and ending != form:
        text = f'The name "{output.name}" says another format than --format {form}.'
        raise Refused(Mistake("unknown-format", text, do=f"Write -o {quoted(str(output.with_suffix(f'.{form}')))}"))
    if form is None and ending not in _FORMATS:
        text = f'The name "{output.name}" does not say which format.'
        raise Refused(Mistake("unknown-format", text, do="End it with .pdf or .svg; or say --format."))
    return form or ending


def _checked(measured: float, least: float) -> None:
    if not _LEAST_RULER <= measured <= _MOST_RULER:
        text = f"A ruler of 100 mm that measures {measured:g} mm is not a matter of scale."
        do = f"Measure it in millimetres ({_LEAST_RULER:g} to {_MOST_RULER:g}); print at 100 %, without fitting to the page."
        raise Refused(Mistake("bad-ruler", text, do=do))
    if not _LEAST_TYPE <= least <= _MOST_TYPE:
        text = f"Type of {least:g} points is not for a label strip."
        raise Refused(Mistake("bad-type", text, do=f"--smallest takes {_LEAST_TYPE:g} to {_MOST_TYPE:g} points."))


def _sides(folder: Path, what: str | None) -> _Sides:
    if what is not None and asked.is_range(what):
        before, after = asked.both(folder, what)
        old, new = called_side(folder, before), called_side(folder, after)
        return _Sides(before, after, f"{new}; only what differs from {old}")
    found = asked.one(folder, what)
    return _Sides(None, found.opened, found.called)


def _head(sides: _Sides, rear: bool, flags: bool) -> "Head":
    from routecode.show.paper.sheets import Head

    title = "Cable flags" if flags else f"Label strips, {'from behind' if rear else 'front'}"
    return Head(title_of(sides.after), title, sides.called, sides.after.name)


def _earlier(sides: _Sides, guessing: bool) -> "Earlier | None":
    if sides.before is None:
        return None
    from routecode.change.guess import identity_of
    from routecode.show.labels import Earlier

    plants = [asked.circuit_of(side).plant for side in (sides.before, sides.after)]
    return Earlier(plants[0], identity_of(*plants, guessing=guessing).bays)


def _print(made: "Sheets", sides: _Sides) -> None:
    from routecode.show.document import written
    from routecode.show.labels_document import labels_document

    before = sides.before.name if sides.before is not None else None
    say(written(labels_document(made, before, sides.after.name)))


def _write(made: "Sheets", sides: _Sides, output: Path, form: str, force: bool, *, quiet: bool) -> None:
    """Write the sheets and tell of them; `quiet`: stdout belongs to a document."""
    from routecode.show.labels_paint import is_ours, pdf, svg
    from routecode.show.paper.sheets import lacking_findings

    out = tell if quiet or output == STDOUT else say
    if not made.pages:
        out(f"{'No label differs' if sides.before else 'There is nothing to print'}; no file is written.\n")
        _tell(made.notes)
        return
    title = f"{title_of(sides.after)}: labels"
    notes = list(made.notes)
    if form == "svg":
        texts = [svg(page, title).encode() for page in made.pages]
        if output == STDOUT and len(texts) > 1:
            text = f"These are {len(texts)} sheets, and SVG has one file a sheet: they do not go to stdout."
            raise Refused(Mistake("one-on-stdout", text, do="Name a file with -o, or say --format pdf."))
        files = dict(zip(_named(output, len(texts)), texts, strict=True))
    else:
        drawn = pdf(made.pages, title, f"{sides.called} {sides.after.name}")
        files = {output: drawn.data}
        lacking = lacking_findings(made.on_labels(drawn.lacking))
        notes += [f"{finding.text} {finding.do}" for finding in lacking[:_MOST_TOLD]]
        notes += [f"And so on {len(lacking) - _MOST_TOLD} more labels."] if len(lacking) > _MOST_TOLD else []
    deliver(files, force, is_ours, out)
    _tell(notes)


def _tell(notes: Iterable[str]) -> None:
    for note in notes:
        tell(sentences(visible(note)))


def _named(output: Path, count: int) -> list[Path]:
    if count == 1:
        return [output]
    return [output.with_name(f"{output.stem}-{number}{output.suffix}") for number in range(1, count + 1)]
