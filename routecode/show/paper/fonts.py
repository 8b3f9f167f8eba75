"""The fonts that paper is written in, and whether they have a sign. Bundled (DejaVu Sans), so that every machine makes the same bytes.

What they have: Latin, Greek, Cyrillic, Armenian, Georgian, Hebrew, Arabic and more; what they lack (the Han signs, say) is told by
`missing_glyphs` and drawn as a box with the code point by `script`. Knows nothing of order or shapes of letters.
"""

from collections.abc import Iterator
from functools import cache
from importlib.resources import as_file, files
from typing import Any

REGULAR, BOLD = "DejaVuSans", "DejaVuSans-Bold"
ASCENT, DESCENT = 0.9283, 0.2403
"""Of the letters, as a share of the size (the larger of the two figures that the font has for each); marks of some signs reach further."""
CAPITAL = 0.729
"""Height of capital letters, as a share of the size."""


@cache
def _font(name: str) -> Any:
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    with as_file(files(__package__).joinpath("fonts", f"{name}.ttf")) as path:
        font = TTFont(name, str(path), asciiReadable=0, shapable=False)
    registerFont(font)
    return font


@cache
def _widths(name: str) -> dict[int, int]:
    face = _font(name).face
    return {code: face.charWidths.get(code, face.defaultWidth) for code in face.charToGlyph}


def has(sign: str, bold: bool = False) -> bool:
    """Whether one font has the sign."""
    return ord(sign) in _widths(BOLD if bold else REGULAR)


def font_for(sign: str, bold: bool = False) -> str | None:
    """The name of the font that draws a sign: the one that is asked for, else the regular one; None where neither has it."""
    if bold and has(sign, True):
        return BOLD
    return REGULAR if has(sign) else None


def missing_glyphs(text: str) -> tuple[str, ...]:
    """The signs of a text that no font here has, each once, in order of their code."""
    return tuple(sorted({sign for sign in text if not has(sign)}))


def sign_width(sign: str, bold: bool = False) -> float:
    """The width of a sign as a share of the size; what the fonts lack is a box as wide as its code point takes (`script`)."""
    name = font_for(sign, bold)
    if name is None:
        return box_width(sign)
    return _widths(name)[ord(sign)] / 1000


def box_width(sign: str) -> float:
    """The width of the box that stands for a sign without a glyph: its code point in two rows of digits."""
    return 0.9 if ord(sign) < 0x10000 else 1.25


def runs(text: str, bold: bool = False) -> Iterator[tuple[str | None, str]]:
    """The text in pieces of one font each; None: signs without a glyph. The text is in the order in which it is drawn."""
    piece, font = "", None
    for sign in text:
        found = font_for(sign, bold)
        if piece and found != font:
            yield font, piece
            piece = ""
        piece, font = piece + sign, found
    if piece:
        yield font, piece


def register() -> None:
    """Make both fonts known to the writer of PDF."""
    for name in (REGULAR, BOLD):
        _font(name)
