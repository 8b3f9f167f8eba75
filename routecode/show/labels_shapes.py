"""What a sheet of labels is made of: lines and texts in millimetres from the upper left corner, the same for PDF and SVG.

Black only: labels have no colour that the studio did not ask for.
"""

from attrs import frozen

from routecode.show.labels_fit import SQUEEZE
from routecode.show.paper import text
from routecode.show.paper.pen import MM, PAPERS

HAIR, THIN, CUT = 0.05, 0.1, 0.15
"""Widths of lines, in millimetres."""


@frozen
class Line:
    """A straight line; `of` says what it is (`edge`, `cell`, `tick`, `cut`, `fold`, `ruler`, `rule`)."""

    x1: float
    y1: float
    x2: float
    y2: float
    of: str
    wide: float = THIN
    dashed: bool = False


@frozen
class Text:
    """A line of text whose letters stand at y; `size` in points; `of` says what it is (`label`, `caption`, `foot`, ...)."""

    x: float
    y: float
    words: str
    size: float
    of: str
    anchor: str = "start"
    bold: bool = False
    squeeze: float = 1.0

    @property
    def long(self) -> float:
        """How long it is, in millimetres."""
        return text.width(self.words, self.size, self.bold) * self.squeeze / MM


Shape = Line | Text


@frozen
class Page:
    """One sheet, `wide` by `high` millimetres."""

    wide: float
    high: float
    shapes: tuple[Shape, ...]


@frozen
class Paper:
    """A sheet with its long side level, and what is left on it: `room` for a strip from `left` on, between `top` and `bottom`.
    `scale` is what true lengths are multiplied by, so that a printer that draws them otherwise gives true ones."""

    name: str
    scale: float

    @property
    def wide(self) -> float:
        """Its width."""
        return PAPERS[self.name].high / MM

    @property
    def high(self) -> float:
        """Its height."""
        return PAPERS[self.name].wide / MM

    @property
    def left(self) -> float:
        """Where strips begin: cut marks stand left of it."""
        return 12.0

    @property
    def room(self) -> float:
        """The longest true length that it holds."""
        return (self.wide - 2 * self.left) / self.scale

    @property
    def top(self) -> float:
        """Below the head."""
        return 22.0

    @property
    def bottom(self) -> float:
        """Above the ruler."""
        return self.high - 24.0


def label(x: float, y: float, words: str, size: float, bold: bool = False) -> Text:
    """Type of a label: narrowed, centred."""
    return Text(x, y, words, size, "label", "middle", bold, SQUEEZE)


def scaled(shape: Shape, x: float, y: float, scale: float) -> Shape:
    """A shape of a strip or flag, at its place on the sheet."""
    if isinstance(shape, Line):
        ends = (x + shape.x1 * scale, y + shape.y1 * scale, x + shape.x2 * scale, y + shape.y2 * scale)
        return Line(*ends, shape.of, shape.wide, shape.dashed)
    place = (x + shape.x * scale, y + shape.y * scale)
    return Text(*place, shape.words, shape.size * scale, shape.of, shape.anchor, shape.bold, shape.squeeze)
