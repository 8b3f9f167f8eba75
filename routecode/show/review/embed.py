"""A picture made part of a page: parsed, and written again with only the elements and attributes named here.

So nothing that runs, loads or refers to anything outside gets into the page, whatever a name in the wiring was; ids are kept apart
from those of other pictures. What a thing is, and which sentences touch it, is put beside it (`Thing`).
"""

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable, Mapping
from typing import NamedTuple

from attrs import frozen

from routecode.show.escape import visible

PIXELS = 96 / 72
"""CSS pixels a point."""

_SVG = "{http://www.w3.org/2000/svg}"
_SHAPES = ("polygon", "polyline", "path", "rect", "circle", "ellipse", "line")
_TAGS = {"svg", "g", "title", "desc", "defs", "pattern", "clipPath", "text", "tspan", *_SHAPES}
_PLACES = ("x", "y", "x1", "y1", "x2", "y2", "dx", "dy", "cx", "cy", "r", "rx", "ry", "d", "points", "width", "height")
_STROKE = {f"stroke-{part}" for part in ("width", "dasharray", "linecap", "linejoin", "opacity")}
_FONT = {f"font-{part}" for part in ("family", "size", "weight", "style")}
_KEPT = {"id", "class", "viewBox", "preserveAspectRatio", "transform", "patternTransform", "patternUnits", "clip-path"}
_WORDS = {"text-anchor", "dominant-baseline", "textLength", "lengthAdjust"}
_ATTRIBUTES = {"fill", "fill-opacity", "stroke", "opacity", *_PLACES, *_STROKE, *_FONT, *_KEPT, *_WORDS}
_CLASS = re.compile(r"[A-Za-z0-9_ -]*\Z")
_LOCAL = re.compile(r"url\(#([A-Za-z0-9_.:-]+)\)\Z")
_ID = re.compile(r"[A-Za-z0-9_.:-]+\Z")


class Thing(NamedTuple):
    """What a group of a picture is: how it is called (empty: as it says itself), the sentences that touch it, whether it differs."""

    called: str = ""
    numbers: frozenset[int] = frozenset()
    differs: bool = False
    group: str = ""
    """What has the same key is lit with it: the words in a box, the label on a line. A follower has no numbers of its own."""


@frozen
class Picture:
    """A picture for the page: the SVG text, safe to be put into HTML, and its natural size in CSS pixels."""

    svg: str
    wide: float
    high: float


def embedded(svg: str, key: str, thing: Callable[[Mapping[str, str]], Thing | None], larger: float = 1.0) -> Picture:
    """The picture with ids that begin with `key`. `thing` is asked for every group, by its attributes as they were.

    `larger`: by how much the natural size is more than the units of the drawing. ValueError where it is no SVG.
    """
    try:
        root = ET.fromstring(svg)  # noqa: S314 (written by routecode itself; what users named is escaped in it)
    except ET.ParseError as error:
        raise ValueError(str(error)) from error
    writer = _Writer(key, thing)
    box = [float(part) for part in root.get("viewBox", "0 0 0 0").split()]
    wide, high = round(box[2] * larger, 1), round(box[3] * larger, 1)
    title = next((found.text or "" for found in root if found.tag == f"{_SVG}title"), "")
    desc = next((found.text or "" for found in root if found.tag == f"{_SVG}desc"), "")
    for found in [found for found in root if found.tag in (f"{_SVG}title", f"{_SVG}desc")]:
        root.remove(found)
    font = root.get("font-family", "")
    classes = root.get("class", "")
    attributes = {
        "class": f"picture {classes}".strip() if _CLASS.match(classes) else "picture",
        "role": "img",
        "viewBox": " ".join(f"{part:g}" for part in box),
        "width": f"{wide:g}",
        "height": f"{high:g}",
        "aria-labelledby": f"{key}-t",
        **({"aria-describedby": f"{key}-d"} if desc else {}),
        **({"font-family": font} if font else {}),
    }
    head = f'<svg{_written(attributes)}><title id="{key}-t">{_text(title)}</title>'
    said = f'<desc id="{key}-d">{_text(desc)}</desc>' if desc else ""
    return Picture(head + said + "".join(map(writer.written, root)) + "</svg>", wide, high)


class _Writer:
    def __init__(self, key: str, thing: Callable[[Mapping[str, str]], Thing | None]) -> None:
        self.key, self.thing = key, thing

    def written(self, element: ET.Element) -> str:
        """An element with all that is in it; nothing where it is none of ours."""
        tag = element.tag.removeprefix(_SVG) if isinstance(element.tag, str) else ""
        if tag not in _TAGS:
            return ""
        attributes = self._attributes(tag, element)
        inner = _text(element.text or "")
        if tag == "g":
            thing = self.thing(element.attrib)
            if thing is not None:
                inner = self._told(element, thing, attributes)
        inner += "".join(self.written(child) + _text(child.tail or "") for child in element)
        opened = tag + _written(attributes)
        return f"<{opened}>{inner}</{tag}>" if inner else f"<{opened}/>"

    def _told(self, element: ET.Element, thing: Thing, attributes: dict[str, str]) -> str:
        """The name of a thing as its first child, and the numbers of its sentences."""
        if thing.numbers:
            attributes["data-p"] = " ".join(map(str, sorted(thing.numbers)))
        if thing.group:
            attributes["data-g"] = thing.group
        if thing.differs:
            attributes["data-changed"] = "1"
        titles = [child for child in element if child.tag == f"{_SVG}title"]
        called = thing.called or "".join(child.text or "" for child in titles[:1])
        for child in titles:
            element.remove(child)
        return f"<title>{_text(called)}</title>" if called else ""

    def _attributes(self, tag: str, element: ET.Element) -> dict[str, str]:
        found: dict[str, str] = {}
        for name, value in element.attrib.items():
            if name not in _ATTRIBUTES or (name == "class" and not _CLASS.match(value)):
                continue
            kept = self._reference(value) if "url(" in value else value
            if name == "id":
                kept = f"{self.key}-{value}" if tag in ("pattern", "clipPath") and _ID.match(value) else None
            if kept is not None:
                found[name] = kept
        return found

    def _reference(self, value: str) -> str | None:
        """A reference to a pattern of this picture; None for any other."""
        local = _LOCAL.match(value)
        return f"url(#{self.key}-{local[1]})" if local is not None else None


def _written(attributes: Mapping[str, str]) -> str:
    return "".join(f' {name}="{_escaped(value)}"' for name, value in attributes.items())


def _text(text: str) -> str:
    stripped = text if text.strip() else ""
    return visible(stripped).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _escaped(text: str) -> str:
    return _text(text).replace('"', "&quot;").replace("'", "&#39;")
