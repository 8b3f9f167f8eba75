"""An empty folder that is filled with files and their first commit: all of it, or it is empty again.

While it is filled, a hidden list in it says which files with which content are on the way; who fills it holds the list. Where a
program was killed meanwhile, the next one finds the list held by nobody and clears away exactly what stands in it, as long as nothing
else has come into the folder. Does not know what the files are.
"""

import contextlib
import os
import shutil
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from hashlib import sha256
from pathlib import Path

from routecode.files.leftover import gone, hold, is_held, surely, sweep
from routecode.files.write import write_new_file
from routecode.ground.finding import Mistake

_LIST = ".routecode-filling"
_GIT = ".git"


@contextlib.contextmanager
def filling(folder: Path, texts: Mapping[str, str], is_done: Callable[[], bool]) -> Iterator[Mistake | None]:
    """Fill the empty or missing `folder` with `texts` (by posix path), in their order; a mistake where they cannot be written.

    Unless `is_done` at the end, or when the body raises, everything that came into the folder meanwhile is taken out again.
    """
    missing = [each for each in (folder, *folder.parents) if not each.exists()]
    held = None
    try:
        problem = write_new_file(folder / _LIST, _listed(texts))
        if problem is None:
            held = (folder / _LIST).open("rb")
            hold(held.fileno())
            problem = next(
                (each for name, text in texts.items() if (each := write_new_file(folder / name, text.encode()))), None
            )
        yield problem
    finally:
        surely(partial(_ended, folder, texts, missing, is_done))
        if held is not None:
            held.close()


def _ended(folder: Path, texts: Mapping[str, str], missing: list[Path], is_done: Callable[[], bool]) -> None:
    if is_done():
        gone(folder / _LIST)
        return
    _empty(folder, texts)
    for path in missing:
        with contextlib.suppress(OSError):
            path.rmdir()


def clear(folder: Path, is_done: Callable[[], bool]) -> None:
    """Take away what a program that was killed while it filled the folder has left."""
    sweep(folder)
    left = folder / _LIST
    with contextlib.suppress(OSError, ValueError):
        if left.is_symlink() or not left.is_file() or is_held(left):
            return
        listed = dict(line.split("  ", 1)[::-1] for line in left.read_text("utf-8").splitlines())
        for parent in {(folder / name).parent for name in listed}:
            sweep(parent)
        if is_done():
            gone(left)
        elif all(_digest(path.read_bytes()) == listed.get(name) for name, path in _files(folder)):
            _empty(folder, listed)


def _listed(texts: Mapping[str, str]) -> bytes:
    return "".join(f"{_digest(text.encode())}  {name}\n" for name, text in texts.items()).encode()


def _digest(data: bytes) -> str:
    return sha256(data).hexdigest()


def _files(folder: Path) -> Iterator[tuple[str, Path]]:
    """Every file in the folder, by posix path; what git keeps, and the list, are none."""
    for here, folders, names in os.walk(folder):
        way = Path(here).relative_to(folder)
        if way == Path():
            folders[:] = [each for each in folders if each != _GIT]
        yield from (((way / name).as_posix(), Path(here) / name) for name in names if (way / name).as_posix() != _LIST)


def _empty(folder: Path, names: Mapping[str, str]) -> None:
    """Take out what was filled in, the list last."""
    shutil.rmtree(folder / _GIT, ignore_errors=True)
    for name in names:
        gone(folder / name)
        for parent in (folder / name).parents:
            if parent == folder:
                break
            with contextlib.suppress(OSError):
                parent.rmdir()
    gone(folder / _LIST)
