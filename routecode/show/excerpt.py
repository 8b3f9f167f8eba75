"""One line of a file with a mark under the place that is meant, cut to what fits."""

from typing import NamedTuple

from routecode.show.escape import escaped
from routecode.show.measure import width

_TAB = 4
_CUT = "..."
_AROUND = 400


class Excerpt(NamedTuple):
    """The line as shown, and the columns (from 0) of the mark under it."""

    text: str
    start: int
    length: int


def excerpt(line: str, column: int, length: int, columns: int) -> Excerpt | None:
    """The part of `line` around `length` characters from `column` (from 1), at most `columns` wide; None: empty line.

    The indentation goes, tabs become spaces, control characters their escapes; the mark covers what is meant as it is
    shown, and is at least one column long.
    """
    if not line.strip():
        return None
    first = max(0, column - 1 - _AROUND)
    last = column - 1 + _AROUND
    indent = len(line) - len(line.lstrip())
    left = max(first, min(indent, column - 1))
    shown = _shown(line[left : max(len(line.rstrip()), column - 1)][: last - left])
    start, end = column - 1 - left, column - 1 - left + max(1, length)
    opening = _CUT if first > indent else ""
    closing = _CUT if len(line.rstrip()) > last else ""
    return _windowed(shown, start, end, columns, opening, closing)


def _shown(line: str) -> list[str]:
    pieces: list[str] = []
    used = 0
    for character in line:
        piece = " " * (_TAB - used % _TAB) if character == "\t" else escaped(character)
        pieces.append(piece)
        used += width(piece)
    return pieces


def _windowed(pieces: list[str], start: int, end: int, columns: int, opening: str, closing: str) -> Excerpt:
    """Cut pieces off the left until the start of the mark fits with some of what comes before, then off the right."""
    sizes = [width(piece) for piece in pieces]
    total = sum(sizes)
    left = 0
    if total + len(opening) + len(closing) > columns:
        wanted = sum(sizes[:end])
        room = columns - 2 * len(_CUT)
        while left < start and wanted > room and sum(sizes[left:start]) > room // 3:
            wanted -= sizes[left]
            left += 1
        opening = _CUT if left else opening
        right, used = left, len(opening)
        while right < len(pieces) and used + sizes[right] <= columns - len(_CUT):
            used += sizes[right]
            right += 1
        closing = _CUT if right < len(pieces) else closing
    else:
        right = len(pieces)
    at = len(opening) + sum(sizes[left:start])
    long = sum(sizes[start : min(end, right)])
    return Excerpt(opening + "".join(pieces[left:right]) + closing, at, max(1, long))
