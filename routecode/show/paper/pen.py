"""The pen: shapes and texts on pages of a PDF, in points from the upper left corner, downward. The only module that drives the writer of PDF.

Same calls, same bytes: no time, no name of a machine, no random id is written. What the fonts lack is drawn as a box with its code
point, and remembered by the text it stands in.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from io import BytesIO
from typing import Any, NamedTuple

from routecode.show.paper import fonts, script, text

MM = 72 / 25.4
"""Points of a millimetre."""
INK, QUIET, RULE = "#000000", "#444444", "#888888"
MADE_BY = "routecode paper"
_THEIRS = b"ReportLab Generated PDF document (opensource)"
Point = tuple[float, float]


class Size(NamedTuple):
    """A sheet, in points."""

    name: str
    wide: float
    high: float

    @property
    def turned(self) -> "Size":
        """The same sheet with its long side level (or the other way round)."""
        return Size(self.name, self.high, self.wide)


PAPERS = {"a4": Size("a4", 210 * MM, 297 * MM), "letter": Size("letter", 8.5 * 72, 11 * 72)}
"""The sheets that can be asked for, upright."""


class Stroke(NamedTuple):
    """How a line is drawn: colour, width, dashes."""

    colour: str = INK
    wide: float = 0.6
    dash: tuple[float, ...] = ()


HAIR = Stroke(RULE, 0.3)
LINE = Stroke()


class Pen:
    """One document. `page` begins each page; `done` gives the bytes."""

    def __init__(self, title: str, about: str = "", made_by: str = MADE_BY) -> None:
        from reportlab.pdfgen.canvas import Canvas

        fonts.register()
        self._into = BytesIO()
        self._canvas: Any = Canvas(
            self._into, invariant=1, pageCompression=1, pdfVersion=(1, 4), lang="en", initialFontName=fonts.REGULAR
        )
        self._canvas.setTitle(script.cleaned(title))
        self._canvas.setSubject(script.cleaned(about))
        self._canvas.setAuthor("")
        self._canvas.setCreator(made_by)
        self._canvas.setProducer(made_by)
        self._made_by = made_by.encode()
        self._high = 0.0
        self._pages = 0
        self.lacking: dict[str, tuple[str, ...]] = {}
        """Text -> the signs in it that the fonts lack, each once."""
        self.pages_of: Mapping[str, int] = {}
        """Key of a piece -> the page it stands on, from 1; known before anything is painted."""

    # -- pages ----------------------------------------------------------------------------------------------------------

    def page(self, size: Size) -> None:
        """Begin a page."""
        if self._pages:
            self._canvas.showPage()
        self._pages += 1
        self._canvas.setPageSize((size.wide, size.high))
        self._high = size.high

    def done(self) -> bytes:
        """The document; ends it."""
        self._canvas.showPage()
        self._canvas.save()
        data = self._into.getvalue()
        return data.replace(_THEIRS, self._made_by.ljust(len(_THEIRS)), 1)  # same length: every offset still holds

    @contextmanager
    def placed(self, x: float, y: float, scale: float = 1.0, *, turned: bool = False) -> Iterator[None]:
        """What is drawn inside counts from (x, y), scaled; `turned`: its left side is at the bottom."""
        high = self._high
        self._canvas.saveState()
        matrix = (0, scale, -scale, 0) if turned else (scale, 0, 0, scale)
        self._canvas.transform(*matrix, x, high - y)
        self._high = 0.0
        try:
            yield
        finally:
            self._high = high
            self._canvas.restoreState()

    def goal(self, key: str, y: float, title: str, level: int) -> None:
        """A place that links and the outline lead to; `level` from 0, at most one deeper than the entry before it."""
        self._canvas.bookmarkHorizontal(key, 0, self._high - y)
        self._canvas.addOutlineEntry(script.cleaned(title), key, level, closed=level > 0)

    def link(self, key: str, x: float, y: float, wide: float, high: float) -> None:
        """A place to click: it leads to the goal of that key, which must come."""
        self._canvas.linkAbsolute("", key, (x, self._high - y - high, x + wide, self._high - y), Border="[0 0 0]")

    # -- texts ----------------------------------------------------------------------------------------------------------

    def text(
        self,
        x: float,
        y: float,
        words: str,
        size: float,
        *,
        bold: bool = False,
        colour: str = INK,
        anchor: str = "start",
        squeeze: float = 1.0,
        angle: float = 0.0,
    ) -> None:
        """A line whose letters stand at y; `squeeze` narrows it, `angle` turns it around (x, y), anticlockwise in degrees."""
        line = script.drawn(script.cleaned(words))
        missing = fonts.missing_glyphs(line)
        if missing:
            self.lacking[words] = missing
        long = text.width(words, size, bold) * squeeze
        start = {"middle": -long / 2, "end": -long}.get(anchor, 0.0)
        canvas = self._canvas
        if not angle:
            self._line(x + start, self._high - y, line, (size, bold, colour, squeeze))
            return
        canvas.saveState()
        canvas.translate(x, self._high - y)
        canvas.rotate(angle)
        self._line(start, 0, line, (size, bold, colour, squeeze))
        canvas.restoreState()

    def _line(self, x: float, y: float, line: str, how: tuple[float, bool, str, float]) -> None:
        size, bold, colour, squeeze = how
        for font, piece in fonts.runs(line, bold):
            if font is None:
                for sign in piece:
                    self._box_for(x, y, sign, how)
                    x += fonts.box_width(sign) * size * squeeze
                continue
            out = self._canvas.beginText(x, y)
            out.setFont(font, size)
            out.setFillColor(_colour(colour))
            out.setHorizScale(100 * squeeze)
            out.textOut(piece)
            if squeeze != 1.0:
                out.setHorizScale(100)
            self._canvas.drawText(out)
            x += sum(fonts.sign_width(sign, bold) for sign in piece) * size * squeeze

    def _box_for(self, x: float, y: float, sign: str, how: tuple[float, bool, str, float]) -> None:
        """The box that stands for a sign without a glyph: its code point in two rows."""
        size, _, colour, squeeze = how
        digits = f"{ord(sign):04X}" if ord(sign) < 0x10000 else f"{ord(sign):06X}"
        half = len(digits) // 2
        wide = fonts.box_width(sign) * size * squeeze
        self._canvas.setStrokeColor(_colour(colour))
        self._canvas.setLineWidth(size * 0.04)
        self._canvas.rect(x + 0.05 * size * squeeze, y - 0.12 * size, wide - 0.1 * size * squeeze, 0.94 * size)
        small = size * 0.45
        for row, part in enumerate((digits[:half], digits[half:])):
            long = text.width(part, small) * squeeze
            at = x + (wide - long) / 2
            self._line(at, y + (0.42 - 0.44 * row) * size, part, (small, False, colour, squeeze))

    # -- shapes ---------------------------------------------------------------------------------------------------------

    def line(self, x1: float, y1: float, x2: float, y2: float, how: Stroke = LINE) -> None:
        """A straight line."""
        self._stroke(how)
        self._canvas.line(x1, self._high - y1, x2, self._high - y2)

    def box(
        self,
        x: float,
        y: float,
        wide: float,
        high: float,
        *,
        stroke: Stroke | None = LINE,
        fill: str = "",
        round_: float = 0.0,
    ) -> None:
        """A rectangle from its upper left corner."""
        self._look(stroke, fill)
        place = (x, self._high - y - high, wide, high)
        if round_:
            self._canvas.roundRect(*place, round_, stroke=int(stroke is not None), fill=int(bool(fill)))
        else:
            self._canvas.rect(*place, stroke=int(stroke is not None), fill=int(bool(fill)))

    def ring(self, x: float, y: float, radius: float, *, stroke: Stroke | None = LINE, fill: str = "") -> None:
        """A circle."""
        self._look(stroke, fill)
        self._canvas.circle(x, self._high - y, radius, stroke=int(stroke is not None), fill=int(bool(fill)))

    def path(
        self, steps: Sequence[tuple[str, Sequence[Point]]], *, stroke: Stroke | None = LINE, fill: str = ""
    ) -> None:
        """A path of steps: M (one point), L (one), C (three), Z (none)."""
        self._look(stroke, fill)
        way = self._canvas.beginPath()
        for letter, points in steps:
            numbers = [number for x, y in points for number in (x, self._high - y)]
            if letter == "Z":
                way.close()
            else:
                {"M": way.moveTo, "L": way.lineTo, "C": way.curveTo}[letter](*numbers)
        self._canvas.drawPath(way, stroke=int(stroke is not None), fill=int(bool(fill)))

    def _look(self, stroke: Stroke | None, fill: str) -> None:
        if stroke is not None:
            self._stroke(stroke)
        if fill:
            self._canvas.setFillColor(_colour(fill))

    def _stroke(self, how: Stroke) -> None:
        self._canvas.setStrokeColor(_colour(how.colour))
        self._canvas.setLineWidth(how.wide)
        self._canvas.setDash(list(how.dash))


_HEX = re.compile(r"#[0-9A-Fa-f]{6}")


def _colour(named: str) -> Any:
    """A colour as `#RRGGBB`; anything else is ink."""
    from reportlab.lib.colors import HexColor

    return HexColor(named if _HEX.fullmatch(named) else INK)


def is_ours(data: bytes) -> bool:
    """Whether a file that begins so was made by this folder."""
    return MADE_BY.encode() in data[:1024]
