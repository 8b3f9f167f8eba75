"""What pages are filled with: pieces, each with a height and a way to be drawn, none higher than a page. The plain blocks are here.

A block gives its pieces for a width. Nothing is clipped: texts are wrapped, tables broken between and within rows (`table`).
"""

from collections.abc import Callable
from typing import NamedTuple, Protocol

from attrs import frozen

from routecode.show.paper import script, text, vector
from routecode.show.paper.pen import INK, MM, QUIET, RULE, Pen, Stroke

SIZE = 9.0
"""Size of plain text."""
Paint = Callable[[Pen, float, float], None]
"""Draw with the upper left corner at (x, y)."""


class Piece(NamedTuple):
    """Part of a block that is not broken. `keep`: it stands on the page of the piece after it; `again`: what is repeated
    above it where it comes first on a page; `fresh`: it begins a page; `key`: its page is known by it to who paints (`Pen.pages_of`)."""

    high: float
    paint: Paint
    keep: bool = False
    again: "Piece | None" = None
    fresh: bool = False
    key: str = ""


class Block(Protocol):
    """What can be put on pages."""

    def pieces(self, wide: float, high: float) -> list[Piece]:
        """Its pieces, `wide` wide and none higher than `high`."""
        ...


def line_piece(
    words: str, size: float, *, wide: float, indent: float = 0.0, bold: bool = False, colour: str = INK
) -> Piece:
    """One line of text; flush right where it reads from the right."""
    back = script.right_to_left(words)

    def paint(pen: Pen, x: float, y: float) -> None:
        at = x + wide if back else x + indent
        pen.text(at, y + size * 0.98, words, size, bold=bold, colour=colour, anchor="end" if back else "start")

    return Piece(size * text.LEADING, paint)


def _nothing(_pen: Pen, _x: float, _y: float) -> None:
    return


@frozen
class Space:
    """Empty room, in millimetres."""

    mm: float

    def pieces(self, wide: float, high: float) -> list[Piece]:  # noqa: ARG002 (as every block)
        """One empty piece."""
        return [Piece(min(self.mm * MM, high), _nothing)]


@frozen
class NewPage:
    """What follows begins a page."""

    def pieces(self, wide: float, high: float) -> list[Piece]:  # noqa: ARG002 (as every block)
        """One piece of no height."""
        return [Piece(0.0, _nothing, keep=True, fresh=True)]


@frozen
class Words:
    """A paragraph."""

    text: str
    size: float = SIZE
    bold: bool = False
    colour: str = INK
    indent: float = 0.0
    """In points."""

    def pieces(self, wide: float, high: float) -> list[Piece]:  # noqa: ARG002 (as every block)
        """A piece a line."""
        lines = text.wrapped(self.text, wide - self.indent, self.size, self.bold)
        look = {"wide": wide, "indent": self.indent}
        made = [line_piece(line, self.size, bold=self.bold, colour=self.colour, **look) for line in lines]
        return [*made, Piece(self.size * 0.4, _nothing)]


@frozen
class Heading:
    """A heading of level 1, 2 or 3; it stays with what follows."""

    text: str
    level: int = 1

    def pieces(self, wide: float, high: float) -> list[Piece]:
        """Its lines, kept together."""
        size = {1: 15.0, 2: 12.0}.get(self.level, 10.0)
        lines = text.wrapped(self.text, wide, size, True)
        made = [line_piece(line, size, wide=wide, bold=True) for line in lines]
        kept = sum(piece.high for piece in made) < high / 3
        above = [Piece(size * 0.6, _nothing, keep=True)]
        return [*above, *(piece._replace(keep=kept) for piece in made), Piece(size * 0.3, _nothing, keep=kept)]


_NOTICES = {"caution": ("Caution", 2.0, INK), "note": ("Note", 0.8, RULE)}


