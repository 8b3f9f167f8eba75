"""Two branches in one set of names: what each side did since they parted, and what the joined wiring differs in from each.

Names of both sides and of the joined wiring are given as the base has them, where one side renamed something. Ends of paths are
(setup, source, destination) by name; paths of idle sources are left out, as in all that is told.
"""

from collections.abc import Callable, Iterable
from functools import cached_property
from typing import NamedTuple

from routecode.change.changes import Change
from routecode.change.delta import BOTH, Pair, StateDelta
from routecode.change.difference import Compared, Difference
from routecode.change.identity import Identity

Ends = tuple[str, str]
"""Source and destination of a path."""


class Naming:
    """Names of a side as the base has them."""

    def __init__(self, identity: Identity) -> None:
        self._heads = {after: before for names in (identity.units, identity.bays) for before, after in names.items()}
        self._ports = {
            unit: {after: before for before, after in ports.items()} for unit, ports in identity.ports.items()
        }
        self._setups = {after: before for before, after in identity.setups.items()}

    def place(self, name: str) -> str:
        """A canonical name: of a unit or bay, or of a port, channel or jack."""
        head, slash, rest = name.partition("/")
        before = self._heads.get(head, head)
        if not slash:
            return before
        ports = self._ports.get(head, {})
        stem, mark, number = rest.rpartition(" ch ")
        if rest not in ports and mark and stem in ports:
            return f"{before}/{ports[stem]} ch {number}"
        return f"{before}/{ports.get(rest, rest)}"

    def setup(self, name: str | None) -> str | None:
        """The id of a setup; None is unpatched."""
        return None if name is None else self._setups.get(name, name)


class Named(NamedTuple):
    """How the names of a comparison are read; each name of the joined wiring comes from one of the sides."""

    places: Callable[[str], str]
    setups: Callable[[str | None], str | None]


def named(one: Naming) -> Named:
    """The names of one side."""
    return Named(one.place, one.setup)


def named_by_both(one: Naming, other: Naming) -> Named:
    """The names of the joined wiring: what one side does not call otherwise, the other may."""

    def place(name: str) -> str:
        found = one.place(name)
        return found if found != name else other.place(name)

    def setup(name: str | None) -> str | None:
        found = one.setup(name)
        return found if found != name else other.setup(name)

    return Named(place, setup)


class Moved(NamedTuple):
    """Paths of one state that only one side of a comparison has."""

    lost: frozenset[Ends]
    gained: frozenset[Ends]


class Told(NamedTuple):
    """A change of one state, with its paths by name."""

    setup: str | None
    change: Change
    lost: frozenset[Ends]
    gained: frozenset[Ends]


class Reading:
    """One comparison, in names of the base."""

    def __init__(self, difference: Difference, names: Named) -> None:
        self.difference = difference
        self.names = names
        self._channels: dict[int, str] = {}

    def channel(self, number: int) -> str:
        """A shared channel by name."""
        found = self._channels.get(number)
        if found is None:
            found = self._channels[number] = self.names.places(self.difference.matched.channel_name(number))
        return found

    def node(self, number: int) -> str:
        """A shared port or jack by name."""
        return self.names.places(self.difference.matched.node_name(number))

    def ends(self, pairs: Iterable[Pair]) -> frozenset[Ends]:
        """Paths by name, those of idle sources left out."""
        return frozenset((self.channel(pair.source), self.channel(pair.target)) for pair in pairs if not pair.idle)

    @cached_property
    def states(self) -> dict[str | None, Moved]:
        """What was gained and lost in every state of either side."""
        return {self.setup_of(delta): self._moved(delta) for delta in self.difference.states}

    def _moved(self, delta: StateDelta) -> Moved:
        """A path that only comes from an idle source now, or no longer does, is neither."""
        lost, gained = self.ends(delta.lost), self.ends(delta.gained)
        idle = [
            self.ends(pair._replace(idle=False) for pair in pairs if pair.idle) for pairs in (delta.lost, delta.gained)
        ]
        return Moved(lost - idle[1], gained - idle[0])

    @cached_property
    def shared(self) -> frozenset[str | None]:
        """The states that both sides of the comparison have."""
        return frozenset(self.setup_of(delta) for delta in self.difference.states if delta.presence == BOTH)

    @cached_property
    def anywhere(self) -> Moved:
        """What was gained or lost in any state."""
        found = self.states.values()
        return Moved(
            frozenset().union(*(each.lost for each in found)), frozenset().union(*(each.gained for each in found))
        )

    def told(self, setup: str | None) -> list[Told]:
        """The changes of a state that both sides of the comparison have."""
        own = next(delta.setup for delta in self.difference.states if self.setup_of(delta) == setup)
        changes = self.difference.changes[own]
        return [Told(setup, change, self.ends(change.lost), self.ends(change.gained)) for change in changes]

    def setup_of(self, delta: StateDelta) -> str | None:
        """The state's name as the base has it."""
        return self.names.setups(delta.setup)


def naming_of(compared: Compared) -> Naming:
    """How the after side of a comparison with the base is read."""
    return Naming(compared.identity)
