"""Which names of the before side read otherwise on the after side: declared by `was`, or proved.

Proved means: of all that has no partner, exactly one on each side has these ports and this wiring, name by name through the
map found so far. Nothing is guessed here. What is not here: numbers (`matched`).
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from attrs import field, frozen

from routecode.circuit.plant import PlacedBay, PlacedSetup, PlacedUnit, Plant, Socket
from routecode.ground.order import natural
from routecode.ground.place import At
from routecode.language.ranges import spread
from routecode.language.table import Table

DECLARED, PROVED = "declared", "proved"
Ends = tuple[str, ...]


class Renamed(NamedTuple):
    """One name that reads otherwise: `kind` is the table it names (`unit`, `port`, ...); `how` is declared or proved."""

    kind: str
    before: str
    after: str
    how: str


@frozen
class Identity:
    """Old names to new ones, only where they differ. Ports by the id of their unit as it reads after."""

    units: dict[str, str] = field(factory=dict)
    bays: dict[str, str] = field(factory=dict)
    setups: dict[str, str] = field(factory=dict)
    others: dict[tuple[str, str], str] = field(factory=dict)
    """(table, old id) -> new id for rooms, racks, models and cable types."""
    ports: dict[str, dict[str, str]] = field(factory=dict)
    renamed: list[Renamed] = field(factory=list)

    def node_name(self, plant: Plant, node: int) -> str:
        """The name of a node of the before side as it reads after."""
        if plant.is_jack(node):
            bay = plant.bay_of(node)
            return f"{self.bays.get(bay.id, bay.id)}/{bay.jack_name(node).partition('/')[2]}"
        unit = plant.unit_of(node)
        after = self.units.get(unit.id, unit.id)
        port = unit.kit.sockets[node - unit.first].name
        return f"{after}/{self.ports.get(after, {}).get(port, port)}"

    def read(self, text: str) -> str:
        """A canonical name of the before side (place, channel, unit, bay) as it reads after; other texts as they are."""
        head, slash, rest = text.partition("/")
        if not slash:
            return self.units.get(text, self.bays.get(text, text))
        unit = self.units.get(head, self.bays.get(head, head))
        ports = self.ports.get(unit, {})
        stem, mark, number = rest.rpartition(" ch ")
        if rest not in ports and mark and stem in ports:
            return f"{unit}/{ports[stem]} ch {number}"
        return f"{unit}/{ports.get(rest, rest)}"


def identify(before: Plant, after: Plant) -> Identity:
    """The map of names between two sides."""
    identity = Identity()
    _declared_ids(before, after, identity)
    prover = _Prover(before, after, identity)
    prover.equipment()
    for old, new in _common(before.units, after.units, identity.units):
        _declared_ports(old, new, identity)
    prover.ports()
    prover.setups()
    identity.renamed.sort(key=lambda one: (one.kind, natural(one.before)))
    return identity


# -- declared ------------------------------------------------------------------------------------------------------------


def _declared_ids(before: Plant, after: Plant, identity: Identity) -> None:
    for kind in ("unit", "bay", "setup", "room", "rack", "model", "cable_type"):
        old, new = getattr(before.studio, kind), getattr(after.studio, kind)
        for name, other in declared(old, new).items():
            _found(identity, kind, name, other, DECLARED)


def declared(before: Mapping[str, Table], after: Mapping[str, Table]) -> dict[str, str]:
    """Old ids to new ones by `was`, read on either side, where each exists on its side only and is claimed once."""
    pairs = [(table.was, name) for name, table in after.items() if table.was]
    pairs += [(name, table.was) for name, table in before.items() if table.was]
    return _exclusive(
        (old, new) for old, new in pairs if old in before and old not in after and new in after and new not in before
    )


def _exclusive(pairs: Iterable[tuple[str, str]]) -> dict[str, str]:
    """The pairs of which neither half is claimed by another pair."""
    distinct = set(pairs)
    olds = _counted(old for old, _ in distinct)
    news = _counted(new for _, new in distinct)
    return {old: new for old, new in sorted(distinct) if olds[old] == 1 and news[new] == 1}


def _counted(names: Iterable[str]) -> dict[str, int]:
    counts: dict[str, int] = {}
    for name in names:
        counts[name] = counts.get(name, 0) + 1
    return counts


def _found(identity: Identity, kind: str, old: str, new: str, how: str) -> None:
    maps = {"unit": identity.units, "bay": identity.bays, "setup": identity.setups}
    if kind in maps:
        maps[kind][old] = new
    else:
        identity.others[kind, old] = new
    identity.renamed.append(Renamed(kind, old, new, how))


def _declared_ports(old: PlacedUnit, new: PlacedUnit, identity: Identity) -> None:
    if old.kit.index.keys() == new.kit.index.keys():
        return
    pairs = [(was, name) for name, was in _port_was(new)] + list(_port_was(old))
    before, after = old.kit.index, new.kit.index
    kept = _exclusive((a, b) for a, b in pairs if a in before and a not in after and b in after and b not in before)
    _ports_found(identity, old, new, kept, DECLARED)


def _ports_found(identity: Identity, old: PlacedUnit, new: PlacedUnit, kept: dict[str, str], how: str) -> None:
    if kept:
        identity.ports.setdefault(new.id, {}).update(kept)
        identity.renamed.extend(Renamed("port", f"{old.id}/{a}", f"{new.id}/{b}", how) for a, b in kept.items())


def _port_was(unit: PlacedUnit) -> Iterator[tuple[str, str]]:
    """(name, old name) of the ports whose declaration gives `was`, ranges one to one."""
    for socket in unit.kit.sockets:
        was = socket.written.was
        if was:
            names = spread(socket.written.name, At("", ()), [])
            olds = spread((was,), At("", ()), [])
            if socket.name in names and len(names) == len(olds):
                yield socket.name, olds[names.index(socket.name)]


# -- proved --------------------------------------------------------------------------------------------------------------


def _common(
    before: Mapping[str, PlacedUnit], after: Mapping[str, PlacedUnit], names: Mapping[str, str]
) -> Iterator[tuple[PlacedUnit, PlacedUnit]]:
    for name, unit in before.items():
        other = after.get(names.get(name, name))
        if other is not None:
            yield unit, other


class _Prover:
    """Finds partners by ports and wiring, in rounds: each partner found may prove its neighbours."""

    def __init__(self, before: Plant, after: Plant, identity: Identity) -> None:
        self.before = before
        self.after = after
        self.identity = identity

    def equipment(self) -> None:
        """Units and bays."""
        while self._round("unit") + self._round("bay"):
            pass

    def _round(self, kind: str) -> int:
        old, new = (self.before.units, self.after.units) if kind == "unit" else (self.before.bays, self.after.bays)
        names = self.identity.units if kind == "unit" else self.identity.bays
        taken = set(names.values())
        alone_before = [name for name in old if name not in new and name not in names]
        alone_after = [name for name in new if name not in old and name not in taken]
        if not alone_before or not alone_after:
            return 0
        olds = _unique((self._signature(self.before, kind, name), name) for name in alone_before)
        news = _unique((self._signature(self.after, kind, name), name) for name in alone_after)
        pairs = {olds[mark]: news[mark] for mark in olds if mark in news}
        for before, after in pairs.items():
            _found(self.identity, kind, before, after, PROVED)
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
        wiring = tuple(self._ends(plant, node) for node in nodes)
        if not any(end[0] != "?" for ends in wiring for end in ends):
            return None
        order = sorted(range(len(nodes)), key=lambda at: plant.name(nodes[at]))
        return (facts, tuple(wiring[at] for at in order))

    def _ends(self, plant: Plant, node: int) -> Ends:
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
        for old, new in _common(self.before.units, self.after.units, self.identity.units):
            if old.kit is new.kit or old.kit.index.keys() == new.kit.index.keys():
                continue
            known = self.identity.ports.get(new.id, {})
            taken = set(known.values())
            gone = [name for name in old.kit.index if name not in new.kit.index and name not in known]
            come = [name for name in new.kit.index if name not in old.kit.index and name not in taken]
            olds = _unique((self._port_mark(self.before, old, name), name) for name in gone)
            news = _unique((self._port_mark(self.after, new, name), name) for name in come)
            _ports_found(self.identity, old, new, {olds[mark]: news[mark] for mark in olds if mark in news}, PROVED)

    def _port_mark(self, plant: Plant, unit: PlacedUnit, name: str) -> object:
        index = unit.kit.index[name]
        ends = self._ends(plant, unit.first + index)
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
                _found(self.identity, "setup", olds[mark], news[mark], PROVED)

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
