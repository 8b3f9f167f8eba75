"""What the circuit of each side is made of, as keyed facts, and the facts that differ.

A fact is one cable, normal, mult, cord, plug, inside, port, unit, bay, switch or route. Two sides without differing facts
have the same feeds and paths in every state. What people write for themselves (titles, numbers, notes) is no fact.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, NamedTuple, TypeVar

from routecode.change.matched import AFTER, BEFORE, Matched
from routecode.circuit.parts import Bond, Branch, Kit, NormalJoint, PlacedBay, PlacedSetup, PlacedUnit, Wire
from routecode.ground.place import At
from routecode.language.ranges import spread_whole

T = TypeVar("T")
Value = Any
Stated = dict[tuple[Any, ...], tuple[Value, At]]
"""Key within a kind of fact -> value and place."""


class Fact(NamedTuple):
    """One differing fact: `kind` and `key` (shared numbers or names) say which, values are None where a side has none.

    `setup` is the setup (as it reads after) it holds in, None for fixed wiring; `nodes` are the shared nodes it touches.
    """

    kind: str
    key: tuple[Any, ...]
    before: Value
    after: Value
    before_at: At | None
    after_at: At | None
    nodes: tuple[int, ...]
    setup: str | None = None

    @property
    def place(self) -> tuple[str, At]:
        """(side, place) where a reader finds it: after, if it stands there."""
        if self.after_at is not None:
            return AFTER, self.after_at
        assert self.before_at is not None
        return BEFORE, self.before_at


def differing(matched: Matched) -> list[Fact]:
    """All facts that differ, fixed wiring first, then setup by setup (of those that both sides have)."""
    facts = [*_cables(matched), *_normals(matched), *_equipment(matched), *_bays(matched), *_routes(matched)]
    before, after = matched.before.setups, matched.after.setups
    for name, old in before.items():
        setup = matched.identity.setups.get(name, name)
        new = after.get(setup)
        if new is not None:
            facts += _setup(matched, old, new)
    return facts


def _compare(
    kind: str, before: Stated, after: Stated, nodes: Iterable[int] | None, setup: str | None = None
) -> Iterator[Fact]:
    """The facts of one kind that differ; `nodes` None: the key holds the nodes."""
    for key, (value, at) in before.items():
        other = after.get(key)
        if other is None:
            yield Fact(kind, key, value, None, at, None, key if nodes is None else tuple(nodes), setup)
        elif other[0] != value:
            yield Fact(kind, key, value, other[0], at, other[1], key if nodes is None else tuple(nodes), setup)
    for key, (value, at) in after.items():
        if key not in before:
            yield Fact(kind, key, None, value, None, at, key if nodes is None else tuple(nodes), setup)


# -- fixed wiring --------------------------------------------------------------------------------------------------------


def _cables(matched: Matched) -> Iterator[Fact]:
    nodes = matched.nodes
    before, after = differing_wires(matched)
    old = {_pair(nodes[wire.a], nodes[wire.b]): wire for wire in before}
    new = {_pair(wire.a, wire.b): wire for wire in after}
    for key, wire in old.items():
        other = new.get(key)
        if other is None:
            yield Fact("cable", key, (wire.reversed, wire.front), None, wire.at, None, key)
        elif (wire.reversed, wire.front) != (other.reversed, other.front):
            yield Fact(
                "cable",
                key,
                (wire.reversed, wire.front),
                (other.reversed, other.front),
                wire.said[-1].at,
                other.said[-1].at,
                key,
            )
    for key, wire in new.items():
        if key not in old:
            yield Fact("cable", key, None, (wire.reversed, wire.front), None, wire.at, key)


def differing_wires(matched: Matched) -> tuple[list[Wire], list[Wire]]:
    """The cables of both sides without those that are equal at the beginning and at the end of both lists."""
    nodes = matched.nodes

    def same(wire: Wire, other: Wire) -> bool:
        ends = nodes[wire.a] == other.a and nodes[wire.b] == other.b
        return ends and (wire.details is other.details or wire.details[:6] == other.details[:6])

    return _middles(matched.before.wires, matched.after.wires, same)


def _middles(old: list[T], new: list[T], same: Callable[[T, T], bool]) -> tuple[list[T], list[T]]:
    """Two lists without what is the same at the beginning and at the end of both: an edit leaves most of them alone."""
    start, shorter = 0, min(len(old), len(new))
    while start < shorter and same(old[start], new[start]):
        start += 1
    end = 0
    while end < shorter - start and same(old[-1 - end], new[-1 - end]):
        end += 1
    return old[start : len(old) - end], new[start : len(new) - end]


def _pair(a: int, b: int) -> tuple[int, int]:
    return (a, b) if a < b else (b, a)


def _normals(matched: Matched) -> Iterator[Fact]:
    said: dict[tuple[str, str], dict[int, At]] = {}
    before, after = _differing_normals(matched)
    for fact in _compare(
        "normal", _stated_normals(matched, BEFORE, before), _stated_normals(matched, AFTER, after), None
    ):
        if fact.after_at is None:
            yield fact._replace(after_at=_no_normal(matched, AFTER, fact.key[0], said))
        elif fact.before_at is None:
            yield fact._replace(before_at=_no_normal(matched, BEFORE, fact.key[0], said))
        else:
            yield fact
    yield from _compare("mult", _stated_mults(matched, BEFORE), _stated_mults(matched, AFTER), None)


def _no_normal(matched: Matched, side: str, jack: int, said: dict[tuple[str, str], dict[int, At]]) -> At | None:
    """Where a side says how a column is normalled that has no normal there, if it says so; `said` keeps what was read."""
    own = matched.own_node(side, jack)
    if own < 0:
        return None
    bay = matched.plant(side).bay_of(own)
    if (side, bay.id) not in said:
        key = "plug" if bay.plugs else "normal"
        tables = [table for table in bay.written.column if getattr(table, key) is not None]
        said[side, bay.id] = {
            number: table.where(key) for table in tables for number in spread_whole(table.at, table.where("at"), [])
        }
    return said[side, bay.id].get(bay.place(own)[1])


def _differing_normals(matched: Matched) -> tuple[list[NormalJoint], list[NormalJoint]]:
    nodes, bays = matched.nodes, (matched.before.bays, matched.after.bays)
    kinds = [{name: (bay.plugs, bay.destination_row) for name, bay in side.items()} for side in bays]

    def same(normal: NormalJoint, other: NormalJoint) -> bool:
        a, b, pattern, bay, column, *_ = normal
        ends = nodes[a] == other[0] and nodes[b] == other[1] and pattern == other[2] and bool(column) == bool(other[4])
        return ends and (not column or kinds[0][bay] == kinds[1][other[3]])

    return _middles(matched.before.normals, matched.after.normals, same)


def _stated_normals(matched: Matched, side: str, normals: list[NormalJoint]) -> Stated:
    """By the pair of jacks: the pattern (on bays with link plugs where the plug sits), or how a `[[normal]]` breaks."""
    stated: Stated = {}
    plant = matched.plant(side)
    for normal in normals:
        key = (matched.shared_node(side, normal.source), matched.shared_node(side, normal.target))
        value: tuple[str, ...] = (normal.pattern,)
        if normal.column:
            bay = plant.bays[normal.bay]
            if bay.plugs and normal.pattern != bay.destination_row:
                continue  # a link plug that makes no normal joins nothing; a setup that moves it says so itself
            value = (f"plug {normal.pattern}" if bay.plugs else normal.pattern,)
        if key in stated:
            value = tuple(sorted((*stated[key][0], *value)))
        stated[key] = (value, normal.at)
    return stated


def _stated_mults(matched: Matched, side: str) -> Stated:
    stated: Stated = {}
    for bay in matched.plant(side).bays.values():
        for jacks, at in bay.mults:
            stated[tuple(sorted(matched.shared_node(side, jack) for jack in jacks))] = (True, at)
    return stated


def _routes(matched: Matched) -> Iterator[Fact]:
    for key, before, after in _differing_keys(
        _stated_routes(matched, BEFORE, None), _stated_routes(matched, AFTER, None)
    ):
        yield _route(matched, key, before, after, None)


def _stated_routes(matched: Matched, side: str, setup: PlacedSetup | None) -> Stated:
    routes = setup.routes if setup is not None else matched.plant(side).routes
    return {
        (matched.shared_channel(side, source), matched.shared_channel(side, target)): (True, route.where("from"))
        for (source, target), route in routes.items()
    }


def _differing_keys(
    before: Stated, after: Stated
) -> Iterator[tuple[tuple[Any, ...], tuple[Value, At] | None, tuple[Value, At] | None]]:
    for key, one in before.items():
        other = after.get(key)
        if other is None or other[0] != one[0]:
            yield key, one, other
    for key, one in after.items():
        if key not in before:
            yield key, None, one


def _route(
    matched: Matched,
    key: tuple[Any, ...],
    before: tuple[Value, At] | None,
    after: tuple[Value, At] | None,
    setup: str | None,
) -> Fact:
    return _fact("route", key, before, after, tuple(matched.channel_node(channel) for channel in key), setup)


def _fact(
    kind: str,
    key: tuple[Any, ...],
    before: tuple[Value, At] | None,
    after: tuple[Value, At] | None,
    nodes: tuple[int, ...],
    setup: str | None = None,
) -> Fact:
    return Fact(
        kind, key, before and before[0], after and after[0], before and before[1], after and after[1], nodes, setup
    )


# -- equipment -----------------------------------------------------------------------------------------------------------


def _equipment(matched: Matched) -> Iterator[Fact]:
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
        for key, before, after in _differing_keys(stated(old, names), stated(new, {})):
            yield _fact(kind, (new.id, *key), before, after, _nodes_of(matched, old, new, kind, key, names))


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
    for (a, channel, b, other, how), part in stated_insides(kit).items():
        a, b = renamed(a), renamed(b)
        if isinstance(part, Branch):
            value: Value = (part.kind, part.control, part.reversed, part.switch, part.position, unless(part))
        else:
            a, b = sorted((a, b))
            value = ("hardwired", part.reversed, part.switch, part.position, unless(part))
        stated[a, channel, b, other, how] = (value, part.at)
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


def _bays(matched: Matched) -> Iterator[Fact]:
    old = {matched.identity.bays.get(name, name): bay for name, bay in matched.before.bays.items()}
    new = matched.after.bays
    for key, before, after in _differing_keys(_stated_bays(old), _stated_bays(new)):
        sides = [(side, bays[key[0]]) for side, bays in ((BEFORE, old), (AFTER, new)) if key[0] in bays]
        jacks = {
            matched.shared_node(side, bay.first + step) for side, bay in sides for step in range(bay.columns * bay.rows)
        }
        alone = {jack for jack in jacks if matched.own_node(BEFORE, jack) < 0 or matched.own_node(AFTER, jack) < 0}
        yield _fact("bay", key, before, after, tuple(sorted(alone or jacks)))


def _stated_bays(bays: Mapping[str, PlacedBay]) -> Stated:
    return {
        (name,): ((bay.columns, bay.rows, bay.destination_row, bay.plugs), bay.written.place)
        for name, bay in bays.items()
    }


# -- setups --------------------------------------------------------------------------------------------------------------


def _setup(matched: Matched, old: PlacedSetup, new: PlacedSetup) -> Iterator[Fact]:
    name = new.id
    for key, before, after in _differing_keys(_stated_cords(matched, BEFORE, old), _stated_cords(matched, AFTER, new)):
        yield _fact("cord", (name, *key), before, after, tuple(node for node in key if isinstance(node, int)), name)
    for key, before, after in _differing_keys(_stated_plugs(matched, BEFORE, old), _stated_plugs(matched, AFTER, new)):
        yield _fact("plug", (name, *key), before, after, key, name)
    for key, before, after in _differing_keys(
        _stated_positions(matched, BEFORE, old), _stated_positions(matched, AFTER, new)
    ):
        nodes = tuple(matched.after.units[key[0]]) if key[0] in matched.after.units else ()
        yield _fact("position", (name, *key), before, after, nodes, name)
    for key, before, after in _differing_keys(
        _stated_routes(matched, BEFORE, old), _stated_routes(matched, AFTER, new)
    ):
        yield _route(matched, key, before, after, name)


def _stated_cords(matched: Matched, side: str, setup: PlacedSetup) -> Stated:
    stated: Stated = {}
    for cord in setup.cords:
        if min(cord.a.node, cord.b.node) < 0:
            continue  # an ambiguous end joins nothing
        key = _pair(*(matched.shared_node(side, end.node) for end in (cord.a, cord.b)))
        stated[key] = (cord.reversed, cord.a.at)
    return stated


def _stated_plugs(matched: Matched, side: str, setup: PlacedSetup) -> Stated:
    stated: Stated = {
        (matched.shared_node(side, node),): ("dummy", plug.where("at")) for node, plug in setup.dummies.items()
    }
    for (bay, column), (word, plug) in setup.links.items():
        jack = matched.plant(side).bays[bay].jack("bottom", column)
        stated[matched.shared_node(side, jack),] = (word, plug.where("at"))
    return stated


def _stated_positions(matched: Matched, side: str, setup: PlacedSetup) -> Stated:
    units = matched.identity.units if side == BEFORE else {}
    return {
        (units.get(unit, unit), switch): (word, turned.where("to"))
        for (unit, switch), (word, turned) in setup.positions.items()
    }
