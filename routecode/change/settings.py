"""The facts of setups that differ: cords, plugs, positions, and routes of the studio and of setups."""

from collections.abc import Iterator

from routecode.change.fact import Fact, Key, Said, Stated, differing_keys, fact, pair
from routecode.change.matched import AFTER, BEFORE, Matched
from routecode.circuit.parts import PlacedSetup


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
    for key, before, after in differing_keys(_stated_cords(matched, BEFORE, old), _stated_cords(matched, AFTER, new)):
        yield fact("cord", (name, *key), before, after, tuple(node for node in key if isinstance(node, int)), name)
    for key, before, after in differing_keys(_stated_plugs(matched, BEFORE, old), _stated_plugs(matched, AFTER, new)):
        yield fact("plug", (name, *key), before, after, key, name)
    for key, before, after in differing_keys(
        _stated_positions(matched, BEFORE, old), _stated_positions(matched, AFTER, new)
    ):
        nodes = tuple(matched.after.units[key[0]]) if key[0] in matched.after.units else ()
        yield fact("position", (name, *key), before, after, nodes, name)
    for key, before, after in differing_keys(_stated_routes(matched, BEFORE, old), _stated_routes(matched, AFTER, new)):
        yield _route(matched, key, before, after, name)


def _stated_cords(matched: Matched, side: str, setup: PlacedSetup) -> Stated:
    stated: Stated = {}
    for cord in setup.cords:
        if min(cord.a.node, cord.b.node) < 0:
            continue  # an ambiguous end joins nothing
        key = pair(*(matched.shared_node(side, end.node) for end in (cord.a, cord.b)))
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
