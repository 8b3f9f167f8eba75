"""Answers kept from one run to the next, by the content they were worked out from: faster when asked again, and safe to delete.

One database in the user's cache folder, never in a work tree. Nothing in it is trusted blindly: it belongs to one state of this
program, every value carries a checksum over its question and its answer, and values are JSON, so that reading them runs no code.
Whatever is wrong with it (damaged, locked, full, another user's) means that the answer is worked out as if nothing were kept.
"""

import json
import os
import sqlite3
import stat
import sys
import time
from contextlib import suppress
from functools import cache
from hashlib import sha256
from pathlib import Path

OFF = "ROUTECODE_KEEP"
"""The variable of the environment that keeps nothing where it is `no`."""

MAX_VALUE = 8 * 1024 * 1024
MAX_WHOLE = 256 * 1024 * 1024
"""Bytes of one answer and of all: beyond, an answer is not kept, or the older half is dropped."""

_WAIT = 0.5  # seconds for another process that writes
_LONG = 30 * 24 * 3600  # seconds
_FAULTS = (OSError, sqlite3.Error, ValueError, OverflowError)  # a damaged base has messages that are no text
_TABLE = "CREATE TABLE IF NOT EXISTS kept (question BLOB PRIMARY KEY, proof BLOB NOT NULL, answer BLOB NOT NULL)"
_WHOLE = "SELECT coalesce(sum(length(answer)), 0) FROM kept"
_OLDER = "DELETE FROM kept WHERE rowid <= (SELECT rowid FROM kept ORDER BY rowid LIMIT 1 OFFSET (SELECT count(*) / 2 FROM kept))"


class Kept:
    """Answers by question: a text that names the kind of answer (`diff`, `history`) and all that decides it.

    What is put is written when the block ends (`with kept:`), all of it or nothing.
    """

    def __init__(self, path: Path | None) -> None:
        self._path = path
        self._base: sqlite3.Connection | None = None
        self._new: dict[bytes, bytes] = {}

    def __enter__(self) -> "Kept":
        return self

    def __exit__(self, *_error: object) -> None:
        self.settle()

    def get(self, key: str) -> object | None:
        """The answer, as JSON has it; None where none is kept, or what is kept is not whole."""
        asked = sha256(key.encode("utf-8", errors="surrogatepass")).digest()
        answer = self._new.get(asked)
        if answer is None:
            answer = self._read(asked)
        if answer is None:
            return None
        try:
            found: object = json.loads(answer)
        except (ValueError, RecursionError):
            return None
        return found

    def put(self, key: str, plain: object) -> None:
        """Keep an answer; one that is too large is let go."""
        text = json.dumps(plain, separators=(",", ":")).encode()
        if self._path is not None and len(text) <= MAX_VALUE:
            self._new[sha256(key.encode("utf-8", errors="surrogatepass")).digest()] = text

    def settle(self) -> None:
        """Write what was put since."""
        new, self._new = self._new, {}
        base = self._open(write=True) if new else None
        if base is not None:
            try:
                with base:
                    base.execute(_TABLE)
                    rows = ((asked, _proof(asked, answer), answer) for asked, answer in new.items())
                    base.executemany("INSERT OR REPLACE INTO kept VALUES (?, ?, ?)", rows)
                    if base.execute(_WHOLE).fetchone()[0] > MAX_WHOLE:
                        base.execute(_OLDER)
            except _FAULTS as error:
                self._without(error)
        self._close()

    def _read(self, asked: bytes) -> bytes | None:
        base = self._open(write=False)
        if base is None:
            return None
        try:
            row = base.execute("SELECT proof, answer FROM kept WHERE question = ?", (asked,)).fetchone()
        except _FAULTS as error:
            self._without(error)
            return None
        if row is None or not all(isinstance(each, bytes) for each in row) or row[0] != _proof(asked, row[1]):
            return None
        return bytes(row[1])

    def _open(self, *, write: bool) -> sqlite3.Connection | None:
        if self._base is None and self._path is not None and (write or self._path.exists()):
            try:
                if write and not self._path.exists():
                    _prepare(self._path)
                self._base = sqlite3.connect(self._path, timeout=_WAIT)
                self._base.execute("PRAGMA trusted_schema = OFF")
                self._base.execute("PRAGMA synchronous = OFF")  # what a loss of power damages is found and dropped
            except _FAULTS as error:
                self._without(error)
        return self._base

    def _without(self, error: Exception) -> None:
        """Go on as if nothing were kept; a base that is damaged is taken away, so that the next run begins anew."""
        self._close()
        damaged = not isinstance(error, (OSError, sqlite3.OperationalError))
        if damaged and self._path is not None:
            with suppress(OSError):
                self._path.unlink()

    def _close(self) -> None:
        if self._base is not None:
            with suppress(*_FAULTS):
                self._base.close()
        self._base = None


