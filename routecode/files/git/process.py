"""How git is run: a fixed front of options, an environment from an allow-list, bytes in and bytes out.

A repository may come from anywhere, and its configuration can name programs: file monitors, hooks, filters, pagers,
signers, helpers for remotes. Only commands that start none of these are used, the switches below close the rest, and
nothing is ever fetched. GitPython is the process layer (it finds git, on Windows never in the current folder); none of
its conveniences are used. Knows nothing of studios.
"""

import os
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from subprocess import DEVNULL, PIPE, TimeoutExpired
from typing import IO, Any, NamedTuple

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
    "GIT_OPTIONAL_LOCKS": "0",
    "GIT_PAGER": "cat",
    "GIT_ASKPASS": "",
    "SSH_ASKPASS": "",
}
SECONDS = 300
NO_GIT = 127


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
            process.kill()
            return Done(-1, b"", f"git did not finish within {SECONDS} seconds")
        except BaseException:
            process.kill()
            raise
    return Done(process.returncode, out, complaint.decode("utf-8", errors="replace").strip())


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
    """Objects by id from one `cat-file --batch` that stays open."""

    def __init__(self, source: IO[bytes], sink: IO[bytes]) -> None:
        self._source = source
        self._sink = sink

    def get(self, object_id: str) -> Found | None:
        """One object; None when it is not there or not whole."""
        try:
            self._sink.write(object_id.encode("ascii") + b"\n")
            self._sink.flush()
            header = self._source.readline().split()
            if len(header) != 3 or header[1] == b"missing":
                return None
            data = self._source.read(int(header[2]))
            self._source.read(1)
        except (OSError, ValueError):  # git ended: an object is damaged, or is promised by a remote and not here
            return None
        return Found(header[1].decode("ascii", errors="replace"), data)


@contextmanager
def objects(folder: Path) -> Iterator[Objects]:
    """An open reader of objects."""
    process = _start(folder, ("cat-file", "--batch"), None, complaint=DEVNULL)
    if process is None:
        raise FileNotFoundError("git")  # a programmer's fault: a repository was opened before
    with process:
        try:
            yield Objects(process.stdout, process.stdin)
        finally:
            process.kill()


def _start(folder: Path, arguments: Iterable[str], more: Mapping[str, str | None] | None, complaint: int = PIPE) -> Any:
    """The started process (a `subprocess.Popen` of bytes); None when there is no git program."""
    cmd = _layer()
    if cmd is None:
        return None
    command = [cmd.Git.GIT_PYTHON_GIT_EXECUTABLE, *FRONT, *arguments]
    try:
        return cmd.safer_popen(
            command, cwd=folder, env=environment(more), stdin=PIPE, stdout=PIPE, stderr=complaint, bufsize=-1
        )
    except OSError:
        return None


def _layer() -> Any:
    """GitPython's `git.cmd`; None when it finds no git program."""
    try:
        from git import cmd
    except ImportError:
        return None
    return cmd
