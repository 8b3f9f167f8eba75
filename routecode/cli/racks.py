"""What `check` and `diff` say of the racks where a revision is marked as built; for a studio that marks none it costs a look at a few files."""

from pathlib import Path
from typing import TYPE_CHECKING

from routecode.cli import asked
from routecode.cli.failure import Refused
from routecode.cli.quoted import quoted
from routecode.cli.say import sentences
from routecode.files.built import may_be_marked
from routecode.ground.finding import Mistake

if TYPE_CHECKING:
    from routecode.studio.opened import Opened

_NOW = {None: "built", asked.STAGED: "built..staged", "last": "built..last"}
"""How each state that may be newer than the racks is compared with them."""


def racks(folder: Path, opened: "Opened", text: str | None) -> str:
    """One sentence and the command that tells more, with line ends; empty where nothing is marked, or nothing is to be done.

    `text`: how the revision was asked for, None being the work tree.
    """
    if text not in _NOW or not may_be_marked(asked.root_of(folder)):
        return ""
    where = "" if folder == Path() else f" --in {quoted(folder)}"
    try:
        told = _told(folder, opened)
    except Refused:  # the repository cannot be asked; who asks it for an answer is told why
        return ""
    return f"{sentences(told)}To see it: routecode diff {_NOW[text]}{where}\n" if told else ""


def _told(folder: Path, opened: "Opened") -> str:
    from routecode.files.git.built import built
    from routecode.studio.opened import Opened

    repository = asked.repository_of(folder)
    found = built(repository.top)
    commit = repository.resolve(found.id) if found is not None else None
    if found is None or commit is None or isinstance(commit, Mistake) or found.id == opened.name:
        return ""
    before = Opened(repository.read(commit, repository.studio), commit.id, asked.today(), opened)
    if before.mistakes:
        return f"What stands in the racks cannot be compared: the wiring of {found.tag} does not compile."
    from routecode.change.difference import Difference
    from routecode.show.racks import still_to_do

    return still_to_do(Difference(before, opened), found.tag)
