"""The place a story is of: what its name means in one revision, and what it was called in the revision before.

A name that both revisions have means the same thing in both; what reads otherwise is taken from `change` (declared, proved,
probable), columns with it that moved with all that is wired to them, and cables by the two places they join.
"""

from collections.abc import Iterable
from functools import cached_property

from attrs import frozen

from routecode.change.delta import Pair
from routecode.change.difference import Difference
from routecode.change.identity import PROBABLE, PROVED
from routecode.change.matched import BEFORE
from routecode.circuit.parts import Wire
from routecode.circuit.plant import Plant
from routecode.studio.opened import Opened

CHANNEL, PORT, JACK, UNIT, BAY, CABLE = "channel", "port", "jack", "unit", "bay", "cable"
KINDS = (CHANNEL, PORT, JACK, UNIT, BAY, CABLE)
_CABLE = "cable "


@frozen
class Place:
    """A place by its kind and its canonical name (of a cable: its number, empty where it had none).

    `ends`: of a cable whose number other cables had as well, or that had none, the pairs of places that it joins; else empty.
    """

    kind: str
    name: str
    ends: frozenset[frozenset[str]] = frozenset()

    @property
    def head(self) -> str:
        """The unit or bay it is at; of a cable its number."""
        return self.name if self.kind == CABLE else self.name.partition("/")[0]


def find(plant: Plant, text: str) -> Place | None:
    """What a person means: a channel, port or jack as `trace` takes it, a unit, a bay, or the number of a cable."""
    channel, node = plant.channel(text), plant.node(text)
    if node is not None:
        return Place(JACK if plant.is_jack(node) else PORT, plant.name(node))
    if channel is not None:
        return Place(CHANNEL, plant.channel_name(channel))
    if text in plant.units:
        return Place(UNIT, text)
    if text in plant.bays:
        return Place(BAY, text)
    for number in (text, text.removeprefix(_CABLE)):
        if number and wires_of(plant, Place(CABLE, number)):
            return Place(CABLE, number)
    return None


def stands(plant: Plant, place: Place) -> bool:
    """Whether a revision has the place."""
    if place.kind == CABLE:
        return bool(wires_of(plant, place))
    if place.kind in (UNIT, BAY):
        return place.name in (plant.units if place.kind == UNIT else plant.bays)
    if place.kind == CHANNEL:
        return plant.channel(place.name) is not None
    node = plant.node(place.name)
    return node is not None and plant.is_jack(node) == (place.kind == JACK)


def wires_of(plant: Plant, place: Place) -> list[Wire]:
    """The cables that a number stands for (several where one multipair has it)."""
    found = [wire for wire in plant.wires if (wire.number or "") == place.name]
    if place.ends or not place.name:
        return [wire for wire in found if _ends(plant, wire) in place.ends]
    return found


def _ends(plant: Plant, wire: Wire) -> frozenset[str]:
    return frozenset((plant.name(wire.a), plant.name(wire.b)))


def nodes_of(plant: Plant, place: Place) -> list[int]:
    """Its ports and jacks; of a cable none."""
    if place.kind == UNIT:
        return list(plant.units[place.name])
    if place.kind == BAY:
        bay = plant.bays[place.name]
        return list(range(bay.first, bay.first + bay.columns * bay.rows))
    if place.kind == CABLE:
        return []
    if place.kind == CHANNEL:
        channel = plant.channel(place.name)
        return [] if channel is None else [plant.node_of(channel)]
    node = plant.node(place.name)
    return [] if node is None else [node]


def wired(plant: Plant, place: Place) -> frozenset[tuple[str, str]]:
    """The cables at it: (place, place at the other end)."""
    if place.kind == CABLE:
        return frozenset((plant.name(wire.a), plant.name(wire.b)) for wire in wires_of(plant, place))
    return frozenset(
        (plant.name(node), plant.name(other)) for node in nodes_of(plant, place) for other in plant.wired(node)
    )


class Called:
    """What a place was called before: `how` is declared, proved or probable."""

    def __init__(self, before: Place, how: str) -> None:
        self.before = before
        self.how = how


