"""A rollback that was killed half way is taken back before anything is read or recorded, and that is told."""

from pathlib import Path
from typing import TYPE_CHECKING

from routecode.cli import asked
from routecode.cli.advice import advise
from routecode.cli.failure import Refused
from routecode.files.edit_tree import DESK, recover
from routecode.ground.finding import Mistake

if TYPE_CHECKING:
    from routecode.files.git import Repository


def recovered(root: Path, repository: "Repository") -> None:
    """Put back what such a rollback had written already."""
    if not (repository.git_dir / DESK).is_dir():
        return
    from routecode.files.edit_index import index_back

    repository.clear()  # its commit may have been on the way, with the index taken already
    head = repository.head()
    found = recover(root, repository.git_dir, head.id if head is not None else None)
    if found is None:
        return
    if isinstance(found, Mistake):
        raise Refused(found)
    mistake = index_back(repository.top, repository.studio, found.names)
    if mistake is not None:
        raise Refused(mistake)
    files = asked.listed("", list(found.back), "") or "no file"
    left = asked.listed(" Left as they are, since they were edited after it: ", list(found.edited), ".")
    text = f"A rollback was stopped half way; it has been taken back. Put back: {files}.{left}"
    advise(Mistake("taken-back", text, why="Nothing of it was recorded."))
