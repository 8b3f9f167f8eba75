"""Whether any revision may be marked as built, found out by looking at a few files: git is not started for a studio that marks none.

What the marks are, and which of them counts, is in `files.git.built`.
"""

from pathlib import Path

_PACKED = b" refs/tags/built"


def may_be_marked(folder: Path) -> bool:
    """Whether the repository that `folder` is in has a tag `built` or below `built/`; true where that cannot be seen from outside."""
    try:
        common = _common(folder.resolve())
        if common is None:
            return False
        if (common / "reftable").exists() or (common / "refs" / "tags" / "built").exists():
            return True
        return _PACKED in (common / "packed-refs").read_bytes()
    except FileNotFoundError:
        return False
    except OSError:  # it is told by whoever opens the repository
        return True


def _common(folder: Path) -> Path | None:
    """git's own folder, that of the main work tree where there are several; None where there is no repository."""
    found = next((path / ".git" for path in (folder, *folder.parents) if (path / ".git").exists()), None)
    if found is None or found.is_dir():
        return found
    own = found.parent / _line(found).removeprefix("gitdir: ")
    common = own / "commondir"
    return own / _line(common) if common.is_file() else own


def _line(path: Path) -> str:
    with path.open(encoding="utf-8", errors="surrogateescape") as file:
        return file.readline(4096).rstrip("\n")
