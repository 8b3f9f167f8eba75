"""The user's index changed in one step, and put back where what comes after it fails, is interrupted or is killed.

The new index is made beside the old one, in a folder of git's own that is held meanwhile, and takes its place under git's own lock.
Both keep a second name in that folder, so that they are known for what they are: by that a later run puts back the old one where a
killed one had not come as far as the commit.
"""

import contextlib
import os
import shutil
from collections.abc import Callable
from functools import partial
from pathlib import Path

from routecode.files.leftover import is_held, leftovers, surely

_OLD, _NEW, _MADE = "index.old", "index.new", "made"
STEM = "record"


class Swap:
    """One index and its successor, in a folder of its own. Raises OSError where it cannot be written."""

    def __init__(self, git_dir: Path, folder: Path) -> None:
        self._index = git_dir / "index"
        self.lock = git_dir / "index.lock"
        self._folder = folder
        self._old, self.new = folder / _OLD, folder / _NEW
        """The file in which the new one is made; it begins as the old one."""

    def begin(self) -> None:
        """Give both their names."""
        if self._index.exists():
            _second(self._index, self._old)
            shutil.copy2(self._old, self.new)  # its time counts: by it git knows which files may have changed since

    def take(self, made: str) -> bool:
        """Put the new one in place, on the way to the commit `made`; False where another git program is at work."""
        (self._folder / _MADE).write_text(made, encoding="ascii")
        try:
            _second(self.new, self.lock)
        except FileExistsError:
            return False
        if self._old.exists() and not _same(self._old, self._index):
            surely(partial(self.lock.unlink, missing_ok=True))
            return False
        surely(partial(_replaced, self.lock, self._index))
        return True

    def put_back(self, is_head: Callable[[str], bool]) -> None:
        """The old one, where the new one is in place and the commit it leads to is not the one checked out."""
        with contextlib.suppress(OSError):
            if not self.new.exists() or is_head((self._folder / _MADE).read_text(encoding="ascii")):
                return
            if _same(self.lock, self.new):
                self.lock.unlink()
            if not _same(self._index, self.new):
                return
            if self._old.exists():
                _second(self._old, self.lock)  # fails where there is a lock
                surely(partial(_replaced, self.lock, self._index))
            else:
                self._index.unlink()


def put_back_left(git_dir: Path, is_head: Callable[[str], bool]) -> None:
    """Put back the index where a killed program left it half way."""
    for folder in leftovers(git_dir):
        with contextlib.suppress(OSError):
            if folder.name.startswith(f".{STEM}.") and not is_held(folder):
                Swap(git_dir, folder).put_back(is_head)


def _replaced(lock: Path, index: Path) -> None:
    with contextlib.suppress(FileNotFoundError):
        lock.replace(index)


def _same(one: Path, other: Path) -> bool:
    """Whether two names are of the same file, or of copies where the file system has no second names."""
    try:
        return one.samefile(other) or (one.stat().st_nlink == 1 and one.read_bytes() == other.read_bytes())
    except OSError:
        return False


def _second(file: Path, name: Path) -> None:
    """A second name for a file that has none of that name; a copy where the file system has no second names."""
    try:
        os.link(file, name)
    except FileExistsError:
        raise
    except OSError:
        with file.open("rb") as old, name.open("xb") as new:
            shutil.copyfileobj(old, new)
