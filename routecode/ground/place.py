"""Where something stands in the text.

`At` is cheap and made by the thousand while decoding: a file and the way through its tables. `Spot` is what a reader sees:
line and column, worked out only when something is shown.
"""

from typing import NamedTuple

Step = str | int


class At(NamedTuple):
    """A file and the way through its tables: keys, and indices of arrays, counted from 0 within that file."""

    file: str
    path: tuple[Step, ...]


class Spot(NamedTuple):
    """A place a person can go to: line and column from 1, in code points; `length` code points are meant (0: unknown)."""

    file: str
    line: int
    column: int
    length: int = 0
