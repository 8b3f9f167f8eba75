"""Label strips and cable flags of a studio, laid out on sheets: the door to the modules `labels_*`.

What is asked for goes in, sheets and what is to be told come out; a studio whose bays do not say where their columns are gets mistakes.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from attrs import evolve, field, frozen

from routecode.circuit.plant import PlacedBay, Plant
from routecode.ground.finding import Mistake
from routecode.ground.nearest import did_you_mean
from routecode.hands.labels_flags import USUAL_OD, Flag, flags
from routecode.hands.labels_short import BLANK, RULES, WHOLE
from routecode.language.ranges import fold
from routecode.show.escape import visible
from routecode.show.labels_blocks import Block, flag_block, piece_block
from routecode.show.labels_fit import LEAST
from routecode.show.labels_shapes import Page, Paper, Text
from routecode.show.labels_sheet import sheets_of
from routecode.show.labels_strip import GROUP, NUMBERS, Strip, changed_from, strip_of
from routecode.show.paper.sheets import Head

Lacking = tuple[tuple[str, tuple[str, ...]], ...]
"""Texts, each with the signs of it that the fonts lack."""
_LISTED = 8
_LINES = {GROUP: "the titles of groups", NUMBERS: "the numbers of columns"}


@frozen
class Wanted:
    """What is asked for. `bays`: ids, none for all; `measured`: what the printed ruler of 100 mm measured; `least`: the smallest type."""

    bays: tuple[str, ...] = ()
    rear: bool = False
    flags: bool = False
    each: bool = False
    paper: str = "a4"
    measured: float = 100.0
    least: float = LEAST


@frozen
class Earlier:
    """The side before: only what differs from it is put on the sheets. `bays`: its ids as they read after."""

    plant: Plant
    bays: Mapping[str, str] = field(factory=dict)


@frozen
class Sheets:
    """The sheets, what is on them, and sentences to tell. Without pages nothing differs."""

    paper: Paper
    pages: tuple[Page, ...]
    strips: tuple[Strip, ...]
    flags: tuple[Flag, ...]
    notes: tuple[str, ...]

    def on_labels(self, lacking: Lacking) -> Lacking:
        """Of texts with signs that the fonts lack those that are on labels: the list of what was shortened only says them again."""
        lists = {
            shape.words
            for page in self.pages
            for shape in page.shapes
            if isinstance(shape, Text) and shape.of == "list"
        }
        return tuple(each for each in lacking if each[0] not in lists)


def labels_of(plant: Plant, wanted: Wanted, head: Head, earlier: Earlier | None = None) -> Sheets | tuple[Mistake, ...]:
    """The sheets of a studio, or the mistakes that keep them from being made."""
    paper = Paper(wanted.paper, 100.0 / wanted.measured)
    return _flags(plant, paper, head, earlier) if wanted.flags else _strips(plant, wanted, paper, head, earlier)


# -- strips -------------------------------------------------------------------------------------------------------------


def _strips(
    plant: Plant, wanted: Wanted, paper: Paper, head: Head, earlier: Earlier | None
) -> Sheets | tuple[Mistake, ...]:
    unknown = _unknown(plant, wanted.bays)
    if unknown:
        return unknown
    made = {
        bay.id: _strip(plant, bay, wanted, paper)
        for bay in plant.bays.values()
        if bay.id in (wanted.bays or plant.bays)
    }
    mistakes = tuple(one for one in made.values() if isinstance(one, Mistake))
    strips = [one for one in made.values() if isinstance(one, Strip)]
    if any(one.id != "no-pitch" for one in mistakes) or not strips or (wanted.bays and mistakes):
        return mistakes
    if earlier is not None:
        strips = [changed_from(_before(earlier, strip, wanted, paper), strip) for strip in strips]
    blocks = [piece_block(strip, piece) for strip in strips for piece in strip.pieces if piece.number in strip.changed]
    notes = [f"{one.text} It is left out. {one.do}" for one in mistakes]
    notes += [
        f"The strip of {strip.title} is too low for {' and '.join(_LINES[name] for name in strip.left_out)}."
        for strip in strips
        if strip.left_out and strip.changed
    ]
    notes += _left_blank(strips)
    pages = sheets_of(paper, head, blocks, list(_shortened(strips)), notes) if blocks else ()
    return Sheets(paper, pages, tuple(strips), (), tuple(notes))


def _unknown(plant: Plant, bays: Sequence[str]) -> tuple[Mistake, ...]:
    if not plant.bays:
        return (
            Mistake("no-bays", "The studio has no bays, so there are no strips.", do="Flags of its cables: --flags"),
        )
    known = f"There are: {', '.join(map(visible, plant.bays))}."
    return tuple(
        Mistake("unknown-bay", f"There is no bay {visible(name)}.", do=did_you_mean(name, list(plant.bays)) or known)
        for name in bays
        if name not in plant.bays
    )


def _strip(plant: Plant, bay: PlacedBay, wanted: Wanted, paper: Paper) -> Strip | Mistake:
    return strip_of(plant, bay, rear=wanted.rear, room=paper.room, least=wanted.least, each=wanted.each)


def _before(earlier: Earlier, strip: Strip, wanted: Wanted, paper: Paper) -> Strip | None:
    """The same strip as it was; None where there was none."""
    for bay in earlier.plant.bays.values():
        if earlier.bays.get(bay.id, bay.id) == strip.bay:
            found = _strip(earlier.plant, bay, wanted, paper)
            return found if isinstance(found, Strip) else None
    return None


class _Shown(NamedTuple):
    """A label as it is on a sheet: its strip, line and columns, its words, what they stand for, the rule."""

    strip: str
    line: str
    first: int
    last: int
    shown: str
    whole: str
    rule: str


def _cells(strips: Sequence[Strip]) -> Iterator[_Shown]:
    for strip in strips:
        for piece in strip.pieces:
            if piece.number in strip.changed:
                for band, cell in strip.cells(piece):
                    yield _Shown(strip.title, band.name, cell.first, cell.last, cell.shown, cell.whole, cell.rule)


def _shortened(strips: Sequence[Strip]) -> Iterator[str]:
    """What stands for what; neighbours that go on counting in one line."""
    for strip in strips:
        lines = [band.name for band in strip.bands]
        cells = sorted(_cells([strip]), key=lambda cell: (lines.index(cell.line), cell.first))
        run: list[_Shown] = []
        for cell in cells:
            if cell.rule == WHOLE:
                continue
            if run and not _goes_on(run[-1], cell):
                yield _run_words(run)
                run = []
            run.append(cell)
        if run:
            yield _run_words(run)


def _goes_on(one: _Shown, other: _Shown) -> bool:
    """Whether a label is the next of a range, and is shortened to the next of a range."""
    alike = (one.line, one.rule, one.last + 1) == (other.line, other.rule, other.first)
    single = one.first == one.last and other.first == other.last
    return (
        alike and single and all(len(fold(pair)) == 1 for pair in ((one.shown, other.shown), (one.whole, other.whole)))
    )


def _run_words(run: Sequence[_Shown]) -> str:
    first, last = run[0], run[-1]
    columns = f"{first.first}" if first.first == last.last else f"{first.first} to {last.last}"
    shown, whole = (
        f'"{one}"' if len(run) == 1 else f'"{one}" to "{other}"'
        for one, other in ((first.shown, last.shown), (first.whole, last.whole))
    )
    return f"{first.strip} {first.line} {columns}: {shown} for {whole} ({RULES[first.rule]})"


def _left_blank(strips: Sequence[Strip]) -> list[str]:
    blank = [f"{cell.strip} {cell.line} {cell.first}" for cell in _cells(strips) if cell.rule == BLANK]
    if not blank:
        return []
    more = f" and {len(blank) - _LISTED} more" if len(blank) > _LISTED else ""
    return [
        f"Left blank, since not even one sign of the smallest type fits: {', '.join(blank[:_LISTED])}{more}. "
        "A smaller type: --smallest; a higher strip: strip_mm; words of your own: label_top, label_bottom."
    ]


# -- flags --------------------------------------------------------------------------------------------------------------


def _flags(plant: Plant, paper: Paper, head: Head, earlier: Earlier | None) -> Sheets:
    found = flags(plant)
    old = set(flags(earlier.plant).flags) if earlier is not None else set()
    wanted = tuple(flag for flag in found.flags if flag not in old)
    made = [flag_block(flag) for flag in wanted]
    notes = []
    if found.unnumbered and earlier is None:
        notes.append(f"{_counted(found.unnumbered)} no number, so no flag: write `number` in a [[cable]] table.")
    usual = len({flag.number for flag in wanted if flag.od_mm is None})
    if usual:
        notes.append(
            f"{_counted(usual)} no od_mm in the type: the wrap is that of {USUAL_OD:g} mm (common practice); what is too long is glued over."
        )
    cut = [
        f'"{words}" is cut on the flag of {flag.number}'
        for flag, one in zip(wanted, made, strict=True)
        for words in one.cut
    ]
    blocks: list[Block] = [evolve(one.block, caption="") for one in made]
    pages = sheets_of(paper, head, blocks, cut, notes) if blocks else ()
    return Sheets(paper, pages, (), wanted, tuple(notes))


def _counted(count: int) -> str:
    return "1 cable has" if count == 1 else f"{count:,} cables have"
