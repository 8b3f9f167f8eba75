"""Bays as bands: two rows of numbered columns, sources above and destinations below, and between them what joins the two:
normals as short strokes, link plugs as small squares, cords and sideways normals in lanes.
"""

from collections.abc import Sequence

from attrs import evolve, frozen

from routecode.show.drawing.boxes import ROW
from routecode.show.drawing.compare import Both, Column, Mark
from routecode.show.drawing.facts import End, Normal
from routecode.show.drawing.fold import Bundle, Cell
from routecode.show.drawing.measure import SMALL, TITLE, fitted, visible, width
from routecode.show.drawing.picture import Block, Point, Slot, Stroke, Word

_GAP = 13.0
_LANE = 8.0
_LEAST = 24.0
_CHANGED = 70.0
_RAIL = 8.0
_LONGEST_TITLE = 150.0


@frozen
class Lane:
    """A joint inside the gap: from a row of a cell to a row of another, or out at the right (`b` None); `at` is its place among the lanes."""

    line: Bundle
    ends: tuple[tuple[Cell, str], ...]
    at: int
    leaves: bool


def strip_block(
    both: Both, name: str, cells: Sequence[Cell], lanes: Sequence[Lane], node: str, part: tuple[int, int]
) -> Block:
    """One band of a bay; `part` is (which, of how many)."""
    before, after = both.bay(name)
    facts = after or before
    assert facts is not None
    maker = _Maker(both, name, cells, lanes, _head(both, name, part))
    mark = both.mark(name)
    room = "" if before is not None and after is not None and before.room != after.room else facts.room
    said = f"{visible(facts.title)} ({name})" + (f", band {part[0]} of {part[1]}" if part[1] > 1 else "")
    said += f", {mark.value}" if mark.value else ""
    return Block(
        node,
        "band",
        name,
        room,
        maker.wide,
        maker.high,
        maker.slots(),
        maker.gap,
        maker.strokes(),
        maker.words(),
        maker.rails(),
        mark,
        said,
    )


def _head(both: Both, name: str, part: tuple[int, int]) -> list[tuple[str, bool, Mark]]:
    """What stands at the left of a band, line by line: text, bold, mark."""
    before, after = both.bay(name)
    titles = [
        (visible(facts.title), side) for facts, side in ((before, Mark.GONE), (after, Mark.NEW)) if facts is not None
    ]
    if len(titles) == 2 and titles[0][0] == titles[1][0]:
        titles = [(titles[0][0], Mark.SAME)]
    lines = [(fitted(text, _LONGEST_TITLE, TITLE, bold=True), True, mark) for text, mark in titles]
    if part[1] > 1:
        lines.append((f"band {part[0]} of {part[1]}", False, Mark.SAME))
    mark = both.mark(name)
    return [*lines, (mark.value, True, mark)] if mark is not Mark.SAME else lines


