"""What stands in the racks: revisions marked as built by plain git tags, and which of them `built` means.

A mark is a tag below `built/`, such as `built/2026-03-01`; a tag `built` counts too. `built` is the newest marked commit that leads
to the one that is checked out: of two marks the later in the history, and where neither leads to the other the later by date.
"""

import re
from datetime import date
from pathlib import Path
from typing import NamedTuple

from routecode.files.git.process import run
from routecode.files.git.revision import verified
from routecode.ground.finding import Mistake
from routecode.ground.order import natural

NAME = "built"
_TAGS = f"refs/tags/{NAME}"
_ID = re.compile(r"[0-9a-f]{40}|[0-9a-f]{64}")


class Built(NamedTuple):
    """A marked commit and its tag."""

    id: str
    tag: str


def built(top: Path) -> Built | None:
    """What `built` means here; None where no marked commit leads to what is checked out."""
    marks = _marks(top, "--merged=HEAD")
    if not marks:
        return None
    given = "".join(f"{commit}\n" for commit in sorted({mark.id for mark in marks})).encode()
    done = run(top, "rev-list", "-1", "--date-order", "--stdin", given=given)
    tags = [mark.tag for mark in marks if mark.id == done.line]
    tags = tags or [mark.tag for mark in marks if verified(top, f"refs/tags/{mark.tag}") == done.line]  # a tag of a tag
    return Built(done.line, max(tags, key=natural)) if tags else None


def missing(top: Path, *, is_shallow: bool) -> Mistake:
    """That no revision is marked as built, and how one is."""
    others = sorted((mark.tag for mark in _marks(top)), key=natural)
    why = "A commit is not the racks: which one stands there is marked by a tag whose name begins with built/."
    if others:
        why = f"The newest mark, {others[-1]}, is of a commit that does not lead to what is checked out."
    do = f"Where the last commit is what stands in the racks, mark it; another one by its id instead of HEAD:\n{_command(top)}"
    if is_shallow:
        do = f"This copy is shallow: fetch the rest, and the tags, or mark one here:\ngit fetch --unshallow --tags\n{_command(top)}"
    return Mistake("nothing-built", "No revision that leads to this one is marked as built.", why=why, do=do)


def _command(top: Path) -> str:
    """The command that marks the commit that is checked out as built today."""
    known = {mark.tag for mark in _marks(top)}
    name = f"{NAME}/{date.today().isoformat()}"
    names = (name, *(f"{name}-{number}" for number in range(2, len(known) + 3)))
    return f"git tag {next(each for each in names if each not in known)} HEAD"


def _marks(top: Path, *which: str) -> list[Built]:
    """The tags that mark, each with its commit."""
    done = run(top, "for-each-ref", "--format=%(refname) %(objectname) %(*objectname)", *which, _TAGS)
    found = []
    for line in done.line.split("\n"):
        name, _, ids = line.partition(" ")
        commit = ids.split(" ")[-1] or ids.strip()
        if _ID.fullmatch(commit):
            found.append(Built(commit, name.removeprefix("refs/tags/")))
    return found
