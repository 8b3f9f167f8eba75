"""Names for what is there only while something is written, and the removal of what a killed program left of it.

Whoever makes such a file or folder holds it by a lock that ends with the program, however it ends. What nobody holds any more is
removed the next time that something is written into the same folder. Knows nothing of what is written.
"""

import contextlib
import os
import re
import secrets
import shutil
import sys
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

if sys.platform != "win32":
    import fcntl

_NAME = re.compile(r"\..{1,100}\.[0-9a-f]{16}\.routecode-new", re.DOTALL)
_LONGEST = 100
_OLD = 3600.0
"""Seconds after which nobody is writing any more, where locks cannot tell."""


def fresh(folder: Path, stem: str) -> Path:
    """A hidden name that is not there yet, and that `sweep` knows for one of these."""
    return folder / f".{stem[:_LONGEST]}.{secrets.token_hex(8)}.routecode-new"


@contextlib.contextmanager
def room(folder: Path, stem: str) -> Iterator[Path]:
    """A new folder in `folder` that is held while it is used and gone afterwards. Raises OSError where there can be none."""
    sweep(folder)
    path = fresh(folder, stem)
    path.mkdir(mode=0o700)
    handle = None
    try:
        if os.name != "nt":
            handle = os.open(path, os.O_RDONLY)
            hold(handle)
        yield path
    finally:
        surely(partial(shutil.rmtree, path, ignore_errors=True))
        if handle is not None:
            os.close(handle)


def surely(action: Callable[[], object]) -> None:
    """Clear something away that may be cleared away twice: to the end, also where the user interrupts it meanwhile."""
    try:
        action()
    except KeyboardInterrupt:
        action()
        raise


def gone(path: Path) -> None:
    """Remove a file, where it is there and can be removed."""
    with contextlib.suppress(OSError):
        path.unlink(missing_ok=True)


def hold(handle: int) -> None:
    """Hold an open file or folder until the handle is closed or the program has ended."""
    if sys.platform != "win32":
        with contextlib.suppress(OSError):  # a file system without locks
            fcntl.flock(handle, fcntl.LOCK_EX)


def is_held(path: Path) -> bool:
    """Whether a program that is still running holds a file or folder. Raises OSError where it is not there."""
    with _unheld(path) as is_left:
        return not is_left


def leftovers(folder: Path) -> list[Path]:
    """What has such a name in a folder, held or not, sorted."""
    with contextlib.suppress(OSError), os.scandir(folder) as entries:
        return sorted(Path(entry.path) for entry in entries if _NAME.fullmatch(entry.name) and not entry.is_symlink())
    return []


def sweep(folder: Path) -> None:
    """Remove what killed programs left in a folder."""
    for path in leftovers(folder):
        _remove(path, is_folder=path.is_dir())


def _remove(path: Path, *, is_folder: bool) -> None:
    with contextlib.suppress(OSError), _unheld(path) as is_left:
        if is_left and is_folder:
            shutil.rmtree(path, ignore_errors=True)
        elif is_left:
            path.unlink(missing_ok=True)


@contextlib.contextmanager
def _unheld(path: Path) -> Iterator[bool]:
    """Whether nobody holds it; meanwhile it is held here."""
    if sys.platform == "win32":  # there what is open cannot be removed
        yield time.time() - path.stat().st_mtime > _OLD
        return
    handle = os.open(path, os.O_RDONLY | os.O_NONBLOCK | os.O_NOFOLLOW)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        yield False
    except OSError:  # a file system without locks
        yield time.time() - path.stat().st_mtime > _OLD
    else:
        yield True
    finally:
        os.close(handle)
