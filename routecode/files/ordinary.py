"""Reading one file of the user that is not wiring of a revision: a file about to be replaced, results, a file named on the command line.

Only an ordinary file is read, and so many bytes of it: a device can be read without end, and a pipe waited for without end. A link
counts as what it leads to. What stands in the file is the caller's matter.
"""

import os
import stat
from pathlib import Path

from routecode.ground.finding import Mistake

_ANOTHER = "Choose another name for the file."
_SOUGHT = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
_KINDS = (
    (stat.S_ISDIR, "is a folder"),
    (stat.S_ISCHR, "is a device"),
    (stat.S_ISBLK, "is a device"),
    (stat.S_ISFIFO, "is a pipe"),
    (stat.S_ISSOCK, "is a socket"),
)


def read_ordinary(path: Path, most: int = -1, do: str = _ANOTHER) -> bytes | Mistake | None:
    """The first `most` bytes of a file (-1: all of it); None where there is none, also where a link leads nowhere."""
    try:
        kind = not_ordinary(path)
        if kind is not None:
            return _unreadable(f'"{path}" {kind}, no ordinary file.', do)
        with os.fdopen(os.open(path, _SOUGHT), "rb") as file:
            kind = _kind(os.fstat(file.fileno()).st_mode)  # it may have been exchanged since it was looked at
            return file.read(most) if kind is None else _unreadable(f'"{path}" {kind}, no ordinary file.', do)
    except FileNotFoundError:
        return None
    except (OSError, RuntimeError, ValueError) as error:  # links that lead to each other; a name that no file can have
        said = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        return _unreadable(f'The file "{path}" cannot be read: {said[:1].lower() + said[1:]}.', do)


def not_ordinary(path: Path) -> str | None:
    """What stands there instead of an ordinary file ("is a device"); None for such a file. Raises OSError where nothing does."""
    return _kind(path.stat().st_mode)


def _kind(mode: int) -> str | None:
    if stat.S_ISREG(mode):
        return None
    return next((said for is_one, said in _KINDS if is_one(mode)), "is something else")


def _unreadable(text: str, do: str) -> Mistake:
    return Mistake("file-unreadable", text, do=do)
