"""The jobsheet and the test sheet on paper: every step with a box to tick, circuits as tables, room for what was done otherwise."""

from collections.abc import Iterator

from attrs import frozen

from routecode.show.jobsheet import Part, Piece, Sheet
from routecode.show.paper import pieces, text
from routecode.show.paper.pen import QUIET, RULE, Pen, Stroke
from routecode.show.paper.sheets import (
    TICK,
    Block,
    Head,
    Heading,
    Made,
    NewPage,
    Notice,
    Space,
    Table,
    Tick,
    Words,
    sheets,
)

_HANDS = ("Done differently:", "Date, initials:")
_INDENT = 22.0
"""Points: what belongs to a step stands under its words, not under its box."""


def jobsheet_paper(whole: Sheet, revision: str, date: str = "", paper: str = "a4") -> Made:
    """The sheet on a paper (`a4`, `letter`). `revision`: the full id of the after side, or `worktree`; `date`: its day."""
    kind, _, studio = whole.title.partition(": ")
    head = Head(studio, kind, f"from {whole.sides[0]} to {whole.sides[1]}", revision, date)
    return sheets(head, list(_blocks(whole)), paper)


def _blocks(whole: Sheet) -> Iterator[Block]:
    yield Heading(whole.title)
    yield Words(f"From: {whole.sides[0]}")
    yield Words(f"To: {whole.sides[1]}")
    if whole.parts:
        yield Heading("Before anything", 3)
        yield from map(Notice, whole.cautions)
    yield from map(Words, whole.costs)
    for number, part in enumerate(whole.parts):
        if number and part.fresh:
            yield NewPage()
        yield from _part(part)
    yield Space(3)
    yield from map(Words, whole.closing)


def _part(part: Part) -> Iterator[Block]:
    yield Heading(part.title, 2)
    yield Words(part.lead)
    for piece in part.pieces:
        yield from _piece(piece)


def _piece(piece: Piece) -> Iterator[Block]:
    yield Together(tuple(_of(piece)))


def _of(piece: Piece) -> Iterator[Block]:
    at = f" [{piece.at}]" if piece.at else ""
    yield Tick(f"{piece.text}{at}", (), bold=True, number=f"{piece.number}.")
    yield from (Words(line, indent=_INDENT) for line in piece.mind)
    if piece.rows:
        widths = {2: (1.0, 30.0), 3: _TESTED}.get(1 + len(piece.heads), ())
        widths = widths if piece.heads[0] == "what" else ()
        yield Table(("", *piece.heads), [(TICK, *row) for row in piece.rows], widths)
    for line in piece.pins:
        deeper = len(line) - len(line.lstrip())
        yield Words(line.strip(), size=8.0, indent=_INDENT + 5 * deeper)
    yield ToFill(_fields(piece))


def _fields(piece: Piece) -> tuple[str, ...]:
    """What is to be filled in under a piece: what came out of a test has its column where there are several."""
    if piece.hands:
        return _HANDS
    result = (f"Result ({piece.result}):",) if piece.result else ()
    return (*result, "Date, initials:")


_TESTED = (1.0, 17.0, 7.0)
"""Shares of a table of tests: box, what, room for the result."""


@frozen
class Together:
    """Blocks that stay on one page where that is no waste; of a longer one its head stays with what follows, its end with what is before."""

    blocks: tuple[Block, ...]

    def pieces(self, wide: float, high: float) -> list[pieces.Piece]:
        """The pieces of all of them."""
        made = [piece for block in self.blocks for piece in block.pieces(wide, high)]
        whole = sum(piece.high for piece in made) < high * _WHOLE
        first = sum(isinstance(block, Tick | Words) for block in self.blocks[:_HEAD])
        head = sum(len(block.pieces(wide, high)) for block in self.blocks[:first]) + 1
        return [
            piece._replace(keep=piece.keep or whole or index < head or index >= len(made) - _TAIL)
            if index < len(made) - 1
            else piece
            for index, piece in enumerate(made)
        ]


_WHOLE, _HEAD, _TAIL = 0.4, 3, 3
"""The share of a page up to which a step is not broken; blocks of its head; pieces of its end."""


@frozen
class ToFill:
    """Lines to be filled in, side by side, each with its word; the first has twice the room of the others."""

    names: tuple[str, ...]

    def pieces(self, wide: float, high: float) -> list[pieces.Piece]:  # noqa: ARG002 (as every block)
        """One piece."""
        share = (wide - _INDENT) / (len(self.names) + 1)

        def paint(pen: Pen, x: float, y: float) -> None:
            at = x + _INDENT
            for index, name in enumerate(self.names):
                room = share * (1 if index else 2) - 8
                pen.text(at, y + 15, name, _SMALL, colour=QUIET)
                start = at + text.width(name, _SMALL) + 3
                pen.line(start, y + 16.5, at + room, y + 16.5, Stroke(RULE, 0.4, (1, 1.5)))
                at += room + 8

        return [pieces.Piece(26.0, paint)]


_SMALL = 7.5
