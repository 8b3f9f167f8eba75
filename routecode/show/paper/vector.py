"""The project's own pictures (drawings, faces of bays) on paper: the shapes their SVG is made of, drawn as vectors by the pen.

Read is only what `show/drawing` and `show/faces` write: groups, rectangles, circles, straight and curved paths, polygons, texts.
Their texts were measured for a narrower font; each is narrowed so that it takes the room it was given.
"""

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from routecode.show.drawing import measure
from routecode.show.paper import text
from routecode.show.paper.pen import INK, Pen, Point, Stroke

_SVG = "{http://www.w3.org/2000/svg}"
_NUMBER = re.compile(r"-?(?:\d+\.?\d*|\.\d+)(?:e-?\d+)?")
_STEP = re.compile(r"([MLHVCQZmlhvcqz])([^MLHVCQZmlhvcqz]*)")
_TURNED = re.compile(r"rotate\((-?[0-9.]+)")
_NAMED = {"white": "#ffffff", "black": "#000000"}
Step = tuple[str, list[Point]]


class Picture(NamedTuple):
    """A picture: its size in points, its root."""

    wide: float
    high: float
    left: float
    top: float
    root: ET.Element


def read(svg: str) -> Picture:
    """A picture of this project (ValueError where it is no SVG with a viewBox)."""
    try:
        root = ET.fromstring(svg)  # noqa: S314 (written by this program)
    except ET.ParseError as error:
        raise ValueError("not a picture") from error
    box = [float(part) for part in root.get("viewBox", "").split()]
    if len(box) != 4 or box[2] <= 0 or box[3] <= 0:
        raise ValueError("a picture without a size")
    return Picture(box[2], box[3], box[0], box[1], root)


def draw(pen: Pen, picture: Picture, x: float, y: float, scale: float, *, turned: bool = False) -> None:
    """The picture with its upper left corner at (x, y); `turned`: that corner is at the lower left, and it reads upward."""
    with pen.placed(x, y, scale, turned=turned), pen.placed(-picture.left, -picture.top):
        _children(pen, picture.root)


def _children(pen: Pen, group: ET.Element) -> None:
    for shape in group:
        tag = shape.tag.removeprefix(_SVG) if isinstance(shape.tag, str) else ""
        if tag == "g":
            move = _numbers(shape.get("transform", "")) if "translate" in shape.get("transform", "") else [0.0, 0.0]
            with pen.placed(move[0], move[1] if len(move) > 1 else 0.0):
                _children(pen, shape)
        elif tag == "text":
            _text(pen, shape)
        else:
            _shape(pen, tag, shape)


def _shape(pen: Pen, tag: str, shape: ET.Element) -> None:
    stroke, fill = _stroke(shape.attrib), _colour(shape.get("fill", "#000000"))
    if tag == "rect":
        x, y, wide, high = (_number(shape, name) for name in ("x", "y", "width", "height"))
        pen.box(x, y, wide, high, stroke=stroke, fill=fill, round_=_number(shape, "rx"))
    elif tag == "circle":
        pen.ring(_number(shape, "cx"), _number(shape, "cy"), _number(shape, "r"), stroke=stroke, fill=fill)
    elif tag in ("polygon", "polyline"):
        points = _points(_numbers(shape.get("points", "")))
        steps: list[Step] = [("L" if index else "M", [point]) for index, point in enumerate(points)]
        if steps:
            pen.path([*steps, ("Z", [])] if tag == "polygon" else steps, stroke=stroke, fill=fill)
    elif tag == "line":
        ends = [_number(shape, name) for name in ("x1", "y1", "x2", "y2")]
        pen.path([("M", [(ends[0], ends[1])]), ("L", [(ends[2], ends[3])])], stroke=stroke)
    elif tag == "path":
        steps = list(_steps(shape.get("d", "")))
        if steps:
            pen.path(steps, stroke=stroke, fill=fill)


def _steps(way: str) -> Iterator[Step]:
    """The steps of a path, absolute, as M, L, C and Z."""
    here: Point = (0.0, 0.0)
    start = here
    for letter, rest in _STEP.findall(way):
        numbers = _numbers(rest)
        base = here if letter.islower() else (0.0, 0.0)
        kind = letter.upper()
        if kind == "Z":
            here = start
            yield "Z", []
        elif kind in "HV":
            for number in numbers:
                here = (number + base[0], here[1]) if kind == "H" else (here[0], number + base[1])
                base = here if letter.islower() else base
                yield "L", [here]
        else:
            size = {"C": 3, "Q": 2}.get(kind, 1)
            for at in range(0, len(numbers) - 2 * size + 1, 2 * size):
                points = [(px + base[0], py + base[1]) for px, py in _points(numbers[at : at + 2 * size])]
                word = "L" if kind == "M" and at else kind
                yield ("C", _cubic(here, *points)) if kind == "Q" else (word, points)
                here = points[-1]
                base = here if letter.islower() else base
                start = here if word == "M" else start


def _cubic(start: Point, bend: Point, end: Point) -> list[Point]:
    """A curve with one control point as one with two."""
    first = (start[0] + (bend[0] - start[0]) * 2 / 3, start[1] + (bend[1] - start[1]) * 2 / 3)
    second = (end[0] + (bend[0] - end[0]) * 2 / 3, end[1] + (bend[1] - end[1]) * 2 / 3)
    return [first, second, end]


def _text(pen: Pen, shape: ET.Element) -> None:
    words = shape.text or ""
    size = _number(shape, "font-size", 9.0)
    bold = shape.get("font-weight") == "bold"
    long = text.width(words, size, bold)
    given = measure.exact(words, size, bold)
    squeeze = min(1.0, given / long) if long else 1.0
    turned = _TURNED.search(shape.get("transform", ""))
    pen.text(
        _number(shape, "x"),
        _number(shape, "y"),
        words,
        size,
        bold=bold,
        colour=_colour(shape.get("fill", INK)) or INK,
        anchor=shape.get("text-anchor", "start"),
        squeeze=squeeze,
        angle=-float(turned[1]) if turned else 0.0,
    )


def _stroke(attributes: Mapping[str, str]) -> Stroke | None:
    colour = _colour(attributes.get("stroke", "none"))
    if not colour:
        return None
    dash = tuple(_numbers(attributes.get("stroke-dasharray", "")))
    return Stroke(colour, float(attributes.get("stroke-width", "1")), dash)


def _colour(named: str) -> str:
    """As `#RRGGBB`; empty for none."""
    value = _NAMED.get(named, named)
    if re.fullmatch(r"#[0-9A-Fa-f]{3}", value):
        value = "#" + "".join(sign * 2 for sign in value[1:])
    return value if re.fullmatch(r"#[0-9A-Fa-f]{6}", value) else ""


def _number(shape: ET.Element, name: str, otherwise: float = 0.0) -> float:
    found = _numbers(shape.get(name, ""))
    return found[0] if found else otherwise


def _numbers(words: str) -> list[float]:
    return [float(part) for part in _NUMBER.findall(words)]


def _points(numbers: list[float]) -> list[Point]:
    return list(zip(numbers[::2], numbers[1::2], strict=False))
