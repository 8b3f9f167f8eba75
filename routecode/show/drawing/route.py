"""The way of every line: down from its port, sideways between two rows of blocks, and past the blocks of other rows in the gaps.

Rows and places from left to right come from graphviz; heights and ways are made here, so that no line crosses a box and no two
lines lie on each other, those that cross each other neither.
"""

from collections.abc import Mapping
from typing import NamedTuple

from routecode.show.drawing.channels import GAP, Channel, Piece
from routecode.show.drawing.picture import Attach, Block, Line, Picture, Point

_CLEAR = 8.0
_NEARLY = 7.0
_STEP = 4.0
_TITLE = 24.0
_UNDER = 10.0


class Placed(NamedTuple):
    """Lower left corners of blocks, boxes of frames, corners of lines, size of the whole."""

    blocks: dict[str, Point]
    frames: dict[str, tuple[float, float, float, float]]
    lines: dict[str, tuple[Point, ...]]
    size: Point


class _End(NamedTuple):
    """Where a line meets the channels: its place from left to right, the channel, whether it comes from above."""

    x: float
    channel: int
    above: bool
    attach: Attach


class _Way(NamedTuple):
    a: _End
    b: _End
    across: float | None
    pieces: tuple[tuple[int, Piece], ...]


def route(
    picture: Picture, lefts: Mapping[str, float], rows: Mapping[str, int], rooms: Mapping[str, tuple[float, float]]
) -> Placed:
    """Everything placed: `lefts` is the left edge of each block, `rows` its row from the top, `rooms` are the sides of frames."""
    router = _Router(picture, lefts, rows, rooms)
    for line in sorted(picture.lines, key=router.span):
        router.lay(line)
    return router.placed()


