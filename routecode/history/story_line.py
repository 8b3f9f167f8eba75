"""The revisions that a story is made of, newest first: each opened when it is looked at, a few kept open.

Where they come from is not decided here: `read` is given. Pure apart from that.
"""

from collections import OrderedDict
from collections.abc import Callable, Iterable, Sequence
from datetime import date
from typing import TypeVar

from routecode.circuit.restate import Edited
from routecode.files.git.objects import Commit
from routecode.files.tree import Files
from routecode.studio.opened import Opened

WORKTREE = "worktree"
_KEPT = 3
_One = TypeVar("_One", Files, Opened)

Read = Callable[[Commit | None], Files]
"""The files of a commit; of None the files as they are now."""


def _quiet(_done: int) -> None:
    return None


class Line:
    """Revisions of one studio, newest first; None stands for the files as they are now, where they are no commit yet.

    `seen` is called with how many revisions have been looked at, whenever one more is.
    """

    def __init__(
        self,
        commits: Sequence[Commit | None],
        read: Read,
        today: date | None = None,
        seen: Callable[[int], None] = _quiet,
    ) -> None:
        self.commits = tuple(commits)
        self._read = read
        self._today = today
        self._seen = seen
        self._looked: set[int] = set()
        self._files: OrderedDict[int, Files] = OrderedDict()
        self._opened: OrderedDict[int, Opened] = OrderedDict()
        self._edited: dict[int, tuple[int, Edited]] = {}
        """Revisions that were made of another one: of which, and what was changed for it."""

    def __len__(self) -> int:
        return len(self.commits)

    def files(self, number: int) -> Files:
        """The files of a revision, not opened."""
        if number not in self._files:
            if number not in self._looked:
                self._looked.add(number)
                self._seen(len(self._looked))
            _keep(self._files, number, self._read(self.commits[number]))
        return self._files[number]

    def opened(self, number: int) -> Opened:
        """A revision, opened with the help of the nearest one that is still open."""
        if number in self._opened:
            self._opened.move_to_end(number)
            return self._opened[number]
        compiled = (one for one, other in self._opened.items() if other.circuit is not None)
        last = min(compiled, key=lambda one: (abs(one - number), one), default=None)
        like = None if last is None else self._opened[last]
        commit = self.commits[number]
        opened = Opened(self.files(number), WORKTREE if commit is None else commit.id, self._today, like)
        circuit = opened.circuit
        if circuit is not None:
            circuit.state(None)
            if circuit.base is not None and last is not None:
                self._edited[number] = (last, circuit.base[1])
            circuit.base = None  # else every revision would hold on to the one that was opened before it
        _keep(self._opened, number, opened)
        return opened

    def edited(self, older: int, newer: int) -> Edited | None:
        """What differs between two revisions, where one was made of the other and both have the same numbers; else None."""
        for one, other in ((older, newer), (newer, older)):
            made = self._edited.get(one)
            if made is not None and made[0] == other:
                return made[1]
        return None

    def compiles(self, number: int) -> bool:
        """Whether a revision has a circuit."""
        return self.opened(number).circuit is not None

    def newest(self) -> int | None:
        """The newest revision that compiles."""
        return self._first(range(len(self)))

    def older(self, number: int) -> int | None:
        """The next older revision that compiles."""
        return self._first(range(number + 1, len(self)))

    def newer(self, number: int) -> int | None:
        """The next newer revision that compiles."""
        return self._first(range(number - 1, -1, -1))

    def _first(self, numbers: Iterable[int]) -> int | None:
        return next((number for number in numbers if self.compiles(number)), None)


def _keep(kept: OrderedDict[int, _One], number: int, one: _One) -> None:
    kept[number] = one
    if len(kept) > _KEPT:
        kept.popitem(last=False)