class _Maker:
    def __init__(
        self, both: Both, name: str, cells: Sequence[Cell], lanes: Sequence[Lane], head: list[tuple[str, bool, Mark]]
    ) -> None:
        self.both, self.name, self.cells, self.lanes, self.head = both, name, cells, lanes, head
        self.upper_row = both.upper_row(name)
        self.single = self.upper_row == "single"
        self.columns = {cell.id: both.column(name, int(cell.pins[0].name)) for cell in cells}
        self.whole = both.mark(name)
        tags = ["", ""] if self.single else [self.upper_row, "bottom" if self.upper_row == "top" else "top"]
        self.tags = tags
        self.tag_wide = 0.0 if self.single else round(max(width(tag, SMALL) for tag in tags) + 9)
        self.head_wide = round(max(width(text, TITLE if bold else SMALL, bold) for text, bold, _ in head) + 14)
        space = (
            0.0 if self.single else _GAP + _LANE * len(lanes) + (3 if any(self._told(cell) for cell in cells) else 0)
        )
        high = ROW + (ROW + space if not self.single else 0.0)
        self.high = max(high, 14.0 * len(head) + 4)
        self.gap: tuple[float, float] = (ROW, self.high - ROW) if not self.single else (0.0, 0.0)
        self.lefts = self._lefts()
        self.wide = self.lefts[-1] + (_RAIL if any(lane.leaves for lane in lanes) else 0)
        self._hung: dict[tuple[int, str], int] = {}

    def _told(self, cell: Cell) -> bool:
        """Whether a word says what became of a column; not where one at the head says it of the whole bay."""
        return self.columns[cell.id].mark is not Mark.SAME and self.whole in (Mark.SAME, Mark.CHANGED)

    def _lefts(self) -> list[float]:
        lefts = [self.head_wide + self.tag_wide]
        for cell in self.cells:
            hung = sum(1 for lane in self.lanes for end, _ in lane.ends if end.id == cell.id)
            least = max(_LEAST + 5 * hung, _CHANGED if self._told(cell) else 0)
            lefts.append(lefts[-1] + max(least, round(width(cell.label, SMALL) + 9)))
        return lefts

    def slots(self) -> tuple[Slot, ...]:
        """The jacks: for every column range one above and one below."""
        found = []
        for index, cell in enumerate(self.cells):
            left, wide = self.lefts[index], self.lefts[index + 1] - self.lefts[index]
            column = self.columns[cell.id]
            mark = (
                column.mark
                if column.mark in (Mark.NEW, Mark.GONE) and self.whole in (Mark.SAME, Mark.CHANGED)
                else Mark.SAME
            )
            quiet = not cell.used
            if self.single:
                names = self._names(cell, "single")
                found.append(Slot(f"u{cell.id}", cell.label, left, 0, wide, self.high, mark, quiet, names))
                continue
            upper, lower = (self._names(cell, row) for row in self.tags)
            found.append(Slot(f"u{cell.id}", cell.label, left, self.gap[1], wide, ROW, mark, quiet, upper))
            found.append(Slot(f"l{cell.id}", cell.label, left, 0, wide, ROW, mark, quiet, lower))
        return tuple(found)

    def _names(self, cell: Cell, row: str) -> tuple[str, ...]:
        """The jacks of one row of a cell."""
        return tuple(End(self.name, row, found.name).text for found in cell.pins)

    def words(self) -> tuple[Word, ...]:
        """Title, names of the rows, and words at columns that differ."""
        x = self.head_wide / 2
        lines = len({index for index, (_, _, mark) in enumerate(self.head)})
        y = self.high / 2 + 7.0 * (lines - 1)
        found = []
        for text, bold, mark in self.head:
            found.append(Word(text, (x, y), TITLE if bold else SMALL, bold, mark, quiet=not bold))
            y -= 14
        if not self.single:
            middle = self.head_wide + self.tag_wide / 2
            found.append(Word(self.tags[0], (middle, self.high - ROW / 2), SMALL, False, Mark.SAME, quiet=True))
            found.append(Word(self.tags[1], (middle, ROW / 2), SMALL, False, Mark.SAME, quiet=True))
        for index, cell in enumerate(self.cells):
            mark = self.columns[cell.id].mark
            if self._told(cell) and not self.single:
                found.append(Word(mark.value, (self.lefts[index] + 47, self.gap[0] + 8), SMALL, True, mark))
        return tuple(found)

    # -- strokes --------------------------------------------------------------------------------------------------------

    def strokes(self) -> tuple[Stroke, ...]:
        """Everything drawn between the two rows."""
        if self.single:
            return ()
        found: list[Stroke] = []
        for index, cell in enumerate(self.cells):
            middle = (self.lefts[index] + self.lefts[index + 1]) / 2
            strokes = self._normal(self.columns[cell.id], middle, self.lefts[index], self._told(cell))
            joints = tuple(zip(*(self._names(cell, row) for row in self.tags), strict=True))
            found += [evolve(stroke, joints=joints) for stroke in strokes]
        for lane in self.lanes:
            found += self._lane(lane)
        return tuple(found)

    def _normal(self, column: Column, middle: float, left: float, told: bool) -> list[Stroke]:
        if column.before == column.after:
            mark = column.mark if column.mark in (Mark.NEW, Mark.GONE) else Mark.SAME
            return normal_strokes(column.after, left + 12 if told else middle, self.gap, mark)
        was = normal_strokes(column.before, left + 9, self.gap, Mark.GONE) if column.mark.was else []
        now = normal_strokes(column.after, left + 18, self.gap, Mark.NEW) if column.mark.is_ else []
        return was + now

    def _lane_y(self, lane: Lane) -> float:
        return self.gap[1] - _GAP / 2 - 2 - _LANE * lane.at

    def _hang(self, cell: Cell, row: str) -> Point:
        """Where the next lane hangs on a cell: beside its normal."""
        index = next(index for index, found in enumerate(self.cells) if found.id == cell.id)
        upper = row == self.upper_row
        count = self._hung[cell.id, ""] = self._hung.get((cell.id, ""), 0) + 1
        told = self._told(cell)
        middle = (self.lefts[index] + self.lefts[index + 1]) / 2 if not told else self.lefts[index] + 14
        aside = 5.0 * ((count + 1) // 2) * (1 if count % 2 else -1)
        return middle + aside, self.gap[1] if upper else self.gap[0]

    def _lane(self, lane: Lane) -> list[Stroke]:
        y = self._lane_y(lane)
        points = [self._hang(cell, row) for cell, row in lane.ends]
        first = points[0]
        last = points[1] if not lane.leaves else (self.wide, y)
        way = [first, (first[0], y), (last[0], y)] + ([last] if not lane.leaves else [])
        return [Stroke(lane.line.kind, tuple(way), lane.line.mark, lane.line.ends)]

    def rails(self) -> tuple[float, ...]:
        """The heights at which lanes leave."""
        return tuple(self._lane_y(lane) for lane in self.lanes if lane.leaves)


def normal_strokes(normal: Normal, x: float, gap: tuple[float, float], mark: Mark) -> list[Stroke]:
    """A normal at `x`: a stroke from row to row, a bar where a plug breaks it, a square for a link plug; open in the middle
    where it is broken now."""
    low, high = gap
    if normal.pattern == "none":
        return []
    if normal.pattern == "held":
        return [_square(x, high - 4, mark)]
    if normal.closed:
        found = [Stroke("normal", ((x, low), (x, high)), mark)]
    else:
        found = [Stroke("normal", ((x, low), (x, low + 4)), mark), Stroke("normal", ((x, high - 3), (x, high)), mark)]
    if normal.pattern == "plug":
        found.append(_square(x, low + 4, mark))
    if normal.pattern in ("half", "full"):
        found.append(Stroke("normal", ((x - 4, low + 3.5), (x + 4, low + 3.5)), mark))
    if normal.pattern == "full":
        found.append(Stroke("normal", ((x - 4, high - 3.5), (x + 4, high - 3.5)), mark))
    return found


def _square(x: float, y: float, mark: Mark) -> Stroke:
    return Stroke("plug", ((x - 2.5, y - 2.5), (x + 2.5, y + 2.5)), mark)
