"""A finished drawing as a PDF of one page: the few shapes a drawing is made of, in the fonts that every reader of PDF has.

Those fonts hold the Latin letters of Western Europe only (code page 1252); what they lack is counted, so that it can be told.
"""

import re
import xml.etree.ElementTree as ET
import zlib
from typing import NamedTuple

from routecode.show.drawing.measure import exact

_SVG = "{http://www.w3.org/2000/svg}"
_NUMBER = re.compile(r"-?[0-9.]+")
_NAMED = {"white": "#ffffff", "black": "#000000", "none": ""}


class Made(NamedTuple):
    """The file, and how many signs its fonts lack (shown as `?`)."""

    data: bytes
    lacking: int


def pdf_of(svg: str) -> Made:
    """The PDF of a finished drawing."""
    root = ET.fromstring(svg)  # noqa: S314 (our own text)
    box = [float(part) for part in root.get("viewBox", "0 0 1 1").split()]
    lacking = 0
    out = []
    for shape in root.iter():
        tag = shape.tag.removeprefix(_SVG) if isinstance(shape.tag, str) else ""
        if tag == "text":
            drawn, missing = _text(shape)
            lacking += missing
            out.append(drawn)
        elif tag in ("polygon", "polyline", "path"):
            out.append(_shape(shape, tag))
    title = root.find(f"{_SVG}title")
    return Made(
        _file("\n".join(out).encode("ascii"), box[2], box[3], (title.text or "") if title is not None else ""), lacking
    )


def _shape(shape: ET.Element, tag: str) -> str:
    fill, stroke = _colour(shape.get("fill", "none")), _colour(shape.get("stroke", "none"))
    way = _curve(shape.get("d", "")) if tag == "path" else _corners(shape.get("points", ""))
    dash = " ".join(_NUMBER.findall(shape.get("stroke-dasharray", "")))
    wide = float(shape.get("stroke-width", "1"))
    parts = ["q", f"{wide:g} w [{dash}] 0 d 1 j"]
    parts += [f"{fill} rg"] if fill else []
    parts += [f"{stroke} RG"] if stroke else []
    paint = ("b" if stroke else "f") if fill else "S"
    return " ".join([*parts, way, paint if tag != "path" or fill else "S", "Q"])


def _corners(text: str) -> str:
    numbers = [float(part) for part in _NUMBER.findall(text)]
    points = list(zip(numbers[::2], numbers[1::2], strict=True))
    return " ".join(f"{x:.2f} {-y:.2f} {'l' if index else 'm'}" for index, (x, y) in enumerate(points))


def _curve(text: str) -> str:
    out = []
    for letter, numbers in re.findall(r"([MCL])([^MCL]*)", text):
        found = [float(part) for part in _NUMBER.findall(numbers)]
        points = [f"{x:.2f} {-y:.2f}" for x, y in zip(found[::2], found[1::2], strict=True)]
        step, word = (3, "c") if letter == "C" else (1, "m" if letter == "M" else "l")
        out += [" ".join([*points[start : start + step], word]) for start in range(0, len(points), step)]
    return " ".join(out)


def _text(shape: ET.Element) -> tuple[str, int]:
    text = shape.text or ""
    data = text.encode("cp1252", errors="replace")
    lacking = sum(1 for sign in text if sign.encode("cp1252", errors="ignore") == b"")
    size = float(shape.get("font-size", "9"))
    bold = shape.get("font-weight") == "bold"
    x = float(shape.get("x", "0")) - (exact(text, size, bold) / 2 if shape.get("text-anchor") == "middle" else 0)
    y = -float(shape.get("y", "0"))
    colour = _colour(shape.get("fill", "#000000")) or "0 0 0"
    return f"BT {colour} rg /{'B' if bold else 'F'} {size:g} Tf {x:.2f} {y:.2f} Td <{data.hex()}> Tj ET", lacking


def _colour(text: str) -> str:
    value = _NAMED.get(text, text)
    if not re.fullmatch(r"#[0-9A-Fa-f]{6}", value):
        return ""
    return " ".join(f"{int(value[start : start + 2], 16) / 255:.3f}" for start in (1, 3, 5))


def _file(content: bytes, wide: float, high: float, title: str) -> bytes:
    packed = zlib.compress(content, 9)
    fonts = [
        f"<</Type/Font/Subtype/Type1/BaseFont/{name}/Encoding/WinAnsiEncoding>>"
        for name in ("Helvetica", "Helvetica-Bold")
    ]
    things = [
        b"<</Type/Catalog/Pages 2 0 R>>",
        b"<</Type/Pages/Kids[3 0 R]/Count 1>>",
        f"<</Type/Page/Parent 2 0 R/MediaBox[0 0 {wide:g} {high:g}]/Contents 4 0 R/Resources<</Font<</F 5 0 R/B 6 0 R>>>>>>".encode(),
        f"<</Filter/FlateDecode/Length {len(packed)}>>stream\n".encode() + packed + b"\nendstream",
        *(font.encode() for font in fonts),
        f"<</Producer(routecode drawing)/Title<feff{title.encode('utf-16-be', errors='replace').hex()}>>>".encode(),
    ]
    out = b"%PDF-1.4\n%\xe2\xe3\xcf\xd3\n% routecode drawing\n"
    starts = []
    for number, thing in enumerate(things, 1):
        starts.append(len(out))
        out += f"{number} 0 obj\n".encode() + thing + b"\nendobj\n"
    table = "".join(f"{start:010d} 00000 n \n" for start in starts)
    trailer = f"trailer<</Size {len(things) + 1}/Root 1 0 R/Info {len(things)} 0 R>>\nstartxref\n{len(out)}\n%%EOF\n"
    return out + f"xref\n0 {len(things) + 1}\n0000000000 65535 f \n{table}{trailer}".encode()
