"""A piece of a face: neighbouring columns with everything above, between and below their jacks, at their places."""

from collections.abc import Sequence

from routecode.show.drawing import look, measure
from routecode.show.faces import callouts, ink, signs, strip, told
from routecode.show.faces.jacks import Column, Face, Jack
from routecode.show.faces.strip import PITCH, Strip

MOST = 24
"""Columns that stand side by side."""
LEFT = 72.0
RIGHT = 12.0
_ROW = 26.0
_BARS = 10.0
_NUMBER = 14.0
_BOW = 22.0
_MARK = 11.0
_LABEL_LONG = 118.0
_CABLE_LONG = 70.0
_GROUP_LONG = 80.0


def pieces(columns: Sequence[Column]) -> list[Sequence[Column]]:
    """The columns in pieces that there is room for, of about the same size, whole eights where that can be."""
    count = -(-len(columns) // MOST)
    size = -(-len(columns) // count)
    size = min(MOST, -(-size // 8) * 8)
    return [columns[start : start + size] for start in range(0, len(columns), size)]


class Piece:
    """One piece. `columns` in the order of the bay; behind they stand from right to left."""

    def __init__(self, face: Face, columns: Sequence[Column], rear: bool) -> None:
        self.face, self.rear = face, rear
        self.columns = list(reversed(columns)) if rear else list(columns)
        self.two = face.bay.rows == 2
        self.upper = self._row(0)
        self.lower = self._row(1) if self.two else None
        self.groups = strip.strip(
            strip.runs([strip.Said(ink.shown(column.group), "", True) for column in self.columns]),
            "",
            _GROUP_LONG,
            most=2,
            brackets=True,
        )
        here = {jack.node for column in self.columns for jack in column.jacks}
        self.curves = [] if rear else self._curves(here)
        self.top = self.bottom = 0.0
        self.lanes, self.undrawn = signs.laid(self._lanes())
        self.levels = max((level for level, _ in self.lanes), default=-1) + 1

    @property
    def wide(self) -> float:
        """The width it takes."""
        reach = max(row.plugs.right for row in (self.upper, self.lower) if row)
        return LEFT + max(len(self.columns) * PITCH, reach) + RIGHT

    # -- heights --------------------------------------------------------------------------------------------------------

    @property
    def gap(self) -> float:
        """Between the rows, or below the only one."""
        return (2 * _BARS if self.two else 4) + signs.LANE * self.levels + _NUMBER + (_BOW if self.curves else 0)

    def place(self, top: float) -> float:
        """Stand with the upper edge at `top`; the height taken."""
        above = self.groups.high + self.upper.high + 4
        self.top = top + above
        self.bottom = self.top + _ROW + self.gap + (_ROW if self.two else 0)
        below = (self.lower.high if self.lower else 0) + 4
        self.lanes, self.undrawn = signs.laid(self._lanes())
        return above + (self.bottom - self.top) + below

    def _jack_at(self, index: int, row: int) -> tuple[float, float]:
        x = LEFT + (index + 0.5) * PITCH
        return x, (self.bottom - _ROW / 2 if row else self.top + _ROW / 2)

    def _row(self, row: int) -> "_Row":
        jacks = [column.jacks[row] for column in self.columns]
        return _Row(self.columns, jacks, self.rear, self.face.marked)

    # -- joints ---------------------------------------------------------------------------------------------------------

    def _places(self) -> dict[int, tuple[float, float, bool]]:
        found = {}
        for index, column in enumerate(self.columns):
            for row, jack in enumerate(column.jacks):
                found[jack.node] = (*self._jack_at(index, row), row == 0)
        return found

    def _lanes(self) -> list[signs.Lane]:
        places = self._places()
        found = []
        for mult in self.face.mults:
            drops = tuple(signs.Drop(*places[node]) for node in mult if node in places)
            if drops:
                found.append(signs.Lane(drops, True, True, len(drops) < len(mult)))
        for joint in self.face.sideways:
            ends = (joint.source, joint.target)
            drops = tuple(signs.Drop(*places[node]) for node in ends if node in places)
            if drops:
                found.append(signs.Lane(drops, False, joint.closed, len(drops) < 2))
        return found

    def _curves(self, here: set[int]) -> list[tuple[int, int]]:
        found = {
            (min(jack.node, cord.node), max(jack.node, cord.node))
            for column in self.columns
            for jack in column.jacks
            for cord in jack.cords
            if cord.node in here
        }
        return sorted(found)

    # -- paint ----------------------------------------------------------------------------------------------------------

    def painted(self) -> str:
        """The piece as SVG."""
        first, last = self.columns[0].number, self.columns[-1].number
        out = f'<g class="face-piece" data-columns="{first}-{last}">\n'
        out += self._leaders() + self._strips() + self._panel() + self._joints() + self._numbers()
        for index, column in enumerate(self.columns):
            for row, jack in enumerate(column.jacks):
                out += self._jack(index, column, row, jack)
        return out + "</g>\n"

    def _strips(self) -> str:
        out = self.upper.painted(self.top - 2, False)
        edge = self.top - 2 - self.upper.high
        out += strip.paint(self.groups, LEFT, edge, False, lambda _run: False)
        if self.lower:
            out += self.lower.painted(self.bottom + 2, True)
        return out

    def _leaders(self) -> str:
        out = ""
        for index in range(len(self.columns)):
            for row, found in enumerate((self.upper, self.lower)):
                if found and found.plugged[index]:
                    x, y = self._jack_at(index, row)
                    out += ink.line(
                        x,
                        y,
                        x,
                        y + (1 if row else -1) * (_ROW / 2 + found.inner + 2 + found.plugs.reach(index)),
                        ink.LEADER,
                    )
        return out

    def _panel(self) -> str:
        how = ink.REAR if self.rear else ink.PANEL
        high = self.bottom - self.top
        out = ink.box(LEFT - 4, self.top, len(self.columns) * PITCH + 8, high, how, 4)
        for index, column in enumerate(self.columns):
            if column.reserved:
                out += signs.hatch(LEFT + index * PITCH + 2, self.top + 2, PITCH - 4, high - 4)
        if not self.two:
            return out
        for row, name in enumerate(("top", "bottom")):
            y = self._jack_at(0, row)[1]
            kind = "sources" if name == self.face.sources else "destinations"
            out += ink.text(LEFT - 10, y - 1, name, anchor="end", bold=True)
            out += ink.text(LEFT - 10, y + 10, kind, anchor="end", name="face-quiet", fill=look.QUIET)
        return out

    def _joints(self) -> str:
        out = ""
        target = "bottom" if self.face.sources == "top" else "top"
        for index, column in enumerate(self.columns):
            if self.two:
                (x, top), (_, bottom) = self._jack_at(index, 0), self._jack_at(index, 1)
                out += signs.normal(column.normal, x, top + signs.RADIUS, bottom - signs.RADIUS, target)
        base = self.top + _ROW + (_BARS if self.two else 2)
        for level, lane in self.lanes:
            out += signs.lane(lane, base + signs.LANE * level + 3)
        places = self._places()
        middle = (self.top + self.bottom) / 2
        for one, other in self.curves:
            a, b = places[one], places[other]
            deep = self.bottom - 5 if a[2] and not self.two else middle + (6 if a[2] else -6)
            out += signs.cord(a[:2], b[:2], middle, deep)
        return out

    def _numbers(self) -> str:
        out = ""
        how = ink.GROUND._replace(fill=look.ROOM_FILL if self.rear else look.BAY_FILL, name="face-panel-ground")
        y = self.top + _ROW + (_BARS if self.two else 2) + signs.LANE * self.levels
        for index, column in enumerate(self.columns):
            x = LEFT + (index + 0.5) * PITCH
            words = str(column.number)
            long = measure.width(words, ink.SIZE, bold=True) + 3
            out += ink.box(x - long / 2, y + 1, long, _NUMBER - 2, how)
            out += ink.text(x, y + 10.2, words, bold=True, name="face-ink face-number")
        return out

    def _jack(self, index: int, column: Column, row: int, jack: Jack) -> str:
        x, y = self._jack_at(index, row)
        out = f'<g class="jack" data-jack="{ink.safe(jack.name)}"'
        out += f' data-mark="{ink.safe(ink.shown(jack.mark))}">' if jack.mark else ">"
        out += ink.titled(ink.shown(told.of_jack(self.face, column, jack))) + "\n"
        if jack.mark:
            out += ink.box(x - 14, y - 11, 28, 22, signs.mark_look(jack.mark), 3)
        out += signs.jack(x, y, bool(jack.behind), self.rear)
        if not self.rear:
            out += signs.cord_plug(x, y) if jack.cords else ""
            out += signs.link_plug(x, y) if jack.link else ""
            out += signs.dummy_plug(x, y) if jack.dummy else ""
        if jack.mark:
            colour = look.colour(signs.mark_of(jack.mark), look.INK)
            words = measure.fitted(ink.shown(jack.mark), PITCH - 3, 8, bold=True)
            at = self.bottom + 9.5 if row else self.top - 3.5
            long = measure.width(words, 8, bold=True)
            out += ink.box(x - long / 2, at - 7.5, long, 10, ink.GROUND) if jack.cords or jack.dummy else ""
            out += ink.text(x, at, words, size=8, bold=True, name="face-word", fill=colour)
        return out + "</g>\n"


class _Row:
    """The strips of one row, from the jacks outward: marks, ports' numbers, cable numbers, labels, what is plugged in."""

    def __init__(self, columns: Sequence[Column], jacks: Sequence[Jack], rear: bool, marked: bool) -> None:
        said = [strip.said_of(column, jack) for column, jack in zip(columns, jacks, strict=True)]
        self.plugged = ["" if rear else _plugged(jack) for jack in jacks]
        self.mark = _MARK if marked else 0.0
        cables = [", ".join(dict.fromkeys(ink.shown(one.cable) for one in jack.behind if one.cable)) for jack in jacks]
        self.strips: list[Strip] = [
            strip.each([one.tail for one in said], "", _LABEL_LONG),
            strip.strip(strip.runs(said), "", _LABEL_LONG, brackets=True),
            strip.each(cables if rear else [], "cable", _CABLE_LONG),
        ]
        self.plugs = callouts.callouts(self.plugged)

    @property
    def inner(self) -> float:
        """From the jacks to what is plugged in."""
        return self.mark + sum(found.high for found in self.strips)

    @property
    def high(self) -> float:
        """All of it."""
        return self.inner + self.plugs.high

    def painted(self, edge: float, down: bool) -> str:
        """The strips from the edge of the panel away."""
        sign = 1 if down else -1
        edge += sign * self.mark
        out = ""
        for found in self.strips:
            out += strip.paint(found, LEFT, edge, down, self._hides)
            edge += sign * found.high
        return out + callouts.paint(self.plugs, LEFT, edge, down)

    def _hides(self, run: strip.Run) -> bool:
        return any(self.plugged[run.first : run.first + run.over])


def _plugged(jack: Jack) -> str:
    if jack.cords:
        return ink.shown(" + ".join(f"to {cord.other}" for cord in jack.cords))
    return "dummy plug" if jack.dummy else ""
