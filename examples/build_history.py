"""Build the history of the example studio as a real git repository: `python examples/build_history.py DEST`.

The last commit is `examples/millrace/`, byte for byte; the commits before it are worked out backwards from
`examples/history.toml`. Author and dates are pinned, so every build gives the same commit ids. Needs Python 3.11 and
git, nothing else. This is for the example only: it reads nothing of the language and knows nothing of wiring.
"""

import os
import subprocess
import sys
import tempfile
import tomllib
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

HERE = Path(__file__).resolve().parent
AUTHOR = ("Millrace workshop", "workshop@millrace.example")

Files = dict[str, str]
"""A state of the studio: text by path below the studio's folder."""


class Edit(NamedTuple):
    """One piece of text of one file, before and after a commit."""

    file: str
    was: str
    now: str


class Commit(NamedTuple):
    """A commit of the history: when, what was written about it, what it changed."""

    date: datetime
    message: str
    body: str
    brings: tuple[str, ...]
    edits: tuple[Edit, ...]

    @property
    def text(self) -> str:
        """The whole message."""
        return f"{self.message}\n\n{self.body.strip()}\n" if self.body else f"{self.message}\n"


class HistoryError(Exception):
    """The history does not fit the studio, or cannot be built there; the text says why."""


def read_history(path: Path) -> tuple[Commit, ...]:
    """The commits of a history file, oldest first."""
    tables = tomllib.loads(path.read_text(encoding="utf-8"))["commit"]
    return tuple(
        Commit(
            table["date"],
            table["message"],
            table.get("body", ""),
            tuple(table.get("brings", ())),
            tuple(Edit(edit["file"], edit.get("was", ""), edit["now"]) for edit in table.get("edit", ())),
        )
        for table in tables
    )


def read_studio(folder: Path) -> Files:
    """All wiring files of a studio folder; line ends must be plain."""
    paths = sorted(folder.rglob("*.toml"))
    return {path.relative_to(folder).as_posix(): path.read_bytes().decode("utf-8") for path in paths}


def states(commits: tuple[Commit, ...], last: Files) -> tuple[Files, ...]:
    """What the studio said after each commit, oldest first; the last of them is `last`.

    Raises HistoryError where an edit does not fit.
    """
    found = [last]
    for commit in reversed(commits[1:]):
        found.append(_before(commit, found[-1]))
    return tuple(reversed(found))


def _before(commit: Commit, after: Files) -> Files:
    files = dict(after)
    for edit in reversed(commit.edits):
        count = files.get(edit.file, "").count(edit.now)
        if count != 1:
            times = f"the text that {edit.file} should say after it occurs {count} times, not once"
            raise HistoryError(f"{commit.message!r}: {times}:\n{edit.now}")
        files[edit.file] = files[edit.file].replace(edit.now, edit.was)
    for file in commit.brings:
        if files.pop(file, None) is None:
            raise HistoryError(f"{commit.message!r} brings {file}, which is not there after it.")
    if files == after:
        raise HistoryError(f"{commit.message!r} changes nothing.")
    return files


def build(dest: Path, studio: Path = HERE / "millrace", history: Path = HERE / "history.toml") -> int:
    """Write the repository at `dest`, which must be new or empty; answers the number of commits.

    Raises HistoryError where the history does not fit, `dest` is in use, or git fails.
    """
    if dest.is_symlink() or (dest.exists() and (not dest.is_dir() or any(dest.iterdir()))):
        raise HistoryError(f"{dest} is in use. Name a new or an empty folder.")
    commits = read_history(history)
    last = read_studio(studio)
    reached = states(commits, last)
    dest.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as empty:
        _git(dest, empty, "init", "--quiet", f"--template={empty}", "--initial-branch=main")
        before: Files = {}
        for commit, files in zip(commits, reached, strict=True):
            _write(dest, before, files)
            _record(dest, empty, commit)
            before = files
    if read_studio(dest) != last:
        raise HistoryError(f"{dest} does not end as {studio} is.")
    return len(commits)


def _write(dest: Path, before: Files, after: Files) -> None:
    for file in before.keys() - after.keys():
        (dest / file).unlink()
    for file, text in after.items():
        if before.get(file) != text:
            path = dest / file
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(text.encode("utf-8"))


def _record(dest: Path, empty: str, commit: Commit) -> None:
    _git(dest, empty, "add", "--all", ".", date=commit.date)
    _git(
        dest, empty, "commit", "--quiet", "--no-verify", "--no-gpg-sign", "--file=-", date=commit.date, text=commit.text
    )


def _git(dest: Path, empty: str, *words: str, date: datetime | None = None, text: str = "") -> None:
    """Run git in `dest` with nothing of the user's or the machine's configuration; `empty` is an empty folder."""
    settings = (
        f"core.hooksPath={empty}",
        f"core.excludesFile={os.devnull}",
        f"core.attributesFile={os.devnull}",
        "core.autocrlf=false",
        "core.fsmonitor=false",
        "commit.gpgSign=false",
        "gc.auto=0",
    )
    command = ["git", *(word for setting in settings for word in ("-c", setting)), *words]
    answer = subprocess.run(
        command, cwd=dest, env=_environment(date), input=text.encode("utf-8"), capture_output=True, check=False
    )
    if answer.returncode:
        raise HistoryError(f"git {words[0]} failed: {answer.stderr.decode('utf-8', 'replace').strip()}")


def _environment(date: datetime | None) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith("GIT_")}
    kept |= {"GIT_CONFIG_NOSYSTEM": "1", "GIT_CONFIG_GLOBAL": os.devnull, "GIT_ATTR_NOSYSTEM": "1", "LC_ALL": "C"}
    for role in ("AUTHOR", "COMMITTER"):
        kept[f"GIT_{role}_NAME"], kept[f"GIT_{role}_EMAIL"] = AUTHOR
        if date is not None:
            kept[f"GIT_{role}_DATE"] = date.isoformat()
    return kept


def main(words: list[str]) -> int:
    """The command: exit status 0, or 2 with one message."""
    if len(words) != 1 or words[0].startswith("-"):
        print("Usage: python examples/build_history.py DEST    (DEST: a new or an empty folder)", file=sys.stderr)
        return 2
    try:
        count = build(Path(words[0]))
    except (HistoryError, OSError) as error:
        print(f"The history was not built. {error}", file=sys.stderr)
        return 2
    print(f"{count} commits in {words[0]}.")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
