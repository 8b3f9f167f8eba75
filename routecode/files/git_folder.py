"""git's own folder of a work tree, found by looking at a few names: for questions that are not worth starting git.

What lies in it is told by `files.git`. Raises OSError where it cannot be looked at.
"""

from pathlib import Path

DESK = "routecode-rollback"
"""The folder in it in which a rollback lays out its texts: there only while one is at work, or was cut short."""


def own(folder: Path) -> Path | None:
    """The folder that is git's for the work tree `folder` is in; of a linked work tree its own one. None: no repository."""
    found = next((path / ".git" for path in (folder, *folder.parents) if (path / ".git").exists()), None)
    if found is None or found.is_dir():
        return found
    return found.parent / _line(found).removeprefix("gitdir: ")


def common(folder: Path) -> Path | None:
    """The same, but where several work trees share one repository that of the main one."""
    found = own(folder)
    if found is None:
        return None
    shared = found / "commondir"
    return found / _line(shared) if shared.is_file() else found


def _line(path: Path) -> str:
    with path.open(encoding="utf-8", errors="surrogateescape") as file:
        return file.readline(4096).rstrip("\n")
