"""How things look: colours, dash patterns, widths. One place for all of it; no user chooses a colour of a wire.

The colours of changes are those of Okabe and Ito, made to be told apart by people with any kind of colour blindness (from
memory): blue #0072B2 new, vermilion #D55E00 gone, and reddish purple #CC79A7 changed, the last one darkened to #A23B76 so that
thin lines keep their contrast on white. None is told by colour alone: each has a word and a dash pattern of its own.
"""

from typing import NamedTuple

from routecode.show.drawing.compare import Mark


class Look(NamedTuple):
    """Colour, width in points and dash pattern (lengths on, off, ...; empty: unbroken) of a line."""

    colour: str
    wide: float
    dash: tuple[float, ...]


FONT = "Helvetica"
FAMILY = "Arial, Arimo, 'Liberation Sans', Helvetica, 'Noto Sans', 'DejaVu Sans', sans-serif"
INK = "#1F2933"
QUIET = "#5F6B7A"
PAPER = "#FFFFFF"
ROOM_FILL = "#F6F7F9"
ROOM_EDGE = "#C9D0D9"
UNIT_FILL = "#FFFFFF"
UNIT_EDGE = "#52606D"
PORT_FILL = "#E9EDF2"
BAY_FILL = "#FBF6E9"
BAY_EDGE = "#8A6D1F"
JACK_FILL = "#F3E8C8"

_MARKED = {Mark.NEW: "#0072B2", Mark.GONE: "#D55E00", Mark.CHANGED: "#A23B76"}
_TINT = {Mark.NEW: "#E3F1FA", Mark.GONE: "#FCEBDD", Mark.CHANGED: "#F8E8F1"}
_DASH: dict[Mark, tuple[float, ...]] = {Mark.NEW: (), Mark.GONE: (7, 4), Mark.CHANGED: (10, 3, 2, 3)}
_CORD = (2.0, 3.0)
_CORD_DASH: dict[Mark, tuple[float, ...]] = {Mark.NEW: _CORD, Mark.GONE: (2, 3, 2, 8), Mark.CHANGED: (2, 3, 8, 3)}
_NORMAL = (4.0, 2.0)


def colour(mark: Mark, otherwise: str) -> str:
    """The colour of a change, or another where nothing changed."""
    return _MARKED.get(mark, otherwise)


def tint(mark: Mark, otherwise: str) -> str:
    """The same as a ground for text."""
    return _TINT.get(mark, otherwise)


def line_look(kind: str, count: int, mark: Mark, compared: bool) -> Look:
    """A line between blocks or in a lane of a band."""
    if mark is not Mark.SAME:
        dashes = _CORD_DASH if kind == "cord" else _DASH
        return Look(_MARKED[mark], 2.4, dashes[mark])
    ink = "#9AA5B1" if compared else "#3E4C59"
    wide = 1.8 if count > 1 else 1.0
    if kind == "cord":
        return Look("#7B8794" if compared else INK, 2.0, _CORD)
    if kind in ("normal", "mult"):
        return Look(ink, 1.0, _NORMAL if kind == "normal" else ())
    return Look(ink, wide, ())


def stroke_look(kind: str, mark: Mark, compared: bool) -> Look:
    """A stroke between the rows of a band."""
    if kind in ("cord", "mult"):
        return line_look(kind, 1, mark, compared)
    ink = _MARKED.get(mark, "#8A93A0" if compared else INK)
    return Look(ink, 1.3 if mark is Mark.SAME else 2.0, (3, 2) if mark is Mark.GONE else ())