def open_kept(*work_trees: Path) -> Kept:
    """What is kept for this user and this state of the program; an empty one where nothing can be kept safely."""
    if os.environ.get(OFF, "").casefold() in ("no", "off", "0", "false"):
        return Kept(None)
    folder = _folder()
    if folder is None or any(folder.is_relative_to(tree.resolve()) for tree in work_trees) or not _is_ours(folder):
        return Kept(None)
    return Kept(folder / f"answers-{program()}.sqlite")


@cache
def program() -> str:
    """This state of the program: its sources and the parser that reads TOML, by name, size and time, and the interpreter."""
    from importlib.util import find_spec

    facts = [sys.version]
    pending = [str(Path(__file__).parents[1])]
    parser = find_spec("rtoml")
    pending += parser.submodule_search_locations or () if parser else ()
    while pending:
        with os.scandir(pending.pop()) as entries:
            for entry in sorted(entries, key=lambda entry: entry.name):
                if entry.is_dir(follow_symlinks=False):
                    pending.append(entry.path)
                elif entry.name.endswith((".py", ".so", ".pyd")):
                    found = entry.stat()
                    facts.append(f"{entry.path} {found.st_size} {found.st_mtime_ns}")
    return sha256("\n".join(facts).encode("utf-8", errors="surrogateescape")).hexdigest()[:16]


def _folder() -> Path | None:
    """The cache folder of this user, as the system has it; None where there is none, or it lies in a work tree of git."""
    try:
        home = Path.home()
    except RuntimeError:
        return None
    given = os.environ.get("XDG_CACHE_HOME", "")
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local")
    elif Path(given).is_absolute():
        base = Path(given)
    else:
        base = home / ("Library/Caches" if sys.platform == "darwin" else ".cache")
    if not base.is_absolute():
        return None
    try:
        folder = base.resolve() / "routecode"
        return None if any((above / ".git").exists() for above in folder.parents) else folder
    except (OSError, RuntimeError):
        return None


def _is_ours(folder: Path) -> bool:
    """Whether nobody else can have written in this folder; one that is not there yet will be ours."""
    try:
        found = folder.lstat()
    except FileNotFoundError:
        return True
    except OSError:
        return False
    if not stat.S_ISDIR(found.st_mode):
        return False
    return os.name == "nt" or (found.st_uid == os.geteuid() and not found.st_mode & 0o077)


def _prepare(path: Path) -> None:
    """The folder for a new base; bases of other states of the program that were not written for long are taken away."""
    path.parent.parent.mkdir(parents=True, exist_ok=True)
    with suppress(FileExistsError):
        path.parent.mkdir(mode=0o700)
    if not _is_ours(path.parent):
        raise PermissionError(path.parent)
    for old in path.parent.glob("answers-*.sqlite*"):
        with suppress(OSError):
            if time.time() - old.stat().st_mtime > _LONG:
                old.unlink()


def _proof(asked: bytes, answer: bytes) -> bytes:
    return sha256(b"routecode kept 1\0" + asked + answer).digest()
