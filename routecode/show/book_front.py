"""The first pages of the book: what it is of, how much there is, the cautions, what is left out; the contents."""

from collections.abc import Iterable, Iterator, Sequence

from routecode.circuit.plant import Plant
from routecode.hands.cables import LaidCable
from routecode.rules.words import counted
from routecode.show.book_findings import sizes
from routecode.show.book_pages import LEAST_TYPE, Contents, Section, table
from routecode.show.paper.pieces import Block, Heading, NewPage, Notice, Space, Words
from routecode.show.paper.sheets import Head
from routecode.show.schedule_sheets import told_of
from routecode.studio.opened import Opened

CAUTIONS = (
    "Headphones off heads, monitors down, no take running, before hands go to the wiring. Amplifiers and powered monitors off first, on "
    "last. Phantom power off, a minute's wait and under 1 V on a meter before a contact that shorts on insertion or a ribbon "
    "microphone is touched; mute before pulling a link plug under phantom and before lifting clock or digital lines.",
    "Never lift a mains earth. A valve amplifier never without its load; bridged outputs have no ground side. Power a unit down before "
    "its multipin is lifted. Test tones from low level. Eye protection, extraction and clean hands when soldering. Never look into a fibre.",
    "Mains and fixed building wiring belong to licensed people under the local code. The figures are design aids, not a safety "
    "certificate.",
)
"""The cautions for everything in the book."""
_NOT_RECORDED = {"worktree": " (the files as they are, recorded or not)", "staged": " (not recorded yet)"}
_MOST_LEFT = 40
MOST_ENTRIES = 400
"""Entries of the contents; the outline has those beyond."""


def front(
    head: Head, opened: Opened, plant: Plant, cables: Sequence[LaidCable], left: Sequence[str]
) -> Iterator[Block]:
    """The title page."""
    yield Space(6)
    yield Words(head.studio, 26, bold=True)
    yield Words("The book of the studio", 14)
    yield Space(3)
    yield Words(f"As of {head.called}" + (f", {head.date}" if head.date and head.date not in head.called else ""), 11)
    yield Words(f"Revision: {head.revision}{_NOT_RECORDED.get(head.revision, '')}", 9)
    yield Words("Print it again when the wiring changes: a book is of one revision, and that stands on every page.", 9)
    yield Space(2)
    yield table(("how much there is", ""), _counts(opened, plant, cables))
    yield from map(Notice, CAUTIONS)
    small = f"No type is smaller than {LEAST_TYPE:g} points; only the code points in the boxes for signs that the fonts lack are."
    yield Notice(f"Made to be printed at 100 %. {small}", "note")
    yield from _left(left)


def _left(left: Sequence[str]) -> Iterator[Block]:
    if not left:
        return
    yield Heading("Left out of this book", 2)
    for text in left[:_MOST_LEFT]:
        yield Words(text)
    if len(left) > _MOST_LEFT:
        yield Words(f"And {len(left) - _MOST_LEFT} more things of these kinds.")


def contents(sections: Iterable[Section]) -> Iterator[Block]:
    """The contents, from a page of their own on."""
    every = list(sections)
    shown = every if len(every) <= MOST_ENTRIES else [section for section in every if section.level == 1]
    yield NewPage()
    yield Heading("Contents")
    yield Contents(tuple(shown))
    if len(shown) < len(every):
        yield Space(2)
        yield Words(
            f"The {counted(len(every) - len(shown), 'entry', 'entries')} within these chapters are in the outline of the file."
        )


def _counts(opened: Opened, plant: Plant, cables: Sequence[LaidCable]) -> list[list[str]]:
    told = told_of(cables)
    jacks = sum(bay.columns * bay.rows for bay in plant.bays.values())
    report = opened.report
    return [
        [
            "units",
            f"{len(plant.units):,} with {counted(plant.ports, 'port')} and {counted(plant.channel_count, 'channel')}",
        ],
        ["bays", f"{len(plant.bays):,} with {counted(jacks, 'jack')}"],
        [
            "fixed cables",
            f"{told.cables:,} with {counted(told.circuits, 'circuit')}{f'; {told.dead} dead' if told.dead else ''}",
        ],
        ["setups", f"{len(plant.setups):,}"],
        ["findings", f"{sizes(report.findings)} open; {len(report.accepted):,} accepted"],
    ]
