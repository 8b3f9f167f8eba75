"""Several files of a work tree replaced together with one last step (a commit): all of it or nothing.

New and old texts are first laid out in a folder of git's own, with a note of what is going on; then the files take their places by
renaming, which needs no space. Whatever fails, or interrupts, puts the old texts back. Where the program is killed in between, the
note is still there, and `recover` puts the old texts back the next time. Does not know what it writes, and makes no commits itself.
"""

import contextlib
import errno
import hashlib
import json
import os
import shutil
import signal
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from routecode.files.git_folder import DESK
from routecode.files.ordinary import not_ordinary
from routecode.files.write import write_file
from routecode.ground.finding import Mistake

if sys.platform != "win32":
    import fcntl

_NOTE = "note.json"
_SIGNALS = ("SIGINT", "SIGTERM", "SIGHUP")


class Step(NamedTuple):
    """One file, by its posix path below the root: what it says, and what it is to say; None where it is not there."""

    name: str
    was: bytes | None
    now: bytes | None


class Recovered(NamedTuple):
    """What was found of an exchange that was killed: files that were put back, and files that someone edited since."""

    back: tuple[str, ...]
    edited: tuple[str, ...]
    names: tuple[str, ...]
    """All files of that exchange."""


class Last(NamedTuple):
    """The last step, and whether it has been made: asked where it failed, since that may have been after it took effect."""

    make: Callable[[], Mistake | None]
    is_made: Callable[[], bool]


def exchange(root: Path, git_dir: Path, head: str, steps: Sequence[Step], last: Last) -> Mistake | None:
    """Make every step and then the last one (a commit on top of `head`); None when all is done, else all is as it was.

    Raises KeyboardInterrupt where it was interrupted before the end; then all is as it was, too.
    """
    desk = git_dir / DESK
    with _alone(git_dir) as alone:
        if not alone:
            return _busy()
        with _held() as interrupted:
            try:
                _lay_out(desk, root, head, steps)
            except OSError as error:
                shutil.rmtree(desk, ignore_errors=True)
                return _not_written(error)
            except BaseException:
                shutil.rmtree(desk, ignore_errors=True)
                raise
            return _Work(root, desk, steps, interrupted).whole(last)


def recover(root: Path, git_dir: Path, head: str | None) -> Recovered | Mistake | None:
    """Put back what an exchange that was killed left half done; None where there is nothing to put back."""
    desk = git_dir / DESK
    if not desk.is_dir():
        return None
    with _alone(git_dir) as alone, _held():
        if not alone:
            return _busy()
        note = _read_note(desk)
        if note is None or note["head"] != head or note["root"] != str(root):
            shutil.rmtree(desk, ignore_errors=True)  # nothing had taken its place yet, or the commit was made
            return None
        try:
            found = _put_back(root, desk, note["files"])
        except OSError as error:
            return _not_written(error)
        shutil.rmtree(desk, ignore_errors=True)
        return found


class CutShort(NamedTuple):
    """An exchange that was killed on its way: the commit it stood on, and the files that are as it wrote them."""

    head: str
    names: tuple[str, ...]


def cut_short(root: Path, git_dir: Path) -> CutShort | Mistake | None:
    """What an exchange that was killed left in the work tree; nothing is put back. None: every file is as it was before it.

    A mistake: one is at work now. The caller knows whether its commit was made: then another one than `head` is checked out.
    """
    desk = git_dir / DESK
    note = _read_note(desk)
    if note is None or note["root"] != str(root):
        return None
    with _alone(git_dir) as alone:
        if not alone:
            return _busy()
    names = tuple(name for name, was, now in note["files"] if was != now == _mark_of(root / name))
    return CutShort(str(note["head"]), names) if names else None