class _Router:
    def __init__(
        self,
        picture: Picture,
        lefts: Mapping[str, float],
        rows: Mapping[str, int],
        rooms: Mapping[str, tuple[float, float]],
    ) -> None:
        self.picture, self.lefts, self.rows, self.rooms = picture, lefts, rows, rooms
        self.block = {block.node: block for block in picture.blocks}
        self.count = max(rows.values(), default=-1) + 1
        self.channels = [Channel() for _ in range(self.count + 1)]
        self.blocked: list[list[tuple[float, float]]] = [[] for _ in range(self.count)]
        self.used: list[list[float]] = [[] for _ in range(self.count)]
        self.ways: dict[str, _Way] = {}
        for block in picture.blocks:
            left = lefts[block.node]
            self.blocked[rows[block.node]].append((left - _CLEAR, left + block.wide + _CLEAR))
        self.aside = _spread_at_ports(picture, lefts, self.block)
        self._rails()
        self._frames()

    def _rails(self) -> None:
        for block in self.picture.blocks:
            self.used[self.rows[block.node]] += [self._rail_x(block, index) for index in range(len(block.rails))]

    def _rail_x(self, block: Block, index: int) -> float:
        return self.lefts[block.node] + block.wide + 5 + 4 * index

    def _frames(self) -> None:
        for frame in self.picture.frames:
            inside = [self.rows[block.node] for block in self.picture.blocks if block.room == frame.id]
            top, foot = self.channels[min(inside)], self.channels[max(inside) + 1]
            top.framed = max(top.framed, _TITLE + 26)
            foot.framed = max(foot.framed, _TITLE + 26)

    def span(self, line: Line) -> tuple[int, float, int]:
        """Short lines are laid first."""
        a, b = self._end(line, first=True), self._end(line, first=False)
        return abs(a.channel - b.channel), abs(a.x - b.x), int(line.id[1:])

    # -- ways -----------------------------------------------------------------------------------------------------------

    def _end(self, line: Line, first: bool) -> _End:
        attach = line.a if first else line.b
        other = line.b if first else line.a
        row = self.rows[attach.node]
        if attach.edge == "e":
            down = self.rows[other.node] >= row
            x = self._rail_x(self.block[attach.node], int(attach.port[1:]))
            return _End(x, row + 1 if down else row, down, attach)
        x = self.aside[line.id, first]
        return _End(x, row + 1 if attach.edge == "s" else row, attach.edge == "s", attach)

    def lay(self, line: Line) -> None:
        """Find the way of one line and take its room."""
        a, b = self._end(line, first=True), self._end(line, first=False)
        if a.channel == b.channel:
            self.ways[line.id] = _Way(a, b, None, self._level(line.id, a.channel, (a.x, a.above), (b.x, b.above)))
            return
        low, high = sorted((a.channel, b.channel))
        x = self._gap(range(low, high), a.x, b.x)
        for row in range(low, high):
            self.used[row].append(x)
        for channel in range(low + 1, high):
            self.channels[channel].passing.append(x)
        down = b.channel > a.channel
        start = self._level(line.id, a.channel, (a.x, a.above), (x, not down))
        rest = self._level(line.id, b.channel, (x, down), (b.x, b.above))
        self.ways[line.id] = _Way(a, b, x, start + rest)

    def _level(
        self, line: str, channel: int, start: tuple[float, bool], end: tuple[float, bool]
    ) -> tuple[tuple[int, Piece], ...]:
        if abs(start[0] - end[0]) < 0.01 and start[1] != end[1]:
            self.channels[channel].passing.append(start[0])
            return ()
        tops = tuple(x for x, above in (start, end) if above)
        feet = tuple(x for x, above in (start, end) if not above)
        piece = Piece(line, min(start[0], end[0]), max(start[0], end[0]), tops, feet)
        self.channels[channel].pieces.append(piece)
        return ((channel, piece),)

    def _gap(self, rows: range, a: float, b: float) -> float:
        """The place nearest to both ends at which an upright line passes all of `rows`."""
        taken = sorted(interval for row in rows for interval in self.blocked[row])
        used = sorted({x for row in rows for x in self.used[row]})
        edges = [edge for interval in taken for edge in interval]
        tries = {a, b, *edges, *(x + side * GAP for x in used for side in (-1, 1))}
        tries |= {(a + b) / 2}
        free = [x for x in tries if _is_free(x, taken, used)]
        best = min(free, key=lambda x: (abs(x - a) + abs(x - b) + (0 if x in (a, b) else 6), abs(x - a), x))
        return round(best, 2)

    # -- heights --------------------------------------------------------------------------------------------------------

    def placed(self) -> Placed:
        """Heights given, everything turned upward and moved to the corner."""
        for channel in self.channels:
            channel.settle()
        heights = [
            max(block.high for block in self.picture.blocks if self.rows[block.node] == row)
            for row in range(self.count)
        ]
        tops, y = [], 0.0
        channel_tops = []
        for row, height in enumerate(heights):
            channel_tops.append(y)
            y += self.channels[row].high
            tops.append(y)
            y += height
        channel_tops.append(y)
        y += self.channels[self.count].high
        self.total, self.row_tops, self.row_highs, self.channel_tops = y, tops, heights, channel_tops
        corners = {
            block.node: (self.lefts[block.node], y - self._top(block) - block.high) for block in self.picture.blocks
        }
        lines = {line.id: self._points(line, corners) for line in self.picture.lines}
        return _moved(self.picture, Placed(corners, self._boxes(), lines, (0, y)))

    def _top(self, block: Block) -> float:
        row = self.rows[block.node]
        return self.row_tops[row] + (self.row_highs[row] - block.high) / 2

    def _boxes(self) -> dict[str, tuple[float, float, float, float]]:
        found = {}
        for frame in self.picture.frames:
            inside = [block for block in self.picture.blocks if block.room == frame.id]
            rows = [self.rows[block.node] for block in inside]
            top = self.row_tops[min(rows)] - _TITLE
            foot = self.row_tops[max(rows)] + self.row_highs[max(rows)] + _UNDER
            left, right = self.rooms[frame.id]
            found[frame.id] = (left, self.total - foot, right, self.total - top)
        return found

    def _points(self, line: Line, corners: Mapping[str, Point]) -> tuple[Point, ...]:
        way = self.ways[line.id]
        start, end = self._port(way.a, corners), self._port(way.b, corners)
        points = [*start]
        x = way.a.x
        for channel, whole in way.pieces:
            halves = whole.halves if any(abs(x - top) < 0.01 for top in whole.tops) else whole.halves[::-1]
            for piece in halves or (whole,):
                y = self.total - self.channel_tops[channel] - self.channels[channel].depth(piece)
                far = piece.right if abs(piece.left - x) < 0.01 else piece.left
                points += [(x, y), (far, y)]
                x = far
        return _plain([*points, *end[::-1]])

    def _port(self, end: _End, corners: Mapping[str, Point]) -> list[Point]:
        """The point at the block; for a rail also the corner beside it."""
        block = self.block[end.attach.node]
        left, low = corners[block.node]
        if end.attach.edge == "e":
            y = low + block.rails[int(end.attach.port[1:])]
            return [(left + block.wide, y), (end.x, y)]
        return [(end.x, low if end.attach.edge == "s" else low + block.high)]


