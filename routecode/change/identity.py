"""Which names of the before side read otherwise on the after side, and those of them that are declared by `was`.

How a name is proved is in `partners`, what is only probable in `guess`. What is not here: numbers (`matched`).
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from attrs import field, frozen

from routecode.circuit.plant import PlacedUnit, Plant
from routecode.ground.order import natural
from routecode.ground.place import At
from routecode.language.ranges import spread
from routecode.language.table import Table

DECLARED, PROVED, PROBABLE = "declared", "proved", "probable"


class Renamed(NamedTuple):
    """One name that reads otherwise: `kind` is the table it names (`unit`, `port`, ...); `how` is declared, proved or probable."""

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

    def sort(self) -> None:
        """Put what reads otherwise in order."""
        self.renamed.sort(key=lambda one: (one.kind, natural(one.before)))

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


# -- declared ------------------------------------------------------------------------------------------------------------


def declared_ids(before: Plant, after: Plant, identity: Identity) -> None:
    """Add what the text says of units, bays, setups, rooms, racks, models and cable types."""
    for kind in ("unit", "bay", "setup", "room", "rack", "model", "cable_type"):
        old, new = getattr(before.studio, kind), getattr(after.studio, kind)
        for name, other in declared(old, new).items():
            add_renamed(identity, kind, name, other, DECLARED)


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


def add_renamed(identity: Identity, kind: str, old: str, new: str, how: str) -> None:
    """One name that reads otherwise."""
    maps = {"unit": identity.units, "bay": identity.bays, "setup": identity.setups}
    if kind in maps:
        maps[kind][old] = new
    else:
        identity.others[kind, old] = new
    identity.renamed.append(Renamed(kind, old, new, how))


def declared_ports(old: PlacedUnit, new: PlacedUnit, identity: Identity) -> None:
    """Add what the text says of the ports of one unit."""
    if old.kit.index.keys() == new.kit.index.keys():
        return
    pairs = [(was, name) for name, was in _port_was(new)] + list(_port_was(old))
    before, after = old.kit.index, new.kit.index
    kept = _exclusive((a, b) for a, b in pairs if a in before and a not in after and b in after and b not in before)
    add_ports(identity, old, new, kept, DECLARED)


def add_ports(identity: Identity, old: PlacedUnit, new: PlacedUnit, kept: dict[str, str], how: str) -> None:
    """Ports of one unit that read otherwise."""
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
