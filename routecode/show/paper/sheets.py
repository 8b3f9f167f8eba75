"""Pages with head and foot, filled with blocks: the way in which everything but label strips gets onto paper.

On every page: the studio, what it is, the revision with its date, and which page of how many. Same input, same bytes.
"""

from collections.abc import Iterable, Sequence

from attrs import frozen

from routecode.ground.finding import Finding, Severity
from routecode.show.paper import text
from routecode.show.paper.pen import HAIR, INK, MM, PAPERS, QUIET, Pen, Size
from routecode.show.paper.pieces import Block, Drawing, Heading, NewPage, Notice, Piece, Space, Tick, Words
from routecode.show.paper.table import TICK, Table

__all__ = [
    "PAPERS",
    "TICK",
    "Block",
    "Drawing",
    "Head",
    "Heading",
    "Made",
    "NewPage",
    "Notice",
    "Space",
    "Table",
    "Tick",
    "Words",
    "inner",
    "lacking_findings",
    "sheets",
]

_SIDE = 15 * MM
_TOP, _BOTTOM = 22 * MM, 17 * MM
_SMALL = 7.5
FOOT = "Design aid: check on site. Mains and fixed wiring belong to licensed people under the local code."


@frozen
class Head:
    """What stands on every page: the studio's title, what the paper is, the revision as people are told of it, its full id
    (or `worktree`), the date of the revision (or empty)."""

    studio: str
    title: str
    called: str
    revision: str = ""
    date: str = ""


@frozen
class Made:
    """The file, its pages, and for each text with signs that the fonts lack those signs."""

    data: bytes
    pages: int
    lacking: tuple[tuple[str, tuple[str, ...]], ...]


def inner(paper: str, *, level: bool = False) -> tuple[float, float]:
    """The room between head and foot of a page, in points: how wide, how high."""
    size = PAPERS[paper].turned if level else PAPERS[paper]
    return size.wide - 2 * _SIDE, size.high - _TOP - _BOTTOM


def sheets(head: Head, blocks: Iterable[Block], paper: str = "a4", *, level: bool = False) -> Made:
    """The blocks on pages of a paper (`a4`, `letter`); `level`: with the long side level."""
    size = PAPERS[paper].turned if level else PAPERS[paper]
    wide, high = inner(paper, level=level)
    pieces = [piece for block in blocks for piece in block.pieces(wide, high)]
    pages = _pages(pieces, high)
    pen = Pen(f"{head.studio}: {head.title}", f"{head.called} {head.revision}".strip())
    pen.pages_of = {piece.key: number for number, page in enumerate(pages, 1) for piece in page if piece.key}
    for number, page in enumerate(pages, 1):
        pen.page(size)
        _frame(pen, size, head, f"page {number} of {len(pages)}")
        y = _TOP
        for piece in page:
            piece.paint(pen, _SIDE, y)
            y += piece.high
    return Made(pen.done(), len(pages), tuple(sorted(pen.lacking.items())))


def _pages(pieces: Sequence[Piece], high: float) -> list[list[Piece]]:
    """The pieces by page: what is kept together stays together where a page holds it."""
    pages: list[list[Piece]] = [[]]
    left = high
    start = 0
    while start < len(pieces):
        group = _kept(pieces, start, high)
        start += len(group)
        need = sum(piece.high for piece in group)
        if (need > left + 0.01 or group[0].fresh) and pages[-1]:
            pages.append([])
            left = high
            if group[0].again is not None and need + group[0].again.high <= high:
                pages[-1].append(group[0].again)
                left -= group[0].again.high
        pages[-1] += group
        left -= need
    return pages


def _kept(pieces: Sequence[Piece], start: int, high: float) -> Sequence[Piece]:
    """The pieces from `start` on that stay together: never more than a page holds."""
    end, total = start, 0.0
    while end < len(pieces):
        total += pieces[end].high
        if total > high and end > start:
            return pieces[start:end]
        end += 1
        if not pieces[end - 1].keep:
            break
    return pieces[start:end]


def _frame(pen: Pen, size: Size, head: Head, number: str) -> None:
    right = size.wide - _SIDE
    room = right - _SIDE
    date = head.date and f"  {head.date}"
    pen.text(_SIDE, 12 * MM, text.shortened(head.studio, room * 0.55, 9, True), 9, bold=True)
    pen.text(right, 12 * MM, text.shortened(head.title, room * 0.42, 9), 9, anchor="end")
    revision = text.shortened(f"{head.revision}{date}", room * 0.5, _SMALL)
    pen.text(right, 16 * MM, revision, _SMALL, colour=QUIET, anchor="end")
    left = room - text.width(revision, _SMALL) - 8
    pen.text(_SIDE, 16 * MM, text.shortened(head.called, left, _SMALL), _SMALL, colour=QUIET)
    pen.line(_SIDE, 18 * MM, right, 18 * MM, HAIR)
    low = size.high - 10 * MM
    pen.text(right, low, number, _SMALL, colour=INK, anchor="end")
    pen.text(_SIDE, low, text.shortened(FOOT, room - text.width(number, _SMALL) - 8, _SMALL), _SMALL, colour=QUIET)


def lacking_findings(made: Sequence[tuple[str, tuple[str, ...]]]) -> tuple[Finding, ...]:
    """What is to be told of signs that the fonts lack: one note for each text."""
    return tuple(
        Finding(
            "glyph-missing",
            Severity.NOTE,
            (words,),
            f'The fonts of the paper lack {_codes(signs)} of "{words}"; a box with the code stands there.',
            do="Write it in other letters, or complete it by hand.",
        )
        for words, signs in made
    )


def _codes(signs: Sequence[str]) -> str:
    most = 6
    said = ", ".join(f"U+{ord(sign):04X}" for sign in signs[:most])
    return said + (f" and {len(signs) - most} more" if len(signs) > most else "")