class _Work:
    """One exchange on its way."""

    def __init__(self, root: Path, desk: Path, steps: Sequence[Step], interrupted: list[int]) -> None:
        self._root = root
        self._desk = desk
        self._steps = steps
        self._interrupted = interrupted
        self._begun = 0
        self._folders: list[Path] = []

    def whole(self, last: Last) -> Mistake | None:
        """Forward to the end, or back to the beginning."""
        try:
            mistake = self._forward() or self._finish(last)
        except OSError as error:
            mistake = _not_written(error)
        except BaseException:
            self._back()
            raise
        if mistake is None:
            for step in self._steps:
                if step.now is None:
                    self._without_empty((self._root / step.name).parent)
            shutil.rmtree(self._desk, ignore_errors=True)
            return None
        mistake = self._back() or mistake
        if self._interrupted:
            raise KeyboardInterrupt
        return mistake

    def _finish(self, last: Last) -> Mistake | None:
        try:
            mistake = last.make()
        except BaseException:
            if last.is_made():
                return None
            raise
        return None if mistake is not None and last.is_made() else mistake

    def _forward(self) -> Mistake | None:
        for number, step in enumerate(self._steps):
            if self._interrupted:
                return _interrupted()
            if _content(self._root / step.name) != step.was:
                return _changed(step.name)
            self._begun = number + 1
            self._take(step, self._desk / f"{number}.new")
        return _interrupted() if self._interrupted else None

    def _take(self, step: Step, draft: Path) -> None:
        path = self._root / step.name
        if step.now is None:
            path.unlink()
            return
        for folder in reversed(path.parents):
            if not folder.exists():
                folder.mkdir()
                self._folders.append(folder)
        _rename(draft, path)

    def _back(self) -> Mistake | None:
        """The old texts; what cannot be put back now is left for `recover`."""
        failed: OSError | None = None
        for number, step in reversed(list(enumerate(self._steps[: self._begun]))):
            try:
                if _content(self._root / step.name) == step.now != step.was:
                    _restore(self._root / step.name, step.was is None, self._desk / f"{number}.old")
            except OSError as error:
                failed = error
        for folder in reversed(self._folders):
            with contextlib.suppress(OSError):
                folder.rmdir()
        if failed is not None:
            return _half_done(failed)
        shutil.rmtree(self._desk, ignore_errors=True)
        return None

    def _without_empty(self, folder: Path) -> None:
        """As git does it: a folder goes with its last file."""
        with contextlib.suppress(OSError):
            while folder != self._root:
                folder.rmdir()
                folder = folder.parent


def _lay_out(desk: Path, root: Path, head: str, steps: Sequence[Step]) -> None:
    shutil.rmtree(desk, ignore_errors=True)
    desk.mkdir(mode=0o700)
    for number, step in enumerate(steps):
        for text, name in ((step.was, f"{number}.old"), (step.now, f"{number}.new")):
            if text is not None:
                _draft(desk / name, text, root / step.name)
    files = [[step.name, _mark(step.was), _mark(step.now)] for step in steps]
    note = {"head": head, "root": str(root), "files": files}
    _draft(desk / f"{_NOTE}.new", json.dumps(note).encode(), None)
    (desk / f"{_NOTE}.new").replace(desk / _NOTE)


