"""How git is run: a fixed front of options, an environment from an allow-list, bytes in and bytes out.

A repository may come from anywhere, and its configuration can name programs: file monitors, hooks, filters, pagers,
signers, helpers for remotes. Only commands that start none of these are used, the switches below close the rest, and
nothing is ever fetched. GitPython is the process layer (it finds git, on Windows never in the current folder); none of
its conveniences are used. Knows nothing of studios.
"""

import os
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from functools import cache
from hashlib import new
from pathlib import Path
from subprocess import DEVNULL, PIPE, TimeoutExpired
from typing import IO, TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from hashlib import _Hash as HASH

FRONT = (
    "--no-pager",
    "--no-replace-objects",
    "--no-optional-locks",
    "--literal-pathspecs",
    *("-c", "core.fsmonitor=false"),
    *("-c", "core.hooksPath=/dev/null"),
    *("-c", "core.alternateRefsCommand="),
    *("-c", "log.showSignature=false"),
    *("-c", "protocol.allow=never"),
    *("-c", "safe.bareRepository=explicit"),
    *("-c", "core.commitGraph=false"),
    *("-c", "i18n.commitEncoding=UTF-8"),
    *("-c", "core.quotePath=false"),
    *("-c", "gc.auto=0"),
    *("-c", "maintenance.auto=false"),
)
KEPT = (
    *("PATH", "PATHEXT", "SYSTEMROOT", "COMSPEC", "TEMP", "TMP", "TMPDIR", "TZ"),
    *("HOME", "HOMEDRIVE", "HOMEPATH", "USERPROFILE", "APPDATA", "LOCALAPPDATA", "PROGRAMDATA", "XDG_CONFIG_HOME"),
    *("USER", "LOGNAME", "EMAIL", "GIT_CONFIG_GLOBAL", "GIT_CEILING_DIRECTORIES"),
    *("GIT_AUTHOR_NAME", "GIT_AUTHOR_EMAIL", "GIT_AUTHOR_DATE"),
    *("GIT_COMMITTER_NAME", "GIT_COMMITTER_EMAIL", "GIT_COMMITTER_DATE"),
)
FIXED = {
    "LANGUAGE": "C",
    "LC_ALL": "C",
    "GIT_NO_LAZY_FETCH": "1",
    "GIT_ALLOW_PROTOCOL": "",
    "GIT_TERMINAL_PROMPT": "0",
    "GIT_CONFIG_NOSYSTEM": "1",
    "GIT_NO_REPLACE_OBJECTS": "1",
    "GIT_GRAFT_FILE": "/dev/null",
    "GIT_OPTIONAL_LOCKS": "0",
    "GIT_PAGER": "cat",
    "GIT_ASKPASS": "",
    "SSH_ASKPASS": "",
}
STARTING_NOTHING = frozenset(
    {
        *("cat-file", "commit-tree", "config", "for-each-ref", "hash-object", "ls-files", "ls-tree", "merge-base"),
        *("rev-list", "rev-parse", "var", "write-tree"),
    }
)
"""Commands that start no hook and no filter of any kind; with every other one, those that the configuration names are switched off."""
_OFF = {"hook": {"enabled": "false"}, "filter": {"clean": "", "process": "", "smudge": "", "required": "false"}}
SECONDS = 300
LAST_WORDS = 5  # seconds that an interrupted git gets to take its lock files away
NO_GIT = 127
_PART = 1 << 20
_SHA1 = 40


class Done(NamedTuple):
    """What a command left: its status (`NO_GIT` when there is no git program), its bytes, its complaint."""

    status: int
    out: bytes
    complaint: str

    @property
    def line(self) -> str:
        """The output as one text, without the last line end."""
        return self.out.decode("utf-8", errors="surrogateescape").removesuffix("\n")


class Found(NamedTuple):
    """An object: its kind (`commit`, `tree`, `blob`, `tag`) and its content."""

    kind: str
    data: bytes


def environment(more: Mapping[str, str | None] | None = None) -> dict[str, str]:
    """The environment git gets: what is kept of the user's, the fixed switches, and `more` (None takes one away)."""
    kept = {name: value for name, value in os.environ.items() if name.upper() in KEPT}
    if "PATH" in kept:  # a relative folder would be looked for in the repository
        kept["PATH"] = os.pathsep.join(path for path in kept["PATH"].split(os.pathsep) if Path(path).is_absolute())
    merged = {**kept, **FIXED, **(more or {})}
    return {name: value for name, value in merged.items() if value is not None}


def run(folder: Path, *arguments: str, given: bytes = b"", more: Mapping[str, str | None] | None = None) -> Done:
    """One git command in `folder`, `given` on its standard input."""
    process = _start(folder, arguments, more)
    if process is None:
        return Done(NO_GIT, b"", "git is not installed")
    with process:
        try:
            out, complaint = process.communicate(given, timeout=SECONDS)
        except TimeoutExpired:
            _end(process)
            return Done(-1, b"", f"git did not finish within {SECONDS} seconds")
        except BaseException:
            _end(process)
            raise
    return Done(process.returncode, out, complaint.decode("utf-8", errors="replace").strip())


def _end(process: Any) -> None:
    """End a git that may be writing: told to, it takes its lock files away; killed at once, it would leave them."""
    process.terminate()
    try:
        process.communicate(timeout=LAST_WORDS)
    except (TimeoutExpired, ValueError, OSError):
        process.kill()


def said(complaint: str) -> str:
    """The line of git's complaint that matters, as a sentence for `why`; empty when there is none."""
    told = complaint.split("\n")
    last = next((line for line in told if line.startswith(("fatal: ", "error: "))), told[0])
    last = last.removeprefix("fatal: ").removeprefix("error: ").strip()
    return f"git says: {last}" if last else ""


