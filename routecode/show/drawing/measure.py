"""How wide a text is when drawn, and how it is cut to fit. Sizes are in points; the layout never asks a font file.

Widths are those of Helvetica, which Arial, Liberation Sans and Arimo share (from memory, thousandths of the size); what is
not in the table counts as wide as its script is at most.
"""

from unicodedata import category, combining, east_asian_width

SMALL = 9.0
"""Size of port names, column numbers and notes."""
PLAIN = 10.0
"""Size of the foot line and the words on lines."""
TITLE = 11.0
"""Size of titles."""

_NARROW = {"i": 222, "j": 222, "l": 222, "f": 278, "t": 278, "r": 333, "I": 278, " ": 278, "-": 333, ".": 278, ",": 278}
_WIDE = {"m": 833, "w": 722, "M": 833, "W": 944, "@": 1015, "%": 889, "&": 667, "—": 1000, "…": 1000, "→": 1000}
_OTHER = {":": 278, ";": 278, "/": 278, "(": 333, ")": 333, "'": 191, "|": 260, "!": 278, "·": 333, "–": 556}
_KNOWN = {**_NARROW, **_WIDE, **_OTHER}
_BOLD = 1.09


def width(text: str, size: float, bold: bool = False) -> float:
    """The width of a text, rather too wide than too narrow."""
    total = sum(_width(sign) for sign in text) * size / 1000
    return total * _BOLD if bold else total


def _width(sign: str) -> int:
    known = _KNOWN.get(sign)
    if known is not None:
        return known
    if sign.isascii():
        return 722 if sign.isupper() else 556
    if combining(sign):
        return 0
    return 1050 if east_asian_width(sign) in "WF" else 800


def fitted(text: str, room: float, size: float, bold: bool = False) -> str:
    """The text, cut with an ellipsis where it is wider than `room`."""
    if width(text, size, bold) <= room:
        return text
    left = room - width("…", size, bold)
    kept = ""
    for sign in text:
        left -= width(sign, size, bold)
        if left < 0:
            break
        kept += sign
    return kept.rstrip() + "…"


def visible(text: str) -> str:
    """The text on one line, without what could disturb a document or turn its direction: such signs become `�`."""
    return "".join("�" if category(sign) in _UNSAFE and sign not in _JOINERS else sign for sign in text)


_UNSAFE = ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")
_JOINERS = "\u200c\u200d"
"""Signs without a width that some scripts are written with."""
