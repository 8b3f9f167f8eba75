"""Racks, panels, jacks in a row and paper: sizes in millimetres. Lays nothing out."""

from math import ceil, floor
from typing import NamedTuple

from routecode.physics.bounds import above_zero

INCH = 25.4
PANEL = 19 * INCH
"""Width of a panel: 482.6 mm (IEC 60297-3-100; E1)."""
UNIT = 1.75 * INCH
"""A rack unit: 44.45 mm (E2)."""
HOLE_CENTRES = 18.312 * INCH
"""Between the holes at left and right: 465.1 mm within 1.6 mm (E3)."""
OPENING = 17.75 * INCH
"""Between the rails: 450.85 mm (E4)."""
HOLES = (0.625 * INCH, 0.625 * INCH, 0.5 * INCH)
"""Steps from hole to hole up a rail within a unit (E5)."""
SHORTER = INCH / 32
"""How much lower a panel is than its units (E7)."""
HORIZONTAL_PITCH = 0.2 * INCH
"""The step of modules in a subrack: 5.08 mm (IEC 60297-3-101, from memory; E8)."""


class Sheet(NamedTuple):
    """A sheet of paper, upright."""

    width: float
    height: float


SHEETS = {"a4": Sheet(210.0, 297.0), "a3": Sheet(297.0, 420.0), "letter": Sheet(8.5 * INCH, 11 * INCH)}
"""ISO 216 (within 2 mm, from memory) and US Letter (E15, E16)."""


def panel_height(units: int) -> float:
    """The height of a panel of some units: n x 44.45 less 1/32 inch (E7)."""
    above_zero(units=units)
    return units * UNIT - SHORTER


def subrack_width(steps: int) -> float:
    """The width of some steps of modules (E8)."""
    above_zero(steps=steps)
    return steps * HORIZONTAL_PITCH


def widest_pitch(columns: int, width: float = OPENING) -> float:
    """The widest pitch at which so many jacks stand side by side in a width (E11, E12)."""
    above_zero(columns=columns, width=width)
    return width / columns


def row_width(columns: int, pitch: float) -> float:
    """The width of so many jacks of a pitch."""
    above_zero(columns=columns, pitch=pitch)
    return columns * pitch


def pieces(columns: int, pitch: float, paper: float) -> int:
    """Into how many pieces a label strip falls on paper of a width, each ending between two jacks. ValueError if one jack is too wide."""
    above_zero(columns=columns, pitch=pitch, paper=paper)
    each = floor(paper / pitch)
    above_zero(jacks_on_one_piece=each)
    return ceil(columns / each)
