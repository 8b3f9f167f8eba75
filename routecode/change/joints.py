"""The facts of fixed wiring that differ: cables, normals, mults."""

from collections.abc import Callable, Iterator
from typing import TypeVar

from routecode.change.fact import Fact, Stated, differing_keys, fact, pair
from routecode.change.matched import AFTER, BEFORE, Matched
from routecode.circuit.parts import Details, NormalJoint, Wire
from routecode.ground.place import At
from routecode.language.ranges import spread_whole

T = TypeVar("T")
_TOLD = Details._fields.index("split")
"""How many fields of a cable's details are facts of the cable; the rest is how it is stated."""


def cables(matched: Matched) -> Iterator[Fact]:
    """Fixed cables that only one side has, or that are reversed or at the face on one side only."""
    nodes = matched.nodes
    before, after = differing_wires(matched)
    old = {pair(nodes[wire.a], nodes[wire.b]): wire for wire in before}
    new = {pair(wire.a, wire.b): wire for wire in after}
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
    if matched.edited is not None:
        return matched.edited.gone, matched.edited.come
    nodes = matched.nodes

    def same(wire: Wire, other: Wire) -> bool:
        ends = nodes[wire.a] == other.a and nodes[wire.b] == other.b
        return ends and (wire.details is other.details or wire.details[:_TOLD] == other.details[:_TOLD])

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


def normals(matched: Matched) -> Iterator[Fact]:
    """Normals and mults that differ."""
    said: dict[tuple[str, str], dict[int, At]] = {}
    olds, news = _differing_normals(matched)
    before, after = _stated_normals(matched, BEFORE, olds), _stated_normals(matched, AFTER, news)
    for key, old, new in differing_keys(before, after):
        one = fact("normal", key, old, new, key)
        if new is None:
            one = one._replace(after_at=_no_normal(matched, AFTER, key[0], said))
        elif old is None:
            one = one._replace(before_at=_no_normal(matched, BEFORE, key[0], said))
        yield one
    for key, old, new in differing_keys(_stated_mults(matched, BEFORE), _stated_mults(matched, AFTER)):
        yield fact("mult", key, old, new, key)


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
    if matched.edited is not None:
        return matched.edited.normals_gone, matched.edited.normals_come
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
