"""The two sides of what is asked for paper: `A..B`, or `A..worktree` for the files as they are now.

One revision alone is no comparison there: a list or a sheet is of it, and not of what changed since.
"""

from pathlib import Path
from typing import TYPE_CHECKING

from routecode.cli import asked

if TYPE_CHECKING:
    from routecode.studio.opened import Opened

_NOW = f"..{asked.WORKTREE}"


def is_range(what: str | None) -> bool:
    """Whether two sides are asked for."""
    return what is not None and ".." in what


def sides(folder: Path, what: str) -> tuple["Opened", "Opened"]:
    """Both of them, opened; `..worktree` is from the last commit."""
    if what.endswith(_NOW) and not what.endswith(f".{_NOW}"):
        return asked.both(folder, what.removesuffix(_NOW) or "last")
    return asked.both(folder, what)
