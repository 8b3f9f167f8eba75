"""Faces of bays read back from their SVG: boxes of texts, jacks at their places. Knows nothing of how they were laid out."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

from routecode.show.drawing.measure import width

SVG = "{http://www.w3.org/2000/svg}"


class Box(NamedTuple):
    """Left, top, right, bottom, and what is there."""

    left: float
    top: float
    right: float
    bottom: float
    text: str = ""

    def meets(self, other: "Box", by: float = 0.05) -> bool:
        """Whether two boxes share more than an edge."""
        level = min(self.right, other.right) - max(self.left, other.left) > by
        return level and min(self.bottom, other.bottom) - max(self.top, other.top) > by

    def covers(self, other: "Box", by: float = 0.6) -> bool:
        """Whether the other lies within."""
        return (
            self.left - by <= other.left
            and self.top - by <= other.top
            and self.right + by >= other.right
            and self.bottom + by >= other.bottom
        )


class Seen(NamedTuple):
    """A jack: name, middle, title, and the texts within its group."""

    name: str
    x: float
    y: float
    title: str
    texts: tuple[str, ...]


class Reading(NamedTuple):
    """A face."""

    root: ET.Element
    page: Box
    texts: tuple[Box, ...]
    jacks: tuple[Seen, ...]


def read(svg: str) -> Reading:
    """A face from its SVG; it must be well-formed."""
    root = ET.fromstring(svg)
    left, top, wide, high = (float(part) for part in root.attrib["viewBox"].split())
    texts = tuple(text_box(found) for found in root.iter(f"{SVG}text"))
    jacks = tuple(_jack(group) for group in root.iter(f"{SVG}g") if group.get("class") == "jack")
    return Reading(root, Box(left, top, left + wide, top + high), texts, jacks)


def text_box(text: ET.Element) -> Box:
    """Where a text is: letters reach 0.78 of their size above the line they stand on and 0.24 below."""
    x, y, size = (float(text.attrib[key]) for key in ("x", "y", "font-size"))
    words = text.text or ""
    long = width(words, size, text.get("font-weight") == "bold")
    before = {"start": 0.0, "middle": long / 2, "end": long}[text.attrib["text-anchor"]]
    if "transform" not in text.attrib:
        return Box(x - before, y - 0.78 * size, x - before + long, y + 0.24 * size, words)
    assert text.attrib["transform"] == f"rotate(-90 {text.attrib['x']} {text.attrib['y']})"
    return Box(x - 0.78 * size, y + before - long, x + 0.24 * size, y + before, words)


def _jack(group: ET.Element) -> Seen:
    title = group.findtext(f"{SVG}title", "")
    texts = tuple(found.text or "" for found in group.iter(f"{SVG}text"))
    shape = next(found for found in group if (found.get("class") or "").startswith("face-ring"))
    if shape.tag == f"{SVG}circle":
        return Seen(group.attrib["data-jack"], float(shape.attrib["cx"]), float(shape.attrib["cy"]), title, texts)
    frame = rectangle(shape)
    x, y = (frame.left + frame.right) / 2, (frame.top + frame.bottom) / 2
    return Seen(group.attrib["data-jack"], x, y, title, texts)


def rectangle(shape: ET.Element) -> Box:
    """The box of a `<rect>`."""
    x, y, wide, high = (float(shape.attrib[key]) for key in ("x", "y", "width", "height"))
    return Box(x, y, x + wide, y + high)


def upright(found: Reading, name: str) -> Iterator[Box]:
    """The upright lines of a class, as boxes without width."""
    for shape in found.root.iter(f"{SVG}path"):
        if shape.get("class") == name:
            numbers = [float(part) for part in re.findall(r"-?[0-9.]+", shape.attrib["d"])]
            x, top, other, bottom = numbers
            assert x == other
            yield Box(x, min(top, bottom), x, max(top, bottom))


def overlaps(boxes: tuple[Box, ...]) -> list[tuple[str, str]]:
    """The texts that run into each other."""
    found = []
    waiting: list[Box] = []
    for box in sorted(boxes):
        waiting = [other for other in waiting if other.right > box.left]
        found += [(other.text, box.text) for other in waiting if other.meets(box)]
        waiting.append(box)
    return found


def struck(found: Reading) -> list[str]:
    """The texts that a dotted line runs through without a ground between the two."""
    order = list(found.root.iter())
    grounds = [rectangle(shape) for shape in order if shape.get("class") == "face-ground"][1:]
    lines = list(upright(found, "face-leader"))
    hit = [
        box
        for box in found.texts
        if any(
            box.left + 0.3 < line.left < box.right - 0.3 and line.top < box.bottom - 0.3 and line.bottom > box.top + 0.3
            for line in lines
        )
    ]
    return [box.text for box in hit if not any(ground.covers(box) for ground in grounds)]


def evenly(places: list[float]) -> bool:
    """Whether places follow each other at one distance."""
    steps = {round(b - a, 2) for a, b in pairwise(places)}
    return len(steps) <= 1
