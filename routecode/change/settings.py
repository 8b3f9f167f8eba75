"""The facts of setups that differ: cords, plugs, positions, and routes of the studio and of setups."""

from collections.abc import Iterator

from routecode.change.fact import Fact, Key, Said, Stated, differing_keys, fact, pair
from routecode.change.matched import AFTER, BEFORE, Matched
from routecode.circuit.parts import PlacedCord, PlacedSetup
from routecode.ground.place import At


def routes(matched: Matched) -> Iterator[Fact]:
    """Routes of the studio itself."""
    for key, before, after in differing_keys(
        _stated_routes(matched, BEFORE, None), _stated_routes(matched, AFTER, None)
    ):
        yield _route(matched, key, before, after, None)


def _stated_routes(matched: Matched, side: str, setup: PlacedSetup | None) -> Stated:
    routes = setup.routes if setup is not None else matched.plant(side).routes
    return {
        (matched.shared_channel(side, source), matched.shared_channel(side, target)): (True, route.where("from"))
        for (source, target), route in routes.items()
    }


def _route(
    matched: Matched,
    key: Key,
    before: Said | None,
    after: Said | None,
    setup: str | None,
) -> Fact:
    return fact("route", key, before, after, tuple(matched.channel_node(channel) for channel in key), setup)


def settings(matched: Matched, old: PlacedSetup, new: PlacedSetup) -> Iterator[Fact]:
    """What a setup that both sides have holds otherwise."""
    name = new.id
    yield from _cords(matched, old, new)
    for key, before, after in differing_keys(_stated_plugs(matched, BEFORE, old), _stated_plugs(matched, AFTER, new)):
        yield fact("plug", (name, *key), before, after, key, name)
    for key, before, after in differing_keys(
        _stated_positions(matched, BEFORE, old), _stated_positions(matched, AFTER, new)
    ):
        nodes = tuple(matched.after.units[key[0]]) if key[0] in matched.after.units else ()
        yield fact("position", (name, *key), before, after, nodes, name)
    for key, before, after in differing_keys(_stated_routes(matched, BEFORE, old), _stated_routes(matched, AFTER, new)):
        yield _route(matched, key, before, after, name)


Cords = dict[Key, PlacedCord]
"""Cords by the shared nodes they join."""


def _cords(matched: Matched, old: PlacedSetup, new: PlacedSetup) -> Iterator[Fact]:
    """Cords that differ. Where one only has its other end elsewhere, both facts stand where that end is stated."""
    before, after = _joined(matched, BEFORE, old), _joined(matched, AFTER, new)
    come = {key: cord for key, cord in after.items() if key not in before}
    left = {key: cord for key, cord in before.items() if key not in after}
    for key, was, now in differing_keys(_stated_cords(before), _stated_cords(after)):
        one = fact("cord", (new.id, *key), was, now, key, new.id)
        if key in left and (other := _moved(key, left[key], come)):
            one = one._replace(
                before_at=_end(matched, BEFORE, left[key], other), after_at=_end(matched, AFTER, come[other], key)
            )
        elif key in come and (other := _moved(key, come[key], left)):
            one = one._replace(
                before_at=_end(matched, BEFORE, left[other], key), after_at=_end(matched, AFTER, come[key], other)
            )
        yield one


def _moved(key: Key, cord: PlacedCord, others: Cords) -> Key:
    """The cord of the other side that has one end in common, if there is one: the same statement, or else the only one."""
    near = [other for other in others if len(set(key) & set(other)) == 1]
    same = [other for other in near if others[other].written.place == cord.written.place]
    found = same or near
    return found[0] if len(found) == 1 else ()


def _end(matched: Matched, side: str, cord: PlacedCord, other: Key) -> At:
    """Where a cord states the end that another one has not."""
    return (cord.b if matched.shared_node(side, cord.a.node) in other else cord.a).at


def _joined(matched: Matched, side: str, setup: PlacedSetup) -> Cords:
    """The cords of a setup; an ambiguous end joins nothing."""
    return {
        pair(*(matched.shared_node(side, end.node) for end in (cord.a, cord.b))): cord
        for cord in setup.cords
        if min(cord.a.node, cord.b.node) >= 0
    }


def _stated_cords(cords: Cords) -> Stated:
    return {key: (cord.reversed, cord.a.at) for key, cord in cords.items()}


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
