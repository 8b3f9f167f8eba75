"""Partners of what is called otherwise: declared, and proved by ports and wiring, in rounds: each that is found may prove its neighbours.

Proved means: of all that has no partner, exactly one on each side has these ports and this wiring, name by name through the
map found so far. Nothing is guessed here: that is `guess`.
"""

from collections.abc import Iterable, Iterator, Mapping

from routecode.change.identity import PROVED, Identity, add_ports, add_renamed, declared_ids, declared_ports
from routecode.circuit.plant import PlacedBay, PlacedSetup, PlacedUnit, Plant, Socket

Ends = tuple[str, ...]


def identify(before: Plant, after: Plant) -> Identity:
    """The map of names between two sides, as far as it is declared or proved."""
    identity = Identity()
    declared_ids(before, after, identity)
    prover = Prover(before, after, identity)
    prover.equipment()
    for old, new in common(before.units, after.units, identity.units):
        declared_ports(old, new, identity)
    prover.ports()
    prover.setups()
    identity.sort()
    return identity


def common(
    before: Mapping[str, PlacedUnit], after: Mapping[str, PlacedUnit], names: Mapping[str, str]
) -> Iterator[tuple[PlacedUnit, PlacedUnit]]:
    """The units that both sides have."""
    for name, unit in before.items():
        other = after.get(names.get(name, name))
        if other is not None:
            yield unit, other


