"""Counts and words on lines: each is put where it hides no block and no other label, as near to the start of its line as there is room."""

import itertools
from collections.abc import Sequence
from typing import NamedTuple

from routecode.show.drawing.curve import along, length
from routecode.show.drawing.measure import SMALL, width
from routecode.show.drawing.picture import Line, Picture, Point
from routecode.show.drawing.route import Placed

_HIGH = 12.0
_FIRST = 13.0
_STEP = 4.0

Box = tuple[float, float, float, float]


class Label(NamedTuple):
    """A text on a line, centred at a point; `wide` and `high` are its box."""

    line: Line
    text: str
    at: Point
    wide: float
    high: float


def text_of(line: Line) -> str:
    """What is to be read on a line: its count, what is unusual, what became of it."""
    parts = [str(line.count) if line.count > 1 else "", line.note, line.mark.value]
    if line.kind == "normal":
        parts.insert(1, "normal")
    return " ".join(part for part in parts if part)


def place_labels(picture: Picture, placed: Placed) -> list[Label]:
    """The labels of all lines; words first, for they matter more."""
    taken: list[Box] = []
    for block in picture.blocks:
        x, y = placed.blocks[block.node]
        taken.append((x - 1, y - 1, x + block.wide + 1, y + block.high + 1))
    found = []
    flats = {line.id: placed.lines[line.id] for line in picture.lines}
    for line in sorted(picture.lines, key=lambda line: (not line.mark.value, -line.count)):
        text = text_of(line)
        if not text:
            continue
        wide = round(width(text, SMALL, bold=True) + 6, 1)
        at = _free(flats[line.id], wide, taken)
        taken.append(_around(at, wide))
        found.append(Label(line, text, at, wide, _HIGH))
    return found


def _around(at: Point, wide: float) -> Box:
    return at[0] - wide / 2 - 1, at[1] - _HIGH / 2 - 1, at[0] + wide / 2 + 1, at[1] + _HIGH / 2 + 1


def _free(points: Sequence[Point], wide: float, taken: Sequence[Box]) -> Point:
    """The first free place along a line, from its start; its middle where there is none."""
    total = length(points)
    distance = _FIRST
    while distance < total - 8:
        at = along(points, distance)
        if not any(_meet(_around(at, wide), box) for box in taken):
            return round(at[0], 2), round(at[1], 2)
        distance += _STEP
    at = along(points, total / 2)
    return round(at[0], 2), round(at[1], 2)


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def title_place(placed: Placed, frame: str, wide: float) -> float:
    """Where the middle of a room's title stands: at its left, moved to the right as far as lines need."""
    left, _, right, top = placed.frames[frame]
    start = left + 12
    last = max(start, right - 12 - wide)
    x = start
    while x <= last:
        box = (x - 3, top - 21, x + wide + 3, top - 4)
        if not any(_crosses(a, b, box) for points in placed.lines.values() for a, b in itertools.pairwise(points)):
            return x + wide / 2
        x += 3
    return start + wide / 2


def _crosses(a: Point, b: Point, box: Box) -> bool:
    """Whether an upright or level piece meets a box."""
    return _meet((min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]) + 0.01, max(a[1], b[1]) + 0.01), box)