@frozen
class Notice:
    """A boxed text: `caution` (a heavy bar beside it) or `note`; never told by colour alone."""

    text: str
    kind: str = "caution"

    def pieces(self, wide: float, high: float) -> list[Piece]:
        """A piece a line, each with its part of the bar, so that it may be broken between pages."""
        word, bar, colour = _NOTICES.get(self.kind, _NOTICES["note"])
        lines = text.wrapped(f"{word}: {self.text}", wide - 10, SIZE, self.kind == "caution")
        made = [self._barred(line, wide, Stroke(colour, bar)) for line in lines]
        kept = sum(piece.high for piece in made) < high / 3
        return [*(piece._replace(keep=kept) for piece in made[:-1]), made[-1], Piece(5.0, _nothing)]

    def _barred(self, words: str, wide: float, bar: Stroke) -> Piece:
        inner = line_piece(words, SIZE, wide=wide - 10, bold=self.kind == "caution")

        def paint(pen: Pen, x: float, y: float) -> None:
            pen.line(x + 2, y, x + 2, y + inner.high, bar)
            inner.paint(pen, x + 10, y)

        return Piece(inner.high, paint)


@frozen
class Tick:
    """A box to tick with its text; `fields` are places to be filled in below it, each with a name (`done differently`, `date`)."""

    text: str
    fields: tuple[str, ...] = ()
    bold: bool = False
    number: str = ""

    def pieces(self, wide: float, high: float) -> list[Piece]:
        """The box stays with its first line, the fields with the last."""
        left = 16.0 + (text.width(self.number + " ", SIZE, True) if self.number else 0.0)
        lines = text.wrapped(self.text, wide - left, SIZE, self.bold)
        made = [line_piece(line, SIZE, wide=wide, indent=left, bold=self.bold) for line in lines]
        first = made[0]

        def paint(pen: Pen, x: float, y: float) -> None:
            pen.box(x + 1, y + 1.2, 8.4, 8.4, stroke=Stroke(INK, 0.8))
            if self.number:
                pen.text(x + 14, y + SIZE * 0.98, self.number, SIZE, bold=True)
            first.paint(pen, x, y)

        made[0] = Piece(first.high, paint)
        if self.fields:
            made.append(self._to_fill(wide - left, left))
        kept = sum(piece.high for piece in made) < high / 3
        return [*(piece._replace(keep=kept) for piece in made[:-1]), made[-1], Piece(4.0, _nothing)]

    def _to_fill(self, wide: float, left: float) -> Piece:
        """The lines to be filled in, side by side; the first has twice the room of the others."""
        share = wide / (len(self.fields) + 1)

        def paint(pen: Pen, x: float, y: float) -> None:
            at = x + left
            for index, name in enumerate(self.fields):
                room = share * (1 if index else 2) - 8
                words = text.shortened(name, room * 0.6, SIZE - 1.5)
                pen.text(at, y + 11, words, SIZE - 1.5, colour=QUIET)
                pen.line(
                    at + text.width(words, SIZE - 1.5) + 3, y + 12.5, at + room, y + 12.5, Stroke(RULE, 0.4, (1, 1.5))
                )
                at += room + 8

        return Piece(16.0, paint)


_WORTH_TURNING = 1.6


@frozen
class Drawing:
    """A picture of this project (the text of its SVG), as vectors, as large as fits (at most `scale`), with a caption below.
    One that gets much larger so is turned to read upward, unless `upright`."""

    svg: str
    caption: str = ""
    scale: float = 1.0
    upright: bool = False

    def pieces(self, wide: float, high: float) -> list[Piece]:
        """The picture in one piece."""
        picture = vector.read(self.svg)
        room = high - 8 * SIZE if self.caption else high - 4
        level = min(self.scale, wide / picture.wide, room / picture.high)
        upward = min(self.scale, room / picture.wide, wide / picture.high)
        turned = upward > level * _WORTH_TURNING and not self.upright
        scale = upward if turned else level
        tall = (picture.wide if turned else picture.high) * scale

        def paint(pen: Pen, x: float, y: float) -> None:
            vector.draw(pen, picture, x, y + tall if turned else y, scale, turned=turned)

        piece = Piece(tall + 4, paint, keep=bool(self.caption))
        return [piece, *(Words(self.caption, SIZE - 1, colour=QUIET).pieces(wide, high) if self.caption else [])]
