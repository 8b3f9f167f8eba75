"""How wide a text is when drawn, and how it is cut to fit. Sizes are in points; the layout never asks a font file.

Widths are those of Helvetica, which Arial, Liberation Sans and Arimo share (Adobe's metrics of the font, from memory; a test
holds them against a renderer's own). What is not in the table counts as wide as its script is at most.
"""

from unicodedata import category, combining, east_asian_width, normalize

SMALL = 9.0
"""Size of port names, column numbers and notes."""
PLAIN = 10.0
"""Size of the foot line."""
TITLE = 11.0
"""Size of titles."""

_BY_WIDTH = {
    191: "'",
    222: "ijl",
    260: "|",
    278: " !,./:;I[]\\ft",
    333: "()-`r·",
    334: "{}",
    355: '"',
    389: "*",
    469: "^",
    500: "Jcksvxyz",
    556: "0123456789#$?_Labdeghnopqu–",
    584: "+<=>~",
    611: "FTZ",
    667: "&ABEKPSVXY",
    722: "CDHNRUw",
    778: "GOQ",
    833: "Mm",
    889: "%",
    944: "W",
    1000: "—…→",
    1015: "@",
}
WIDTHS = {sign: wide for wide, signs in _BY_WIDTH.items() for sign in signs}
"""Thousandths of the size by sign."""
_BOLD = 1.09


def width(text: str, size: float, bold: bool = False) -> float:
    """The width of a text, rather too wide than too narrow."""
    total = exact(text, size)
    return total * _BOLD if bold else total


def exact(text: str, size: float, bold: bool = False) -> float:
    """The width of a text as nearly as is known."""
    total = sum(_width(sign) for sign in text) * size / 1000
    return total * 1.06 if bold else total


def _width(sign: str) -> int:
    known = WIDTHS.get(sign)
    if known is not None:
        return known
    if combining(sign):
        return 0
    base = normalize("NFD", sign)[0]
    if base in WIDTHS:
        return WIDTHS[base]
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