class Step:
    """From one revision to the next newer one that compiles; both have a circuit. What is costly is worked out when asked for."""

    def __init__(self, older: Opened, newer: Opened) -> None:
        self.older = older
        self.newer = newer
        assert older.circuit is not None
        assert newer.circuit is not None
        self.before: Plant = older.circuit.plant
        self.after: Plant = newer.circuit.plant

    @cached_property
    def difference(self) -> Difference:
        """The two compared; the newer one is opened again on top of the older one, since that is how they are compared fast."""
        newer = self.newer
        return Difference(self.older, Opened(newer.files, newer.name, newer.today, self.older))

    @cached_property
    def _moved(self) -> dict[int, int]:
        """Shared number of a jack before -> where its column is now."""
        return self.difference.moves.jack

    @cached_property
    def _moved_here(self) -> dict[int, int]:
        return {now: was for was, now in self._moved.items()}

    # -- names ----------------------------------------------------------------------------------------------------------

    @cached_property
    def renames(self) -> bool:
        """Whether any unit, bay, port or setup may read otherwise: where no name came or went, none does."""
        before, after = self.before, self.after
        for one, other in ((before.units, after.units), (before.bays, after.bays), (before.setups, after.setups)):
            if one.keys() != other.keys():
                return True
        return any(
            unit.kit is not after.units[name].kit and unit.kit.index.keys() != after.units[name].kit.index.keys()
            for name, unit in before.units.items()
        )

    def read(self, name: str) -> str:
        """A canonical name of the older revision as it reads in the newer one."""
        node = self.before.node(name)
        if node is not None and self.before.is_jack(node):
            matched = self.difference.matched
            shared = matched.shared_node(BEFORE, node)
            return matched.node_name(self._moved.get(shared, shared))
        return self.difference.identity.read(name) if self.renames else name

    def setup(self, name: str | None) -> str | None:
        """A setup of the older revision as it reads in the newer one."""
        return name if name is None or not self.renames else self.difference.identity.setups.get(name, name)

    def setup_before(self, name: str | None) -> str | None:
        """A setup of the newer revision as it read in the older one; the same where that has none of the kind."""
        assert self.older.circuit is not None
        if name is None or name in self.older.circuit.setups:
            return name
        return next((old for old, new in self.difference.identity.setups.items() if new == name), name)

    def pairs(self, pairs: Iterable[Pair]) -> set[tuple[str, str]]:
        """Paths in shared numbers by their names."""
        name = self.difference.matched.channel_name
        return {(name(pair.source), name(pair.target)) for pair in pairs}

    # -- the place ------------------------------------------------------------------------------------------------------

    def back(self, place: Place) -> Place | None:
        """What a place of the newer revision is in the older one; None where it is not there."""
        if place.kind == CABLE:
            return self._cable(place)
        if stands(self.before, place) and not (place.kind == JACK and self._rewired(place)):
            return place
        if place.kind in (UNIT, BAY):
            names = self.difference.identity.units if place.kind == UNIT else self.difference.identity.bays
            return next((Place(place.kind, old) for old, new in names.items() if new == place.name), None)
        if place.kind == JACK:
            return self._jack(place)
        return self._port(place)

    def forward(self, place: Place) -> Place | None:
        """What a place of the older revision is in the newer one; None where it is not there."""
        if place.kind == CABLE:
            return Step(self.newer, self.older).back(place)
        if stands(self.after, place) and not (place.kind == JACK and self._rewired(place)):
            return place
        found = Place(place.kind, self.read(place.name))
        return found if stands(self.after, found) else None

    def _rewired(self, jack: Place) -> bool:
        return wired(self.before, jack) != wired(self.after, jack)

    def _jack(self, place: Place) -> Place | None:
        node = self.after.node(place.name)
        assert node is not None
        matched = self.difference.matched
        own = matched.own_node(BEFORE, self._moved_here.get(node, node))
        return None if own < 0 else Place(JACK, self.before.name(own))

    def _port(self, place: Place) -> Place | None:
        """A port or channel by its unit and its port, each of which may have been called otherwise."""
        identity = self.difference.identity
        unit, _, rest = place.name.partition("/")
        old = unit if unit in self.before.units else next((a for a, b in identity.units.items() if b == unit), None)
        if old is None:
            return None
        names = {now: was for was, now in identity.ports.get(unit, {}).items()}
        stem, mark, number = rest.rpartition(" ch ")
        if rest not in names and mark and stem in names:
            rest = f"{names[stem]} ch {number}"
        found = Place(place.kind, f"{old}/{names.get(rest, rest)}")
        return found if stands(self.before, found) else None

    def _cable(self, place: Place) -> Place | None:
        """The cable with this number, or those that joined the same places under another one, or under none."""
        here = Place(CABLE, place.name, frozenset(map(self._ends_before, place.ends)))
        if wires_of(self.before, here):
            return here
        ends = {_ends(self.after, wire) for wire in wires_of(self.after, place)}
        was = [wire for wire in self.before.wires if _ends(self.before, wire) in ends or self._read_ends(wire) in ends]
        if not was:
            return None
        number = next((wire.number for wire in was if wire.number), "")
        own = [wire for wire in was if (wire.number or "") == number]
        same = set(map(id, own))
        others = not number or any(id(wire) not in same for wire in wires_of(self.before, Place(CABLE, number)))
        return Place(CABLE, number, frozenset(_ends(self.before, wire) for wire in own) if others else frozenset())

    def _read_ends(self, wire: Wire) -> frozenset[str]:
        return frozenset(map(self.read, _ends(self.before, wire)))

    def _ends_before(self, ends: frozenset[str]) -> frozenset[str]:
        """The two places that a cable joins, as they read in the older revision."""
        found = []
        for name in ends:
            node = self.after.node(name)
            place = Place(JACK if node is not None and self.after.is_jack(node) else PORT, name)
            was = self.back(place) if node is not None else None
            found.append(was.name if was is not None else name)
        return frozenset(found)

    def how(self, before: Place, after: Place) -> str:
        """How it is known that the two are one place: declared, proved or probable, the least of what was needed."""
        if after.kind == CABLE:
            return PROVED
        names = (before.head, before.name.partition(" ch ")[0])
        hows = [
            one.how
            for one in self.difference.renamed
            if one.kind in ("unit", "bay", "port") and one.before in (*names, before.name)
        ]
        return PROBABLE if PROBABLE in hows else PROVED if PROVED in hows or not hows else hows[0]