def _draft(path: Path, data: bytes, like: Path | None) -> None:
    """A text on the disk, with the permissions of the file whose place it may take."""
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    with os.fdopen(handle, "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    if like is not None and like.exists():
        path.chmod(like.stat().st_mode & 0o7777)


def _rename(draft: Path, path: Path) -> None:
    try:
        draft.replace(path)
    except OSError:
        mistake = write_file(path, draft.read_bytes(), overwrite=True)  # git's folder may be on another disk
        if mistake is not None:
            raise


def _restore(path: Path, absent: bool, old: Path) -> None:
    if absent:
        path.unlink(missing_ok=True)
    else:
        path.parent.mkdir(parents=True, exist_ok=True)
        _rename(old, path)


def _read_note(desk: Path) -> dict[str, Any] | None:
    """What was going on; None where nothing had begun."""
    try:
        note = json.loads((desk / _NOTE).read_bytes())
    except (OSError, ValueError):
        return None
    if not isinstance(note, dict) or not isinstance(note.get("files"), list) or not {"head", "root"} <= note.keys():
        return None
    is_whole = all(isinstance(file, list) and len(file) == 3 and _is_below(file[0]) for file in note["files"])
    return note if is_whole else None


def _is_below(name: object) -> bool:
    return isinstance(name, str) and not any(part in ("", ".", "..") for part in name.split("/"))


def _put_back(root: Path, desk: Path, files: list[list[Any]]) -> Recovered:
    back, edited = [], []
    for number, (name, was, now) in enumerate(files):
        found, old = _mark(_content(root / name)), desk / f"{number}.old"
        if found == was:
            continue  # its turn had not come
        if found == now and (was is None or old.exists()):
            _restore(root / name, was is None, old)
            back.append(name)
        else:
            edited.append(name)
    return Recovered(tuple(back), tuple(edited), tuple(name for name, _, _ in files))


def _mark(data: bytes | None) -> str | None:
    return None if data is None else hashlib.sha256(data).hexdigest()


def _mark_of(path: Path) -> str | None:
    """The mark of what stands there; what is no file has none that anything was given."""
    try:
        return _mark(_content(path))
    except OSError:
        return ""


def _content(path: Path) -> bytes | None:
    """What a file says; None where there is none. A link, a folder or a pipe in its place is an OSError."""
    if path.is_symlink():
        raise OSError(errno.EMLINK, "a link stands in its place", str(path))
    try:
        kind = not_ordinary(path)
        if kind is not None:
            raise OSError(errno.EINVAL, f"what stands in its place {kind}", str(path))
        return path.read_bytes()
    except (FileNotFoundError, NotADirectoryError):
        return None


@contextlib.contextmanager
def _alone(git_dir: Path) -> Iterator[bool]:
    """Whether no other exchange is at work in this repository; while this one is, others are told no."""
    if sys.platform == "win32":
        yield True
        return
    try:
        handle = os.open(git_dir, os.O_RDONLY)
    except OSError:  # what cannot even be read will not be written either, and that is told then
        yield True
        return
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        yield False
    except OSError:  # a file system without locks
        yield True
    else:
        yield True
    finally:
        os.close(handle)


@contextlib.contextmanager
def _held() -> Iterator[list[int]]:
    """Requests to end are noted, and heeded where it is safe: between two files, and after the last step."""
    noted: list[int] = []
    if threading.current_thread() is not threading.main_thread():
        yield noted
        return
    numbers = [getattr(signal, name) for name in _SIGNALS if hasattr(signal, name)]
    before = [(number, signal.signal(number, lambda number, _frame: noted.append(number))) for number in numbers]
    try:
        yield noted
    finally:
        for number, handler in before:
            signal.signal(number, handler)


def _busy() -> Mistake:
    return Mistake("busy", "Another rollback is at work in this repository.", do="Wait for it, then try again.")


def _interrupted() -> Mistake:
    return Mistake("interrupted", "It was interrupted; everything is as it was.")


def _changed(name: str) -> Mistake:
    text = f'The file "{name}" was changed while it was to be replaced; everything is as it was.'
    return Mistake("file-changed", text, do="Record or take back what was changed, then try again.")


def _not_written(error: OSError) -> Mistake:
    said = error.strerror or str(error)
    where = f' "{error.filename}"' if error.filename else ""
    text = f"The files could not be written{where}: {said[:1].lower() + said[1:]}."
    return Mistake("file-not-written", text, why="Everything is as it was.", do="Make it possible, then try again.")


def _half_done(error: OSError) -> Mistake:
    said = error.strerror or str(error)
    text = f"The files could not be written, and some could not be put back: {said[:1].lower() + said[1:]}."
    do = "Make it possible to write there; the next rollback then puts them back first:\nroutecode rollback last"
    return Mistake("half-done", text, why="Nothing was recorded, and nothing is lost.", do=do)
