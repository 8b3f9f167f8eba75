"""Writing files so that there is always the old text or the new one, and never half of either or a stray file.

Each text is first written to a hidden draft beside its place and settled on the disk, then takes its place in one step. Whatever
fails before that leaves the old text and no draft; a program that is killed may leave a draft, which the next one to write into that
folder removes. Does not know what it writes; splicing a user's text is done before.
"""

import contextlib
import errno
import os
from collections.abc import Iterator, Mapping
from functools import partial
from io import FileIO
from pathlib import Path

from routecode.files.leftover import fresh, gone, hold, surely, sweep
from routecode.files.ordinary import not_ordinary
from routecode.ground.finding import Mistake

_TRIES = 3
_FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)


def write_file(path: Path, data: bytes, *, overwrite: bool = False) -> Mistake | None:
    """Write `data` to `path`, whole or not at all; None when it is written.

    What is there is only replaced when told so (`overwrite`); it keeps its permissions, and a link keeps being a link:
    the file it leads to is replaced.
    """
    try:
        target = _target(path)
        if not overwrite:
            return _write_new(target, path, data)
        with _draft(target, data) as draft:
            draft.replace(target)
    except (OSError, RuntimeError) as error:
        return _not_written(path, error)
    _settle(target.parent)
    return None


def write_new_file(path: Path, data: bytes) -> Mistake | None:
    """Write a file that is not there yet, with the folders above it; None when it is written."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        return _not_written(path, error)
    return write_file(path, data)


def write_files(texts: Mapping[Path, bytes]) -> Mistake | None:
    """Write several files in the place of what is there: all of them or none; None when they are written.

    All drafts are settled before the first one takes its place. Should a later one fail to, those that did are put back. A program
    that is killed just then can leave some files new and others old, each whole.
    """
    path, done = Path(), list[tuple[Path, Path | None]]()
    with contextlib.ExitStack() as stack:
        try:
            drafts = {}
            for path, data in texts.items():
                target = _target(path)
                drafts[path] = (target, stack.enter_context(_draft(target, data)), stack.enter_context(_kept(target)))
            for path in drafts:
                target, draft, old = drafts[path]
                done.append((target, old))
                draft.replace(target)
        except (OSError, RuntimeError) as error:
            _put_back(done)
            return _not_written(path, error)
        except BaseException:
            surely(partial(_put_back, done))
            raise
    for folder in sorted({target.parent for target, _ in done}):
        _settle(folder)
    return None


def _target(path: Path) -> Path:
    """The file that is written; OSError where something stands there that is none, so that no device or pipe is read or replaced."""
    target = path.resolve() if path.is_symlink() else path
    with contextlib.suppress(FileNotFoundError, NotADirectoryError):
        kind = not_ordinary(target)
        if kind is not None:
            raise OSError(errno.EINVAL, f"it {kind}, no ordinary file", str(path))
    return target


def _write_new(target: Path, path: Path, data: bytes) -> Mistake | None:
    if os.path.lexists(target):
        return _exists(path)
    with _draft(target, data) as draft:
        try:
            os.link(draft, target)  # unlike a rename this never replaces what another program wrote meanwhile
        except FileExistsError:
            return _exists(path)
        except OSError:  # a file system without links
            if os.path.lexists(target):
                return _exists(path)
            draft.replace(target)
    _settle(target.parent)
    return None


@contextlib.contextmanager
def _draft(target: Path, data: bytes) -> Iterator[Path]:
    """The data in a hidden file beside the target, settled on the disk; gone afterwards unless it took the target's place."""
    sweep(target.parent)
    with contextlib.ExitStack() as stack:
        draft, held = _begun(target, stack)
        with os.fdopen(os.dup(held.fileno()), "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        with contextlib.suppress(FileNotFoundError):
            draft.chmod(target.stat().st_mode & 0o7777)
        if os.name == "nt":  # there an open file takes no other's place
            held.close()
        yield draft


def _begun(target: Path, stack: contextlib.ExitStack) -> tuple[Path, FileIO]:
    """An empty draft that is held; `stack` takes it away."""
    for _ in range(_TRIES):
        draft = fresh(target.parent, target.name)
        stack.callback(surely, partial(gone, draft))
        flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
        held = stack.enter_context(FileIO(os.open(draft, flags, 0o666), "wb"))
        hold(held.fileno())
        if draft.exists():  # else another program took it for a leftover before it was held
            return draft, held
    raise OSError("another program removes what is being written")


@contextlib.contextmanager
def _kept(target: Path) -> Iterator[Path | None]:
    """The old file under a second name, so that putting it back needs no space; None where there is none."""
    if not target.exists():
        yield None
        return
    old = fresh(target.parent, target.name)
    with contextlib.ExitStack() as stack:
        stack.callback(surely, partial(gone, old))
        try:
            hold(stack.enter_context(target.open("rb")).fileno())
            os.link(target, old)
        except OSError:  # a file system without links
            with _draft(old, target.read_bytes()) as draft:
                draft.replace(old)
        yield old


def _put_back(done: list[tuple[Path, Path | None]]) -> None:
    for target, old in reversed(done):
        with contextlib.suppress(OSError):
            if old is not None:
                old.replace(target)
            else:
                target.unlink(missing_ok=True)


def _settle(folder: Path) -> None:
    """Make the new name itself survive a loss of power, where the system can."""
    if os.name == "nt":
        return
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _exists(path: Path) -> Mistake:
    return Mistake(
        "file-exists", f'There is a file "{path}" already.', do="Choose another name, or move that file away."
    )


def _not_written(path: Path, error: BaseException) -> Mistake:
    said = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    text = f'The file "{path}" could not be written: {said[:1].lower() + said[1:]}.'
    is_full = isinstance(error, OSError) and error.errno in _FULL
    do = "Make room on the disk, or choose another place for it." if is_full else "Choose another place for it."
    return Mistake("file-not-written", text, why="Nothing that was there before is changed.", do=do)
