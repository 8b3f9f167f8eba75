"""Tables on paper: widths from what is in them, texts wrapped, rows broken over pages, the heads repeated on each.

A cell is a text; `TICK` is a box to tick. Columns of nothing but numbers stand at their right edge, as sums are read. Nothing is
clipped: where columns have too little room the type gets smaller, down to `LEAST`, and then words are broken.
"""

import re
from collections.abc import Iterable, Sequence

from attrs import field, frozen

from routecode.show.paper import script, text
from routecode.show.paper.pen import HAIR, INK, Pen, Stroke
from routecode.show.paper.pieces import Piece

TICK = "\u2610"
"""A cell that is a box to tick."""
SIZES = (8.0, 7.0, 6.0, 5.0)
LEAST = SIZES[-1]
"""The smallest type of a table, in points."""
_PAD = 2.5
_MOST_LINES = 40
"""Lines of one row that stand on one page; a row with more is broken."""
_RULE = Stroke(INK, 0.8)
_NUMBER = re.compile(r"-?[0-9][0-9,]*(\.[0-9]+)?")


def _rows(rows: Sequence[Sequence[str]]) -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(row) for row in rows)


def _texts(texts: Iterable[str]) -> tuple[str, ...]:
    return tuple(texts)


def _shares(shares: Iterable[float]) -> tuple[float, ...]:
    return tuple(shares)


@frozen
class Table:
    """A table. `widths`: shares of the columns (any scale); empty: from what is in them. `bold`: columns in bold, from 0."""

    heads: tuple[str, ...] = field(converter=_texts)
    rows: tuple[tuple[str, ...], ...] = field(converter=_rows)
    widths: tuple[float, ...] = field(default=(), converter=_shares)
    bold: tuple[int, ...] = ()
    size: float = SIZES[0]
    """The largest type to take."""
    least: float = LEAST
    """The smallest: below it words are broken."""
    numeric: tuple[bool, ...] = field(init=False)
    """Which columns have numbers and nothing else."""

    @numeric.default
    def _numeric(self) -> tuple[bool, ...]:
        told = [[row[index] for row in self.rows if row[index:]] for index in range(len(self.heads))]
        return tuple(any(cells) and all(map(_NUMBER.fullmatch, filter(None, cells))) for cells in told)

    def __attrs_post_init__(self) -> None:
        if any(len(row) != len(self.heads) for row in self.rows) or len(self.widths) not in (0, len(self.heads)):
            raise ValueError("every row of a table has as many cells as the table has heads")

    def pieces(self, wide: float, high: float) -> list[Piece]:
        """The heads, then the rows; each row comes with the heads where it comes first on a page."""
        if not self.heads:
            return []
        size, widths = self._layout(wide)
        most = max(1, min(_MOST_LINES, int(high / 2 / (size * text.LEADING)) - 1))
        head, *more_head = self._row(self.heads, size, widths, most, True)
        found = [head._replace(keep=True), *(piece._replace(keep=True) for piece in more_head)]
        for row in self.rows:
            found += [piece._replace(again=head) for piece in self._row(row, size, widths, most, False)]
        return [*found, Piece(6.0, _nothing)]

    # -- widths ---------------------------------------------------------------------------------------------------------

    def _layout(self, wide: float) -> tuple[float, list[float]]:
        sizes = [size for size in SIZES if self.least <= size <= self.size] or [self.least]
        for size in sizes:
            least, full = self._wanted(size)
            if self.widths:
                widths = [share / sum(self.widths) * wide for share in self.widths]
                if all(have >= want for have, want in zip(widths, least, strict=True)):
                    return size, widths
            elif sum(least) <= wide:
                usual = [
                    max(few, min(most, ninth)) for few, most, ninth in zip(least, full, self._usual(size), strict=True)
                ]
                return size, _shared(_shared(least, usual, wide), full, wide)
        if self.widths:
            return sizes[-1], [share / sum(self.widths) * wide for share in self.widths]
        least, _ = self._wanted(sizes[-1])
        even = wide / len(least)
        small = sum(want for want in least if want <= even)
        large = sum(want for want in least if want > even)
        return sizes[-1], [want if want <= even else want / large * (wide - small) for want in least]

    def _wanted(self, size: float) -> tuple[list[float], list[float]]:
        """The width of the longest word and of the longest text of each column."""
        least, full = [], []
        for index, head in enumerate(self.heads):
            words = {head: True, **{row[index]: index in self.bold for row in self.rows}}
            most = max(text.width(cell, size, bold) for cell, bold in words.items())
            parts = {part: bold for cell, bold in words.items() for part in cell.split(" ")}
            least.append(max(text.width(part, size, bold) for part, bold in parts.items()) + 2 * _PAD + 0.5)
            full.append(most + 2 * _PAD + 0.5)
        return least, full

    def _usual(self, size: float) -> list[float]:
        """The width that nine of ten texts of each column have at most: one long text does not take the room of all others."""
        found = []
        for index in range(len(self.heads)):
            longs = sorted(text.width(row[index], size, index in self.bold) for row in self.rows) or [0.0]
            found.append(longs[(len(longs) - 1) * 9 // 10] + 2 * _PAD + 0.5)
        return found

    # -- rows -----------------------------------------------------------------------------------------------------------

    def _row(self, row: Sequence[str], size: float, widths: Sequence[float], most: int, head: bool) -> list[Piece]:
        cells = [
            text.wrapped(cell, room - 2 * _PAD, size, head or index in self.bold)
            for index, (cell, room) in enumerate(zip(row, widths, strict=True))
        ]
        long = max(map(len, cells))
        starts = range(0, long, most)
        return [
            self._part([cell[start : start + most] for cell in cells], (size, widths, head, start + most >= long))
            for start in (starts[:1] if head else starts)
        ]

    def _part(self, cells: list[list[str]], how: tuple[float, Sequence[float], bool, bool]) -> Piece:
        """Lines of a row that stand together; a rule below its last."""
        size, widths, head, last = how
        high = max(1, *(len(cell) for cell in cells)) * size * text.LEADING + 2 * _PAD

        def paint(pen: Pen, x: float, y: float) -> None:
            at = x
            for index, (cell, room) in enumerate(zip(cells, widths, strict=True)):
                bold = head or index in self.bold
                for number, words in enumerate(cell):
                    place = (at, y + _PAD + number * size * text.LEADING, room)
                    _cell(pen, place, words, size, bold, right=self.numeric[index])
                at += room
            if last:
                pen.line(x, y + high, x + sum(widths), y + high, _RULE if head else HAIR)

        return Piece(high, paint)


def _cell(pen: Pen, place: tuple[float, float, float], words: str, size: float, bold: bool, *, right: bool) -> None:
    x, y, room = place
    if words == TICK:
        pen.box(x + _PAD, y + size * 0.12, size * 0.9, size * 0.9, stroke=Stroke(INK, 0.7))
    elif right or script.right_to_left(words):
        pen.text(x + room - _PAD, y + size, words, size, bold=bold, anchor="end")
    else:
        pen.text(x + _PAD, y + size, words, size, bold=bold)


def _shared(least: list[float], full: list[float], wide: float) -> list[float]:
    """Every column its longest word; what is left goes first to those that want little, so that short texts stay on a line."""
    found = list(least)
    left = wide - sum(least)
    waiting = sorted(range(len(full)), key=lambda index: (full[index] - least[index], index))
    for place, index in enumerate(waiting):
        more = min(full[index] - least[index], left / (len(waiting) - place))
        found[index] += more
        left -= more
    return found


def _nothing(_pen: Pen, _x: float, _y: float) -> None:
    return
