"""Two branches before they are joined: what both did to the same thing, and what the joined text would mean. The door here.

Pure: the texts of the base, of both sides and of the joined wiring are worked out elsewhere, and opened.
"""

from collections.abc import Sequence
from functools import cached_property

from routecode.change.difference import Difference
from routecode.ground.finding import Mistake
from routecode.history.branches_both import Shared, shared
from routecode.history.branches_sides import Reading, named, named_by_both, naming_of
from routecode.history.branches_text import Conflict, Torn, conflicts
from routecode.history.branches_wrong import Onto, Wrong, notes, wrongs
from routecode.studio.opened import Opened


class Branches:
    """Four revisions, opened (base and sides compile); `joined` is the joined text, `torn` what git could not join of it.

    Everything is worked out when first asked for.
    """

    def __init__(
        self,
        base: Opened,
        ours: Opened,
        theirs: Opened,
        joined: Opened,
        torn: Sequence[Torn] = (),
        *,
        guessing: bool = True,
    ) -> None:
        self.base = base
        self.ours = ours
        self.theirs = theirs
        self.joined = joined
        self.torn = tuple(torn)
        self._guessing = guessing

    @property
    def mistakes(self) -> tuple[Mistake, ...]:
        """Why the joined text does not compile; nothing where git could not join it, since then it is not text yet."""
        return () if any(each.file is not None for each in self.torn) else self.joined.mistakes

    @property
    def compiles(self) -> bool:
        """Whether there is joined wiring to be judged."""
        return self.joined.circuit is not None and not any(each.file is not None for each in self.torn)

    @property
    def fine(self) -> bool:
        """Whether the text joins and means what both sides meant."""
        return not self.torn and self.compiles and not self.wrong

    @cached_property
    def did(self) -> tuple[Difference, Difference]:
        """What ours and theirs changed since they parted."""
        one, other = (Difference(self.base, side, guessing=self._guessing) for side in (self.ours, self.theirs))
        return one, other

    @cached_property
    def _sides(self) -> tuple[Reading, Reading]:
        one, other = (Reading(each, named(naming_of(each))) for each in self.did)
        return one, other

    @cached_property
    def _onto(self) -> Onto:
        names = named_by_both(*(naming_of(each) for each in self.did))
        joined = (
            Reading(Difference(side, self.joined, guessing=self._guessing), names) for side in (self.ours, self.theirs)
        )
        return Onto(*self._sides, *joined)

    @cached_property
    def both(self) -> list[Shared]:
        """What both sides did to the same path, jack or unit."""
        return shared(*self._sides)

    @cached_property
    def conflicts(self) -> list[Conflict]:
        """What git cannot join, with what each side means."""
        return list(conflicts(self.torn, *self.did))

    @cached_property
    def wrong(self) -> list[Wrong]:
        """What is wrong with the joined wiring though its text joins."""
        return wrongs(self._onto) if self.compiles else []

    @cached_property
    def notes(self) -> int:
        """How many notes are new to both sides."""
        return notes(self._onto) if self.compiles else 0
