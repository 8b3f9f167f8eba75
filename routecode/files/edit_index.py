"""What git has of files that are put in the place of others: entries of its index, and which line ends it keeps on the disk."""

import os
from collections.abc import Iterable
from pathlib import Path

from routecode.files.git.process import run, said
from routecode.files.git.state import recorded_of
from routecode.ground.finding import Mistake


def index_back(top: Path, studio: str, names: Iterable[str]) -> Mistake | None:
    """Stage nothing of these files (posix paths below `studio`); None when it is done."""
    recorded = recorded_of(top)
    if isinstance(recorded, Mistake):
        return recorded
    paths = sorted(f"{studio}/{name}" if studio else name for name in names)
    absent = ("0", "0" * len(run(top, "hash-object", "--stdin").line))
    entries = ((path, *recorded.get(path, absent)) for path in paths)
    listing = b"".join(f"{mode} {blob}\t".encode() + os.fsencode(path) + b"\0" for path, mode, blob in entries)
    done = run(top, "update-index", "--add", "--replace", "-z", "--index-info", given=listing)
    if done.status:
        return Mistake("git-failed", "git could not put its index back.", why=said(done.complaint), do="Try again.")
    return None


def converts_line_ends(top: Path) -> bool:
    """Whether git is told to keep other line ends on the disk than in commits."""
    return run(top, "config", "--get", "core.autocrlf").line.strip().lower() in ("true", "input", "yes", "on", "1")