def _is_free(x: float, taken: list[tuple[float, float]], used: list[float]) -> bool:
    return not any(left < x < right for left, right in taken) and not any(abs(x - other) < GAP - 0.01 for other in used)


def _spread_at_ports(
    picture: Picture, lefts: Mapping[str, float], blocks: Mapping[str, Block]
) -> dict[tuple[str, bool], float]:
    """Where each end of each line meets its cell: lines at one cell stand side by side, in the order of their far ends."""
    slots = {(block.node, slot.port): slot for block in picture.blocks for slot in block.slots}
    at: dict[tuple[str, str, str], list[tuple[float, str, bool]]] = {}
    for line in picture.lines:
        for own, other, first in ((line.a, line.b, True), (line.b, line.a, False)):
            if own.edge != "e":
                at.setdefault(own_key(own), []).append(
                    (lefts[other.node] + blocks[other.node].wide / 2, line.id, first)
                )
    found: dict[tuple[str, bool], float] = {}
    for (node, port, _), ends in at.items():
        slot = slots[node, port]
        middle = lefts[node] + slot.left + slot.wide / 2
        apart = min(8.0, (slot.wide - 6) / max(len(ends) - 1, 1))
        for index, (_, line_id, first) in enumerate(sorted(ends)):
            found[line_id, first] = round(middle + apart * (index - (len(ends) - 1) / 2), 2)
    alone = {(ends[0][1], ends[0][2]) for ends in at.values() if len(ends) == 1}
    _straighten(picture, found, alone)
    return found


def _straighten(picture: Picture, found: dict[tuple[str, bool], float], alone: set[tuple[str, bool]]) -> None:
    """A line that would step aside by a few points runs straight instead, where it has a cell to itself at one end."""
    for line in picture.lines:
        ends = [(line.id, True), (line.id, False)]
        if all(end in found for end in ends) and abs(found[ends[0]] - found[ends[1]]) <= _NEARLY:
            for end, other in (ends, ends[::-1]):
                if end in alone:
                    found[end] = found[other]
                    break


def own_key(end: Attach) -> tuple[str, str, str]:
    """A port and the edge at which it is met."""
    return end.node, end.port, end.edge


def _plain(points: list[Point]) -> tuple[Point, ...]:
    """Without points that stand on each other or on a straight line."""
    found: list[Point] = []
    for x, y in points:
        point = (round(x, 2), round(y, 2))
        if found and found[-1] == point:
            continue
        if len(found) > 1 and _in_line(found[-2], found[-1], point):
            found[-1] = point
            continue
        found.append(point)
    return tuple(found)


def _in_line(a: Point, b: Point, c: Point) -> bool:
    return a[0] == b[0] == c[0] or a[1] == b[1] == c[1]


def _moved(picture: Picture, placed: Placed) -> Placed:
    """Everything moved so that it starts at the left."""
    turns = [x for points in placed.lines.values() for x, _ in points]
    xs = turns + [box[0] for box in placed.frames.values()] + [x for x, _ in placed.blocks.values()]
    rights = turns + [box[2] for box in placed.frames.values()]
    rights += [placed.blocks[block.node][0] + block.wide for block in picture.blocks]
    shift, right = -min(xs, default=0.0), max(rights, default=0.0)
    return Placed(
        {node: (round(x + shift, 2), round(y, 2)) for node, (x, y) in placed.blocks.items()},
        {name: (a + shift, b, c + shift, d) for name, (a, b, c, d) in placed.frames.items()},
        {name: tuple((round(x + shift, 2), y) for x, y in points) for name, points in placed.lines.items()},
        (round(right + shift, 2), round(placed.size[1], 2)),
    )
