"""Faults at every point at which a command writes: a signal, or a disk that is full. For tests of what they leave.

A command line is run in a process of its own, forked from this one. There every step that writes is counted: a file opened to be
written, settled, renamed, linked, removed; a folder made or removed; a git command that writes, before it starts and after it ended.
At the n-th of them the fault happens. What a run left is told as a `Left`: commit, index, files, and what lies about in git's folder.
"""

import errno
import os
import pkgutil
import signal
import subprocess
import sys
import tempfile
import traceback
from collections.abc import Iterator
from contextlib import suppress
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import Any, NamedTuple, NoReturn

import routecode
from routecode.files.git import process
from tests.cli.asking import forget

FULL = "disk full"
FAULTS: dict[str, int | None] = {
    FULL: None,
    "SIGINT": signal.SIGINT,
    "SIGTERM": signal.SIGTERM,
    "SIGHUP": signal.SIGHUP,
    "SIGKILL": signal.SIGKILL,
}
TAKING = ("os.rename", "os.link", "os.symlink", "os.mkdir", "os.truncate")
GIVING = ("os.remove", "os.rmdir")  # a full disk does not keep anything from being removed
WRITING = (
    "init",
    "read-tree",
    "update-index",
    "write-tree",
    "commit-tree",
    "update-ref",
    "mktree",
    "tag",
)
_NO_SPACE = ["/bin/sh", "-c", "echo 'fatal: write error: No space left on device' >&2; exit 128"]
_QUIET = (
    "objects",
    "logs",
    "index",
    "refs",
    "HEAD",
    "config",
    "description",
    "info",
    "branches",
    "hooks",
    "COMMIT_EDITMSG",
)


class Ended(NamedTuple):
    """How a run ended: its exit status (negative: the signal that killed it), the points it passed, what it said.

    A point is a letter: `w` something is written, `r` removed, `g` git begins to write, `a` git has ended.
    """

    status: int
    points: str
    out: str
    err: str


class Left(NamedTuple):
    """What is there: the commit, the index as git lists it, the files by path, and what is in git's folder beside what belongs there."""

    head: str
    staged: str
    files: dict[str, bytes]
    about: tuple[str, ...]


class Points:
    """Counts the points of a process, and lets the fault happen at one of them (0: at none)."""

    def __init__(self, at: int, fault: str) -> None:
        self.passed = ""
        self.at = at
        self.fault = fault

    def reached(self, kind: str) -> bool:
        """Whether this is the point; a signal is sent here."""
        self.passed += kind
        if len(self.passed) != self.at:
            return False
        number = FAULTS[self.fault]
        if number is not None:
            os.kill(os.getpid(), number)
            return False
        return True

    def heard(self, event: str, arguments: tuple[Any, ...]) -> None:
        """What Python tells of (see its table of audit events)."""
        is_write = event in TAKING
        if event == "open" and isinstance(arguments[0], str | bytes) and isinstance(arguments[2], int):
            is_write = bool(arguments[2] & (os.O_WRONLY | os.O_RDWR)) and os.fsdecode(arguments[0]) != os.devnull
        if event in GIVING:
            self.reached("r")
        elif is_write and self.reached("w"):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), "x")


@cache
def _warm() -> None:
    """Load every module once: what is forked afterwards need not."""
    for found in pkgutil.walk_packages(routecode.__path__, "routecode."):
        if not found.name.endswith(("__main__", ".generate")):
            with suppress(ImportError):  # what cannot be loaded is missed by the command that needs it
                import_module(found.name)


def run(arguments: list[str], folder: Path, at: int = 0, fault: str = FULL) -> Ended:
    """Run a command line in `folder` with a fault at its point number `at`."""
    _warm()
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        status, points = _forked(arguments, folder, Points(at, fault), (out.fileno(), err.fileno()))
        said = []
        for text in (out, err):
            text.seek(0)
            said.append(text.read().decode())
        return Ended(status, points, *said)


def _forked(arguments: list[str], folder: Path, points: Points, texts: tuple[int, int]) -> tuple[int, str]:
    """Exit status and points of a forked run that writes what it says into two open files."""
    ours, theirs = os.pipe()
    sys.stdout.flush()
    sys.stderr.flush()
    child = os.fork()
    if child == 0:
        try:
            os.close(ours)
            os.dup2(texts[0], 1)
            os.dup2(texts[1], 2)
            _become(arguments, folder, points, theirs)
        except BaseException:
            os.write(2, traceback.format_exc().encode())
            os._exit(99)
    os.close(theirs)
    with os.fdopen(ours, "rb") as pipe:
        told = pipe.read()
    _, status = os.waitpid(child, 0)
    return os.waitstatus_to_exitcode(status), told.decode()


def _become(arguments: list[str], folder: Path, points: Points, told: int) -> NoReturn:
    """Be the command `routecode` with these arguments, in this forked process."""
    from git import cmd

    from routecode.cli import main

    os.chdir(folder)
    forget()
    signal.signal(signal.SIGINT, signal.default_int_handler)
    sys.stdout = os.fdopen(os.dup(1), "w", encoding="utf-8")
    sys.stderr = os.fdopen(os.dup(2), "w", encoding="utf-8")
    sys.argv = ["routecode", *arguments]
    leave, start, settle = os._exit, cmd.safer_popen, os.fsync

    def leaving(status: int) -> NoReturn:
        os.write(told, points.passed.encode())
        leave(status)

    def settling(handle: Any) -> None:
        if points.reached("w"):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        settle(handle)

    def starting(command: list[str], **how: Any) -> Any:
        words = command[1 + len(process.FRONT) :]
        if words[0] not in WRITING and "-w" not in words:
            return start(command, **how)
        begun = start(_NO_SPACE if points.reached("g") else command, **how)
        wait = begun.communicate

        def waiting(*given: Any, **more: Any) -> Any:
            result = wait(*given, **more)
            points.reached("a")
            return result

        vars(begun)["communicate"] = waiting
        return begun

    os._exit, cmd.safer_popen, os.fsync = leaving, starting, settling  # type: ignore[assignment]  # in this process only
    sys.addaudithook(points.heard)
    main.run()


def left(folder: Path) -> Left:
    """What is in a folder that may be a work tree."""
    git = folder / ".git"
    files = {path.relative_to(folder).as_posix(): path.read_bytes() for path in _below(folder)}
    if not git.exists():
        return Left("", "", files, ())
    head = (git / "refs" / "heads" / "main").read_text().strip() if (git / "refs" / "heads" / "main").exists() else ""
    done = subprocess.run(["git", "ls-files", "--stage"], cwd=folder, capture_output=True, check=False)
    about = (path.name for path in git.iterdir() if path.name not in _QUIET)
    locks = (str(path.relative_to(git)) for path in git.rglob("*.lock"))
    return Left(head, done.stdout.decode() + done.stderr.decode(), files, tuple(sorted({*about, *locks})))


def _below(folder: Path) -> Iterator[Path]:
    for here, folders, names in os.walk(folder):
        folders[:] = [name for name in folders if name != ".git"]
        yield from (Path(here) / name for name in names)
