"""How wide a text is on paper, and breaking it into lines. Nothing is lost: what is too wide is wrapped, in the last resort within a word.

Sizes and widths are in points. Texts are cleaned here (`script.cleaned`); lines are given in the order in which they are read.
"""

import re
from functools import lru_cache
from unicodedata import combining, east_asian_width

from routecode.show.paper import fonts, script

_TOKEN = re.compile(r" +|[^ ]+")
_MOST_SIGNS = 20_000
"""Signs of one text that are set: a longer one is cut there, and that is said in it."""
LEADING = 1.25
"""From line to line, as a share of the size."""


def width(words: str, size: float, bold: bool = False) -> float:
    """The width of a line."""
    return _share(words, bold) * size


@lru_cache(maxsize=16384)
def _share(words: str, bold: bool) -> float:
    return sum(fonts.sign_width(sign, bold) for sign in script.drawn(script.cleaned(words)))


def wrapped(words: str, room: float, size: float, bold: bool = False) -> list[str]:
    """The text in lines of at most `room`; at least one line. A line holds at least one sign, however little room there is."""
    lines = [""]
    for token in _tokens(_bounded(script.cleaned(words))):
        longer = lines[-1] + token
        if width(longer.rstrip(), size, bold) <= room:
            lines[-1] = longer if lines[-1] or token.strip() else ""
        elif width(token, size, bold) <= room:
            lines.append("" if token.isspace() else token)
        elif not token.isspace():
            _cut_into(lines, token, room, size, bold)
    return [line.strip() for line in lines if line.strip()] or [""]


def _bounded(words: str) -> str:
    if len(words) <= _MOST_SIGNS:
        return words
    return f"{words[:_MOST_SIGNS]} … and {len(words) - _MOST_SIGNS:,} signs more"


def _tokens(words: str) -> list[str]:
    """Where a line may end: at spaces, and at every sign of the wide scripts, which have none."""
    found: list[str] = []
    for token in _TOKEN.findall(words):
        start = 0
        for index in range(1, len(token)):
            if east_asian_width(token[index]) in "WF":
                found.append(token[start:index])
                start = index
        found.append(token[start:])
    return found


def _cut_into(lines: list[str], token: str, room: float, size: float, bold: bool) -> None:
    """Add a word that is wider than a line, sign by sign; a mark stays with its letter."""
    for sign in token:
        full = lines[-1] and width(lines[-1] + sign, size, bold) > room
        if full and not combining(sign):
            lines.append("")
        lines[-1] += sign


def shortened(words: str, room: float, size: float, bold: bool = False) -> str:
    """The text, with an ellipsis at its end where it is wider than `room`; for heads that are written out elsewhere."""
    kept = script.cleaned(words)[:_MOST_SIGNS]
    if width(kept, size, bold) <= room:
        return kept
    low, high = 0, min(len(kept), int(room / max(size, 0.1) * 4))
    while low < high:
        middle = (low + high + 1) // 2
        if width(kept[:middle].rstrip() + "…", size, bold) <= room:
            low = middle
        else:
            high = middle - 1
    return kept[:low].rstrip() + "…"


def largest(words: str, room: float, most: float, least: float, bold: bool = False) -> float:
    """The largest size from `most` down to `least` at which the text is at most `room` wide; `least` where none is."""
    one = width(words, 1, bold)
    return max(least, min(most, room / one if one else most))
