"""The legend at the foot: only signs that occur in the picture, each with its name."""

from typing import NamedTuple

from routecode.show.drawing.compare import Mark
from routecode.show.drawing.facts import Normal
from routecode.show.drawing.measure import SMALL, width
from routecode.show.drawing.picture import Picture, Point
from routecode.show.drawing.strips import normal_strokes

HEAD = 26.0
FOOT = 46.0
_LINE = 26.0
_APART = 18.0

Drawn = tuple[str, tuple[Point, ...], Mark]


class Sample(NamedTuple):
    """One sign with its name; places count from the left end of the legend and its middle height."""

    text: str
    middle: float
    right: float
    strokes: tuple[Drawn, ...]


def samples(picture: Picture) -> list[Sample]:
    """The signs of a picture in order, side by side."""
    found: list[Sample] = []
    left = 0.0
    for text, wide, strokes in _signs(picture):
        start = left + wide + 5
        right = start + width(text, SMALL)
        drawn = tuple((kind, tuple((left + x, y) for x, y in points), mark) for kind, points, mark in strokes)
        found.append(Sample(text, (start + right) / 2, right, drawn))
        left = right + _APART
    return found


def _signs(picture: Picture) -> list[tuple[str, float, list[Drawn]]]:
    line: tuple[Point, ...] = ((0, 0), (_LINE, 0))
    signs: list[tuple[str, float, list[Drawn]]] = [
        ("fixed cable (a count: parallel)", _LINE, [("cable", line, Mark.SAME)])
    ]
    kinds = {found.kind for found in picture.lines} | {
        stroke.kind for block in picture.blocks for stroke in block.strokes
    }
    if "cord" in kinds:
        signs.append(("cord", _LINE, [("cord", line, Mark.SAME)]))
    if "normal" in kinds:
        for text, pattern in (
            ("half normal: bar where a plug breaks it", "half"),
            ("full", "full"),
            ("parallel", "parallel"),
        ):
            signs.append((text, 10, _strokes(pattern)))
    if "plug" in kinds:
        signs.append(("link plug", 10, _strokes("plug")))
    if picture.compared:
        signs += [(mark.value, _LINE, [("cable", line, mark)]) for mark in (Mark.NEW, Mark.GONE, Mark.CHANGED)]
    return signs


def _strokes(pattern: str) -> list[Drawn]:
    return [
        (stroke.kind, stroke.points, stroke.mark)
        for stroke in normal_strokes(Normal(pattern, True), 5, (-7, 7), Mark.SAME)
    ]