class Prover:
    """Finds partners by ports and wiring, in rounds: each partner found may prove its neighbours."""

    def __init__(self, before: Plant, after: Plant, identity: Identity, how: str = PROVED) -> None:
        self.before = before
        self.after = after
        self.identity = identity
        self.how = how
        """How what is found here is known: what is proved from a guess is only probable."""

    def equipment(self) -> int:
        """Units and bays; how many were found."""
        found = 0
        while more := self._round("unit") + self._round("bay"):
            found += more
        return found

    def alone(self, kind: str) -> tuple[list[str], list[str]]:
        """The units or bays of each side that have no partner."""
        old, new = (self.before.units, self.after.units) if kind == "unit" else (self.before.bays, self.after.bays)
        names = self.identity.units if kind == "unit" else self.identity.bays
        taken = set(names.values())
        alone_before = [name for name in old if name not in new and name not in names]
        return alone_before, [name for name in new if name not in old and name not in taken]

    def _round(self, kind: str) -> int:
        alone_before, alone_after = self.alone(kind)
        if not alone_before or not alone_after:
            return 0
        olds = _unique((self._signature(self.before, kind, name), name) for name in alone_before)
        news = _unique((self._signature(self.after, kind, name), name) for name in alone_after)
        pairs = {olds[mark]: news[mark] for mark in olds if mark in news}
        for before, after in pairs.items():
            add_renamed(self.identity, kind, before, after, self.how)
        return len(pairs)

    def _signature(self, plant: Plant, kind: str, name: str) -> object:
        """What must be equal; None where nothing known is wired to it."""
        thing: PlacedUnit | PlacedBay
        if kind == "unit":
            thing = plant.units[name]
            nodes = list(thing)
            facts: object = (_ports(thing), _insides(thing), thing.written.away is not None)
        else:
            thing = plant.bays[name]
            nodes = list(range(thing.first, thing.first + thing.columns * thing.rows))
            facts = (thing.rows, thing.columns, tuple(thing.normals), thing.plugs, thing.destination_row)
        wiring = tuple(self.ends(plant, node) for node in nodes)
        if not any(end[0] != "?" for ends in wiring for end in ends):
            return None
        order = sorted(range(len(nodes)), key=lambda at: plant.name(nodes[at]))
        return (facts, tuple(wiring[at] for at in order))

    def read(self, plant: Plant, node: int) -> str:
        """The name of a node as it reads after."""
        return plant.name(node) if plant is self.after else self.identity.node_name(plant, node)

    def ends(self, plant: Plant, node: int) -> Ends:
        """The other ends of its cables as they read after; `?` where that is not known yet."""
        return tuple(sorted(self._end(plant, other) for other in plant.wired(node)))

    def _end(self, plant: Plant, node: int) -> str:
        head = (plant.bay_of(node) if plant.is_jack(node) else plant.unit_of(node)).id
        name = plant.name(node) if plant is self.after else self.identity.node_name(plant, node)
        if plant is self.before:
            known = self.identity.units.get(head, self.identity.bays.get(head, head))
            return name if known in self.after.units or known in self.after.bays else f"?{name.partition('/')[2]}"
        back = head in self.before.units or head in self.before.bays or head in self._mapped()
        return name if back else f"?{name.partition('/')[2]}"

    def _mapped(self) -> set[str]:
        return {*self.identity.units.values(), *self.identity.bays.values()}

    def ports(self) -> None:
        """Ports of units that are on both sides: same kind, same wiring, same insides by place, and only one such."""
        for old, new in common(self.before.units, self.after.units, self.identity.units):
            if old.kit is new.kit or old.kit.index.keys() == new.kit.index.keys():
                continue
            known = self.identity.ports.get(new.id, {})
            taken = set(known.values())
            gone = [name for name in old.kit.index if name not in new.kit.index and name not in known]
            come = [name for name in new.kit.index if name not in old.kit.index and name not in taken]
            olds = _unique((self._port_mark(self.before, old, name), name) for name in gone)
            news = _unique((self._port_mark(self.after, new, name), name) for name in come)
            add_ports(self.identity, old, new, {olds[mark]: news[mark] for mark in olds if mark in news}, self.how)

    def _port_mark(self, plant: Plant, unit: PlacedUnit, name: str) -> object:
        index = unit.kit.index[name]
        ends = self.ends(plant, unit.first + index)
        return (_port(unit.kit.sockets[index]), ends) if ends else None

    def setups(self) -> None:
        """Setups with the same cords, plugs, positions and routes."""
        known = self.identity.setups
        taken = set(known.values())
        gone = [name for name in self.before.setups if name not in self.after.setups and name not in known]
        come = [name for name in self.after.setups if name not in self.before.setups and name not in taken]
        olds = _unique((self._setup_mark(self.before, self.before.setups[name]), name) for name in gone)
        news = _unique((self._setup_mark(self.after, self.after.setups[name]), name) for name in come)
        for mark in olds:
            if mark in news:
                add_renamed(self.identity, "setup", olds[mark], news[mark], self.how)

    def _setup_mark(self, plant: Plant, setup: PlacedSetup) -> object:
        def name(node: int) -> str:
            return plant.name(node) if plant is self.after else self.identity.node_name(plant, node)

        cords = frozenset(
            (frozenset((name(cord.a.node), name(cord.b.node))), cord.reversed)
            for cord in setup.cords
            if min(cord.a.node, cord.b.node) >= 0
        )
        if len(cords) < 2:
            return None
        units = self.identity.units if plant is self.before else {}
        turned = frozenset(
            (units.get(unit, unit), switch, word) for (unit, switch), (word, _) in setup.positions.items()
        )
        return (cords, turned, len(setup.routes), frozenset(map(name, setup.dummies)), len(setup.links))


def _unique(marked: Iterable[tuple[object, str]]) -> dict[object, str]:
    """The names whose mark (not None) no other name has."""
    names: dict[object, list[str]] = {}
    for mark, name in marked:
        if mark is not None:
            names.setdefault(mark, []).append(name)
    return {mark: found[0] for mark, found in names.items() if len(found) == 1}


def _ports(unit: PlacedUnit) -> tuple[object, ...]:
    return tuple(sorted((socket.name, *_port(socket)) for socket in unit.kit.sockets))


def _port(socket: Socket) -> tuple[int, str, int]:
    return (socket.direction, socket.family, socket.channels)


def _insides(unit: PlacedUnit) -> frozenset[object]:
    name = [socket.name for socket in unit.kit.sockets]
    branches = {
        (
            name[one.source],
            one.source_channel,
            name[one.target],
            one.target_channel,
            one.kind,
            one.control,
            one.reversed,
            one.switch,
            one.position,
        )
        for one in unit.kit.branches
    }
    bonds = {(name[one.source], name[one.target], one.reversed, one.switch, one.position) for one in unit.kit.bonds}
    return frozenset(branches | bonds)
