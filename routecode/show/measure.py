"""How many columns of a terminal a text takes, and breaking it into lines. Measure first, paint after."""

import re
import unicodedata

_PLAIN = re.compile(r"[ -~]*\Z")
_WORDS = re.compile(r"(?:`[^`]*`|[^ ])+")
"""What is not broken: words, and what stands in backquotes."""

_ZERO = ("Mn", "Me", "Cf")


def cells(character: str) -> int:
    """0 for combining characters and joiners, 2 for wide ones, else 1 (ambiguous ones too, as terminals do)."""
    if unicodedata.category(character) in _ZERO:
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1


def width(text: str) -> int:
    """Columns of a text without control characters."""
    return len(text) if _PLAIN.match(text) else sum(map(cells, text))


def wrapped(text: str, columns: int) -> list[str]:
    """The text in lines of at most `columns`, not broken within backquotes; longer words are cut. At least one line."""
    lines: list[str] = []
    line = ""
    for word in _WORDS.findall(text):
        longer = f"{line} {word}" if line else word
        if width(longer) <= columns:
            line = longer
            continue
        if line:
            lines.append(line)
        *full, line = _cut(word, columns)
        lines += full
    return [*lines, line]


def _cut(word: str, columns: int) -> list[str]:
    pieces: list[str] = []
    piece, used = "", 0
    for character in word:
        more = cells(character)
        if used + more > columns and piece:
            pieces.append(piece)
            piece, used = "", 0
        piece += character
        used += more
    return [*pieces, piece]


def padded(text: str, columns: int) -> str:
    """The text with spaces up to `columns`."""
    return text + " " * max(0, columns - width(text))
