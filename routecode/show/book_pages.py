"""What the pages of the book need besides the common blocks: headings that can be found again, the contents, pictures with a least type.

Page numbers in the contents are known when the pages are filled, before any is painted: one layout is enough.
"""

from collections.abc import Sequence

from attrs import frozen

from routecode.show.drawing.measure import SMALL
from routecode.show.paper import script, text, vector
from routecode.show.paper.pen import INK, QUIET, Pen, Stroke
from routecode.show.paper.pieces import SIZE, Heading, Piece, Words, line_piece
from routecode.show.paper.table import Table

LEAST_TYPE = 6.0
"""The smallest type of the book, in points; only the code points in the boxes for signs that the fonts lack are smaller."""
LEAST_SCALE = LEAST_TYPE / SMALL
"""How far a picture may be scaled down: its smallest texts have `SMALL` points."""
HEAD_ROOM = 46.0
"""Points that a picture leaves on its page for the heading above it."""
CHAPTER_ROOM = 112.0
"""The same where the chapter begins on its page, with a few words."""
_CAPTION = SIZE - 1


@frozen
class Section:
    """A heading that the contents and the outline lead to. `level` 1 begins a chapter, 2 stands within one; `key` is its own.
    `named`: what the contents call it; empty: as the heading does."""

    title: str
    key: str
    level: int = 1
    named: str = ""

    @property
    def called(self) -> str:
        """How the contents and the outline call it."""
        return self.named or self.title

    def pieces(self, wide: float, high: float) -> list[Piece]:
        """The heading; its first piece is the goal."""
        first, *more = Heading(self.title, self.level).pieces(wide, high)

        def paint(pen: Pen, x: float, y: float) -> None:
            pen.goal(self.key, y, text.shortened(self.called, 400, SIZE), self.level - 1)
            first.paint(pen, x, y)

        return [first._replace(paint=paint, key=self.key, fresh=self.level == 1), *more]


@frozen
class Contents:
    """The table of contents: a line for each section, with its page, to be clicked."""

    sections: tuple[Section, ...]

    def pieces(self, wide: float, high: float) -> list[Piece]:  # noqa: ARG002 (as every block)
        """The lines of each entry stay together."""
        found: list[Piece] = []
        for section in self.sections:
            found += self._entry(section, wide)
        return found

    def _entry(self, section: Section, wide: float) -> list[Piece]:
        bold = section.level == 1
        indent = 0.0 if bold else 14.0
        room = wide - indent - text.width("00000", SIZE, True) - 12
        lines = text.wrapped(section.called, room, SIZE, bold)[:_MOST_LINES]
        made = [line_piece(line, SIZE, wide=indent + room, indent=indent, bold=bold) for line in lines]
        last = made[-1]
        long = text.width(lines[-1], SIZE, bold)

        def paint(pen: Pen, x: float, y: float) -> None:
            last.paint(pen, x, y)
            number = str(pen.pages_of[section.key])
            right = x + wide - text.width(number, SIZE, bold)
            low = y + SIZE * 0.98
            pen.text(x + wide, low, number, SIZE, bold=bold, anchor="end")
            if not script.right_to_left(lines[-1]) and right - 6 > x + indent + long + 6:
                pen.line(x + indent + long + 6, low, right - 6, low, _DOTS)
            high = last.high * len(lines)
            pen.link(section.key, x, y + last.high - high, wide, high)

        made[-1] = Piece(last.high + (0.0 if not bold else 1.0), paint)
        above = [Piece(4.0, _nothing, keep=True)] if bold else []
        return [*above, *(piece._replace(keep=True) for piece in made[:-1]), made[-1]]


_MOST_LINES = 3
_DOTS = Stroke(QUIET, 0.5, (0.5, 3))


@frozen
class Figure:
    """A picture of this project that is never set smaller than `LEAST_SCALE` (see `fits`), turned to read upward where it only
    fits so; with a caption below."""

    svg: str
    caption: str = ""
    above: float = HEAD_ROOM

    def pieces(self, wide: float, high: float) -> list[Piece]:
        """The picture in one piece, with its caption."""
        picture = vector.read(self.svg)
        scale, turned = _scale(picture.wide, picture.high, wide, _room(self.caption, wide, high, self.above))
        tall = (picture.wide if turned else picture.high) * scale

        def paint(pen: Pen, x: float, y: float) -> None:
            vector.draw(pen, picture, x, y + tall if turned else y, scale, turned=turned)

        caption = Words(self.caption, _CAPTION, colour=INK).pieces(wide, high) if self.caption else []
        return [Piece(tall + 4, paint, keep=bool(caption)), *caption]


def fits(svg: str, caption: str, room: tuple[float, float], above: float = HEAD_ROOM) -> bool:
    """Whether a picture with its caption fits the room of a page with no type below `LEAST_TYPE`."""
    picture = vector.read(svg)
    return _scale(picture.wide, picture.high, room[0], _room(caption, *room, above))[0] >= LEAST_SCALE


def _room(caption: str, wide: float, high: float, above: float) -> float:
    lines = len(text.wrapped(caption, wide, _CAPTION)) if caption else 0
    return high - above - lines * _CAPTION * text.LEADING - (_CAPTION if caption else 0.0)


def _scale(wide: float, high: float, room_wide: float, room_high: float) -> tuple[float, bool]:
    """The largest scale up to 1, and whether the picture is turned: only where it would be too small otherwise."""
    level = min(1.0, room_wide / wide, room_high / high)
    upward = min(1.0, room_high / wide, room_wide / high)
    turned = level < LEAST_SCALE <= upward
    return (upward if turned else level), turned


def table(
    heads: Sequence[str], rows: Sequence[Sequence[str]], bold: tuple[int, ...] = (0,), size: float = 8.0
) -> Table:
    """A table of the book."""
    return Table(tuple(heads), tuple(rows), bold=bold, size=size, least=LEAST_TYPE)


def _nothing(_pen: Pen, _x: float, _y: float) -> None:
    return
