"""A rollback that was killed half way: `rollback` and `record` take it back first; nothing else is told of the mixture it left."""

from pathlib import Path
from typing import TYPE_CHECKING

from routecode.cli import asked
from routecode.cli.advice import advise
from routecode.cli.failure import Refused
from routecode.cli.quoted import quoted
from routecode.files.edit_tree import CutShort, cut_short, recover
from routecode.files.git_folder import DESK
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


def refuse_mixture(folder: Path, root: Path) -> None:
    """Refuse to tell anything of files that such a rollback left as a mixture of two states."""
    repository = asked.repository_of(folder)
    found = cut_short(root, repository.git_dir)
    if found is None:
        return
    if isinstance(found, Mistake):
        raise Refused(found)
    head = repository.head()
    if head is None or head.id == found.head:
        raise Refused(_mixture(found, folder))


def _mixture(found: CutShort, folder: Path) -> Mistake:
    where = "" if folder == Path() else f" --in {quoted(folder)}"
    files = asked.listed("", list(found.names), "")
    return Mistake(
        "rollback-cut-short",
        f"A rollback was stopped half way. What it had written already: {files}. It recorded nothing.",
        why="The files as they are now are a mixture of two states, and nothing is told of those.",
        do=f"Take it back; what you edited since stays as it is:\nroutecode rollback last{where}",
    )
