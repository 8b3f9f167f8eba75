"""Graphviz' SVG checked and finished: every line is there; titles and a description for who cannot see it; fonts; dash patterns.

What graphviz wrote is parsed and written again, so that nothing but elements and attributes named here gets out.
"""

import xml.etree.ElementTree as ET
from collections.abc import Mapping

from routecode.show.drawing import look
from routecode.show.drawing.paint import Painted

MADE_BY = "routecode drawing"
_SVG = "{http://www.w3.org/2000/svg}"
_SHAPES = {
    "polygon": ("fill", "stroke", "stroke-width", "stroke-dasharray", "points"),
    "polyline": ("fill", "stroke", "stroke-width", "stroke-dasharray", "points"),
    "path": ("fill", "stroke", "stroke-width", "stroke-dasharray", "d"),
    "text": ("text-anchor", "x", "y", "font-size", "font-weight", "fill"),
}


def finish(answer: bytes, painted: Painted, title: str, description: str, prefix: str = "") -> str | None:
    """The finished SVG; None where graphviz' answer lacks a line or cannot be read. `prefix` keeps ids apart where several stand on one page."""
    try:
        root = ET.fromstring(answer.decode())  # noqa: S314 (written by the graphviz that we started)
        graph = next(found for found in root if found.tag == f"{_SVG}g")
    except (ET.ParseError, UnicodeDecodeError, StopIteration):
        return None
    groups = [group for group in graph if group.tag == f"{_SVG}g"]
    if sum(1 for group in groups if _kind(group) == "edge") != painted.edges:
        return None
    wide, high = painted.size
    head = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:g}pt" height="{high:g}pt" viewBox="0 0 {wide:g} {high:g}" role="img" '
        f'aria-labelledby="{prefix}title {prefix}desc" font-family="{look.FAMILY}">\n'
        f"<!-- {MADE_BY} -->\n"
        f'<title id="{prefix}title">{_escaped(title)}</title>\n<desc id="{prefix}desc">{_escaped(description)}</desc>\n'
    )
    transform = f'<g transform="translate(0 {high:g})">\n'
    body = [text for group in groups if (text := _group(group, painted, prefix))]
    return head + transform + "".join(body) + "</g>\n</svg>\n"


def _kind(group: ET.Element) -> str:
    return group.get("class", "").split(" ")[0]


def _group(group: ET.Element, painted: Painted, prefix: str) -> str:
    name = group.get("id", "")
    shapes = [_shape(shape, painted.dash.get(name)) for shape in group if shape.tag.removeprefix(_SVG) in _SHAPES]
    if not shapes:
        return ""
    said = painted.said.get(name)
    title = f"<title>{_escaped(said)}</title>" if said else ""
    return f'<g id="{_escaped(prefix + name)}">{title}{"".join(shapes)}</g>\n'


def _shape(shape: ET.Element, dash: tuple[float, ...] | None) -> str:
    tag = shape.tag.removeprefix(_SVG)
    kept: dict[str, str] = {key: shape.attrib[key] for key in _SHAPES[tag] if key in shape.attrib}
    if dash is not None and tag == "path":
        kept["stroke-dasharray"] = " ".join(f"{length:g}" for length in dash)
    if tag == "text":
        kept.setdefault("fill", look.INK)
    return _element(tag, kept, shape.text or "")


def _element(tag: str, attributes: Mapping[str, str], text: str) -> str:
    written = "".join(f' {key}="{_escaped(value)}"' for key, value in attributes.items())
    return f"<{tag}{written}>{_escaped(text)}</{tag}>" if text else f"<{tag}{written}/>"


def _escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace('"', "&quot;")