def lines(folder: Path, *arguments: str) -> Iterator[str]:
    """The lines a git command prints, as they come; the command ends when nobody asks for more."""
    process = _start(folder, arguments, None, complaint=DEVNULL)
    if process is None:
        return
    with process:
        process.stdin.close()
        try:
            for line in process.stdout:
                yield line.decode("ascii", errors="replace").rstrip("\n")
        finally:
            process.kill()


class Objects:
    """Objects by id from one `cat-file --batch` that stays open; started again where a damaged object ended it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._process: Any = None
        self.damaged: set[str] = set()
        """Ids of objects that are there and not whole: unreadable, or not what their id says."""

    def get(self, object_id: str, most: int | None = None) -> Found | None:
        """One object by its whole id, of which at most `most` bytes are kept; None when it is not there or not whole."""
        source, sink = self._open()
        try:
            sink.write(object_id.encode("ascii") + b"\n")
            sink.flush()
            header = source.readline().split()
            if len(header) == 3 and header[1] != b"missing":
                return self._content(source, object_id, header[1], int(header[2]), most)
            lost = not header
        except (OSError, ValueError):
            lost = True
        if lost:  # git ended: an object is damaged, or is promised by a remote and not here
            self.damaged.add(object_id)
            self.close()
        return None

    def _content(self, source: IO[bytes], object_id: str, kind: bytes, size: int, most: int | None) -> Found | None:
        kept = size if most is None else min(size, most)
        data = source.read(kept)
        check = _hash_of(object_id, b"%s %d\0" % (kind, size))
        check.update(data)
        left = size - kept
        while left > 0:
            part = source.read(min(left, _PART))
            if not part:
                break
            check.update(part)
            left -= len(part)
        source.read(1)
        if check.hexdigest() != object_id:  # git itself does not look when it reads a loose object
            self.damaged.add(object_id)
            return None
        return Found(kind.decode("ascii", errors="replace"), data)

    def _open(self) -> tuple[IO[bytes], IO[bytes]]:
        if self._process is None:
            self._process = _start(self.folder, ("cat-file", "--batch"), None, complaint=DEVNULL)
        if self._process is None:
            raise FileNotFoundError("git")  # a programmer's fault: a repository was opened before
        return self._process.stdout, self._process.stdin

    def close(self) -> None:
        """End the process."""
        if self._process is not None:
            process, self._process = self._process, None
            process.kill()
            with suppress(OSError):  # what was still to be written to it
                process.stdin.close()
            process.stdout.close()
            process.wait()


def blob_id(data: bytes, length: int) -> str:
    """The id that git gives to this text, in a repository whose ids have this many digits."""
    check = _hash_of("0" * length, b"blob %d\0" % len(data))
    check.update(data)
    return check.hexdigest()


def _hash_of(object_id: str, begin: bytes) -> "HASH":
    return new("sha1" if len(object_id) == _SHA1 else "sha256", begin, usedforsecurity=False)


@contextmanager
def objects(folder: Path) -> Iterator[Objects]:
    """An open reader of objects."""
    reader = Objects(folder)
    try:
        yield reader
    finally:
        reader.close()


def switched_off(folder: Path) -> dict[str, str]:
    """Variables that switch off what a configuration names, name by name, where one switch for all of it does not exist.

    Hooks of the configuration (git 2.54 and later run them wherever core.hooksPath points), and filters: whoever writes an index
    looks again at files that changed in the second in which it was written before, through their filter.
    """
    done = run(folder, "config", "-z", "--name-only", "--get-regexp", r"^(hook|filter)\.")
    keys = done.out.decode("utf-8", errors="surrogateescape").split("\0")
    off: dict[str, str] = {}
    for name in sorted({key.rpartition(".")[0] for key in keys if key.count(".") > 1}):
        off.update({f"{name}.{key}": value for key, value in _OFF[name.partition(".")[0]].items()})
    listed = {f"GIT_CONFIG_KEY_{number}": key for number, key in enumerate(off)}
    values = {f"GIT_CONFIG_VALUE_{number}": value for number, value in enumerate(off.values())}
    return {"GIT_CONFIG_COUNT": str(len(off)), **listed, **values} if off else {}


def _start(folder: Path, arguments: Iterable[str], more: Mapping[str, str | None] | None, complaint: int = PIPE) -> Any:
    """The started process (a `subprocess.Popen` of bytes); None when there is no git program."""
    cmd = _layer()
    if cmd is None:
        return None
    words = list(arguments)
    command = [cmd.Git.GIT_PYTHON_GIT_EXECUTABLE, *FRONT, *words]
    given = dict(more or {}) if _starts_nothing(words) else {**switched_off(folder), **(more or {})}
    try:
        return cmd.safer_popen(
            command, cwd=folder, env=environment(given), stdin=PIPE, stdout=PIPE, stderr=complaint, bufsize=-1
        )
    except OSError:
        return None


def _starts_nothing(words: list[str]) -> bool:
    while words[:1] == ["-c"]:
        words = words[2:]
    return words[0] in STARTING_NOTHING or words[:2] == ["symbolic-ref", "--quiet"]


def _layer() -> Any:
    """GitPython's `git.cmd`; None when it finds no git program."""
    try:
        return _loaded()
    except ImportError:
        return None


@cache
def _loaded() -> Any:
    """The layer, loaded in the environment that git gets: it asks git for its version, and has settings that name a program to run."""
    theirs = dict(os.environ)
    ours = environment()
    for name in theirs.keys() - ours.keys():
        del os.environ[name]
    os.environ.update(ours)
    try:
        from git import cmd
    finally:
        for name in ours.keys() - theirs.keys():
            del os.environ[name]
        os.environ.update(theirs)
    return cmd
