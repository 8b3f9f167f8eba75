"""The facts of equipment that differ: units, their ports, insides and switches, and bays."""

from collections.abc import Iterator, Mapping
from typing import Any

from routecode.change.fact import Fact, Stated, Value, differing_keys, fact
from routecode.change.matched import AFTER, BEFORE, Matched
from routecode.circuit.parts import Bond, Branch, Kit, PlacedBay, PlacedUnit


def equipment(matched: Matched) -> Iterator[Fact]:
    """Units that are new, gone or away, and what differs of their ports, insides and switches."""
    same: dict[tuple[int, int], bool] = {}
    units = matched.identity.units
    found = {units.get(name, name): unit for name, unit in matched.before.units.items()}
    for name, old in found.items():
        new = matched.after.units.get(name)
        if new is None:
            yield Fact(
                "unit", (name,), "here", None, old.written.place, None, tuple(matched.nodes[node] for node in old)
            )
            continue
        if (old.written.away is None) != (new.written.away is None):
            was, now = ("here" if unit.written.away is None else "away" for unit in (old, new))
            yield Fact("unit", (name,), was, now, old.written.where("away"), new.written.where("away"), tuple(new))
        kits = (id(old.kit), id(new.kit))
        if kits not in same:
            same[kits] = not any(True for _ in _kit(matched, old, new))
        if not same[kits] or name in matched.identity.ports:
            yield from _kit(matched, old, new)
    for name, new in matched.after.units.items():
        if name not in found:
            yield Fact("unit", (name,), None, "here", None, new.written.place, tuple(new))


def _kit(matched: Matched, old: PlacedUnit, new: PlacedUnit) -> Iterator[Fact]:
    names = matched.identity.ports.get(new.id, {})
    for kind, stated in (("port", _stated_ports), ("inside", _stated_insides), ("switch", _stated_switches)):
        for key, before, after in differing_keys(stated(old, names), stated(new, {})):
            yield fact(kind, (new.id, *key), before, after, _nodes_of(matched, old, new, kind, key, names))


def _nodes_of(
    matched: Matched, old: PlacedUnit, new: PlacedUnit, kind: str, key: tuple[Any, ...], names: Mapping[str, str]
) -> tuple[int, ...]:
    """The ports a fact of a unit touches; a switch touches all of its unit."""
    if kind == "switch":
        return tuple(new)
    ports = (key[0],) if kind == "port" else (key[0], key[2])
    back = {after: before for before, after in names.items()}
    found: list[int] = []
    for port in ports:
        if port in new.kit.index:
            found.append(new.first + new.kit.index[port])
        else:
            found.append(matched.nodes[old.first + old.kit.index[back.get(port, port)]])
    return tuple(found)


def _stated_ports(unit: PlacedUnit, names: Mapping[str, str]) -> Stated:
    return {
        (names.get(socket.name, socket.name),): (
            (socket.direction, socket.family, socket.channels),
            socket.written.place,
        )
        for socket in unit.kit.sockets
    }


def _stated_insides(unit: PlacedUnit, names: Mapping[str, str]) -> Stated:
    kit = unit.kit

    def renamed(port: str) -> str:
        return names.get(port, port)

    def unless(part: Branch | Bond) -> str | None:
        return None if part.unless is None else renamed(kit.sockets[part.unless].name)

    stated: Stated = {}
    for (source, channel, target, other, how), part in stated_insides(kit).items():
        ends = renamed(source), renamed(target)
        if isinstance(part, Branch):
            value: Value = (part.kind, part.control, part.reversed, part.switch, part.position, unless(part))
        else:
            ends = min(ends), max(ends)
            value = ("hardwired", part.reversed, part.switch, part.position, unless(part))
        stated[ends[0], channel, ends[1], other, how] = (value, part.at)
    return stated


def stated_insides(kit: Kit) -> dict[tuple[str, int, str, int, str], Branch | Bond]:
    """The insides of a kit by (port, channel, port, channel, `signal` or `hardwired`)."""
    ports = [socket.name for socket in kit.sockets]
    found: dict[tuple[str, int, str, int, str], Branch | Bond] = {}
    for one in kit.branches:
        found[ports[one.source], one.source_channel, ports[one.target], one.target_channel, "signal"] = one
    for bond in kit.bonds:
        a, b = sorted((ports[bond.source], ports[bond.target]))
        found[a, 0, b, 0, "hardwired"] = bond
    return found


def _stated_switches(unit: PlacedUnit, names: Mapping[str, str]) -> Stated:
    del names  # switches keep their names
    return {(switch,): (positions[0], unit.written.place) for switch, positions in unit.kit.switches.items()}


def bays(matched: Matched) -> Iterator[Fact]:
    """Bays that are new or gone, or have other columns, rows or kinds of normal."""
    old = {matched.identity.bays.get(name, name): bay for name, bay in matched.before.bays.items()}
    new = matched.after.bays
    for key, before, after in differing_keys(_stated_bays(old), _stated_bays(new)):
        sides = [(side, bays[key[0]]) for side, bays in ((BEFORE, old), (AFTER, new)) if key[0] in bays]
        jacks = {
            matched.shared_node(side, bay.first + step) for side, bay in sides for step in range(bay.columns * bay.rows)
        }
        alone = {jack for jack in jacks if matched.own_node(BEFORE, jack) < 0 or matched.own_node(AFTER, jack) < 0}
        yield fact("bay", key, before, after, tuple(sorted(alone or jacks)))


def _stated_bays(bays: Mapping[str, PlacedBay]) -> Stated:
    return {
        (name,): ((bay.columns, bay.rows, bay.destination_row, bay.plugs), bay.written.place)
        for name, bay in bays.items()
    }
