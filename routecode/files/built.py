"""Whether any revision may be marked as built, found out by looking at a few files: git is not started for a studio that marks none.

What the marks are, and which of them counts, is in `files.git.built`.
"""

from pathlib import Path

from routecode.files.git_folder import common

_PACKED = b" refs/tags/built"


def may_be_marked(folder: Path) -> bool:
    """Whether the repository that `folder` is in has a tag `built` or below `built/`; true where that cannot be seen from outside."""
    try:
        shared = common(folder.resolve())
        if shared is None:
            return False
        if (shared / "reftable").exists() or (shared / "refs" / "tags" / "built").exists():
            return True
        return _PACKED in (shared / "packed-refs").read_bytes()
    except FileNotFoundError:
        return False
    except OSError:  # it is told by whoever opens the repository
        return True
