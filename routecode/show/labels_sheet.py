"""Sheets of labels: what is cut out put onto pages, with head and foot, a ruler on every page, and the list of what was shortened."""

from collections.abc import Sequence

from attrs import frozen

from routecode.show.labels_blocks import MARK, Block
from routecode.show.labels_shapes import CUT, HAIR, THIN, Line, Page, Paper, Shape, Text, scaled
from routecode.show.paper import text
from routecode.show.paper.pen import MM
from routecode.show.paper.sheets import Head

RULER = 100.0
"""The length of the ruler, in millimetres."""
_SMALL = 7.0
_CAPTION_HIGH, _CAPTION_LONG = 4.0, 250.0
_APART = MARK + 1.4
FOOT = (
    "Print at 100 %, without fitting to the page. The ruler must measure 100 mm; if it does not: --ruler-measured MM."
)


@frozen
class Placed:
    """A block on a page, its corner (mm)."""

    block: Block
    x: float
    y: float


def sheets_of(
    paper: Paper, head: Head, blocks: Sequence[Block], shortened: Sequence[str], notes: Sequence[str]
) -> tuple[Page, ...]:
    """The pages: blocks in their order, then what was shortened and what else is to be known."""
    bodies: list[list[Shape]] = [
        [shape for placed in page for shape in _drawn(placed, paper.scale)] for page in _packed(paper, blocks)
    ]
    bodies += _listed(paper, shortened, notes)
    count = len(bodies)
    return tuple(
        Page(paper.wide, paper.high, (*_frame(paper, head, f"page {number} of {count}"), *body))
        for number, body in enumerate(bodies, 1)
    )


# -- blocks on pages ----------------------------------------------------------------------------------------------------


def _packed(paper: Paper, blocks: Sequence[Block]) -> list[list[Placed]]:
    """Blocks in rows: what has a caption has a row of its own, flags stand side by side."""
    pages: list[list[Placed]] = []
    x, y, row = paper.left, paper.top, 0.0
    right = paper.left + paper.room * paper.scale + 0.001
    for block in blocks:
        wide, high = block.wide * paper.scale, block.high * paper.scale
        above = _APART + (_CAPTION_HIGH if block.caption else 0.0)
        if row and (block.caption or x + wide > right):
            x, y, row = paper.left, y + row, 0.0
        if not pages or y + above + high + _APART > paper.bottom:
            pages.append([])
            x, y, row = paper.left, paper.top, 0.0
        pages[-1].append(Placed(block, x, y + above))
        x += wide + 2 * _APART
        row = max(row, above + high + _APART)
    return pages


def _drawn(placed: Placed, scale: float) -> list[Shape]:
    block = placed.block
    found = [scaled(shape, placed.x, placed.y, scale) for shape in block.shapes]
    if block.caption:
        words = text.shortened(block.caption, _CAPTION_LONG * MM, _SMALL)
        found.append(Text(placed.x, placed.y - _APART - 0.6, words, _SMALL, "caption"))
    return found


# -- head, foot, ruler --------------------------------------------------------------------------------------------------


def _frame(paper: Paper, head: Head, number: str) -> list[Shape]:
    left, right = paper.left, paper.wide - paper.left
    room = (right - left) * MM
    date = f"  {head.date}" if head.date else ""
    revision = text.shortened(f"{head.revision}{date}", room * 0.5, _SMALL)
    called = text.shortened(head.called, room - text.width(revision, _SMALL) - 8, _SMALL)
    low = paper.high - 7.0
    return [
        Text(left, 10, text.shortened(head.studio, room * 0.55, 9, True), 9, "head", bold=True),
        Text(right, 10, text.shortened(head.title, room * 0.4, 9), 9, "head", "end"),
        Text(left, 14, called, _SMALL, "head"),
        Text(right, 14, revision, _SMALL, "head", "end"),
        Line(left, 16, right, 16, "rule", HAIR),
        Text(right, low, number, _SMALL, "foot", "end"),
        Text(left, low, FOOT, _SMALL, "foot"),
        *_ruler(paper),
    ]


def _ruler(paper: Paper) -> list[Shape]:
    """A ruler that measures 100 mm when the sheet is printed true, with a stroke each 10 mm."""
    x, y = paper.left, paper.high - 13.0
    found: list[Shape] = [Line(x, y, x + RULER * paper.scale, y, "ruler", CUT)]
    for step in range(11):
        at = x + step * 10 * paper.scale
        found.append(Line(at, y, at, y - (3.0 if step % 5 == 0 else 1.8), "ruler", THIN))
        found.append(Text(at, y + 2.4, str(step * 10), 5.0, "ruler", "middle"))
    said = "100 mm" if paper.scale == 1 else f"100 mm; all is drawn {paper.scale:.4f} times as long for this printer"
    return [*found, Text(x + RULER * paper.scale + 4, y, said, _SMALL, "ruler")]


# -- what was shortened -------------------------------------------------------------------------------------------------


def _listed(paper: Paper, shortened: Sequence[str], notes: Sequence[str]) -> list[list[Shape]]:
    """Pages with the list, in lines; none where there is nothing to tell."""
    texts = [(words, False) for words in notes]
    if shortened:
        texts += [("Shortened on these sheets:", True), *((words, False) for words in shortened)]
    pages: list[list[Shape]] = []
    y = paper.bottom
    step = _SMALL * 1.3 / MM
    for words, bold in texts:
        for line in text.wrapped(words, (paper.wide - 2 * paper.left) * MM, _SMALL, bold):
            if y + step > paper.bottom:
                pages.append([])
                y = paper.top
            y += step
            pages[-1].append(Text(paper.left, y, line, _SMALL, "list", bold=bold))
    return pages
