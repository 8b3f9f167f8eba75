"""Who drives and who receives in each net of one state, and which way the insides carry.

The rules of `either` ports and of two-way insides, in the order in which the meaning page gives them.
"""

from __future__ import annotations

from collections.abc import Iterator

from attrs import field, frozen

from .conductors import Conductors, hardwired_there, is_away
from .readings import Reading, Wrong
from .state import State, closed
from .written import Channel, Inside, Written

Flow = tuple[Channel, Channel, str]
"""A closed inside between two channels, in the direction it carries, and its control."""


@frozen
class Nets:
    """The net of each port, by a number, and the families of each net."""

    of: dict[str, int]
    families: dict[int, frozenset[str]]

    def members(self, net: int) -> list[str]:
        """The ports of one net."""
        return [place for place, number in self.of.items() if number == net]


def all_nets(written: Written, conductors: Conductors, reading: Reading) -> Nets:
    """The nets: what a flood along the shields joins."""
    of: dict[str, int] = {}
    for place in written.ports:
        if place not in of:
            reached = conductors.flood((place, "port", "shield"))
            of |= {p: len(of) for p, contact, _ in reached if contact == "port"}
    families = {net: frozenset(counting(written, of, net, reading)) for net in set(of.values())}
    return Nets(of, families)


def counting(written: Written, of: dict[str, int], net: int, reading: Reading) -> Iterator[str]:
    """The families of the ports of one net, those of units that are away too."""
    for place, number in of.items():
        port = written.ports[place]
        if number == net and not (port.away and Wrong.AWAY_HAS_NO_FAMILY in reading):
            yield port.family


@frozen
class Roles:
    """What ports do beyond their direction, and how the closed insides carry."""

    listens: set[str] = field(factory=set)
    speaks: set[str] = field(factory=set)
    speaks_as_end: set[str] = field(factory=set)
    ends: set[str] = field(factory=set)
    flows: list[Flow] = field(factory=list)


def is_two_way(written: Written, inside: Inside, reading: Reading) -> bool:
    """Whether this inside takes its direction from what is around it."""
    if inside.kind == "transformer" and Wrong.TRANSFORMER_ONE_WAY in reading:
        return False
    if inside.kind == "capacitor" and Wrong.CAPACITOR_ONE_WAY in reading:
        return False
    directions = {written.ports[place].direction for pair in inside.pairs for place, _ in pair}
    return inside.kind in ("transformer", "capacitor") and directions == {"either"}


def closed_pairs(written: Written, state: State, inside: Inside, reading: Reading) -> list[tuple[Channel, Channel]]:
    """The pairs of an inside that are closed in this state; a crosspoint needs its route."""
    routed = inside.control == "routed"
    if not (routed and Wrong.ROUTE_IGNORES_CONDITIONS in reading) and not closed(written, state, inside, reading):
        return []
    if routed and Wrong.ROUTED_IS_CLOSED not in reading:
        return [pair for pair in inside.pairs if pair in state.routes]
    return list(inside.pairs)


def all_roles(written: Written, state: State, nets: Nets, reading: Reading) -> Roles:
    """The roles of all ports in one state."""
    roles = Roles(ends={p for p in written.ports if is_end(written, state, p, reading)})
    two_way: list[tuple[Channel, Channel, str]] = []
    for inside in written.insides:
        gone = is_away(written, inside.unit) and Wrong.AWAY_INSIDES_STAY not in reading
        if gone or inside.kind == "hardwired":
            continue
        pairs = [(a, b, inside.control) for a, b in closed_pairs(written, state, inside, reading)]
        if is_two_way(written, inside, reading):
            two_way += pairs
        else:
            one_way(written, pairs, roles)
    driven = supply(written, nets, two_way, roles, reading)
    if Wrong.NO_DEMAND not in reading:
        demand(written, nets, two_way, roles, driven, reading)
    if Wrong.DEMAND_SPEAKS_AS_OUT in reading:
        roles.speaks.update(roles.speaks_as_end)
    if Wrong.LISTENS_ONLY_AS_END in reading:
        roles.listens.intersection_update(roles.ends)
    return roles


def is_end(written: Written, state: State, place: str, reading: Reading) -> bool:
    """Whether an `either` port is joined on exactly one of its two sides."""
    port = written.ports[place]
    if port.direction != "either" or port.away:
        return False
    inner, outer = sides(written, state, place, reading)
    return inner or outer if Wrong.PASSED_IS_END in reading else inner != outer


def sides(written: Written, state: State, place: str, reading: Reading) -> tuple[bool, bool]:
    """Whether an `either` port is joined at its inside, and at its outside."""
    here = [cable for cable in written.cables if place in (cable.a, cable.b)]
    rear = any(not cable.front or Wrong.FRONT_IGNORED in reading for cable in here)
    front = any(cable.front and Wrong.FRONT_IGNORED not in reading for cable in here)
    corded = any(place in ends for ends in state.cords)
    declared = [
        inside
        for inside in written.insides
        if hardwired_there(written, inside, reading) and any((place, 0) in pair for pair in inside.pairs)
    ]
    if not declared:
        return rear, front or corded
    made = Wrong.OPEN_HARDWIRED_JOINS in reading or any(closed(written, state, i, reading) for i in declared)
    if Wrong.HARDWIRED_PORT_CABLES_INSIDE in reading:
        return made or rear, front or corded
    return made, rear or front or corded


def one_way(written: Written, pairs: list[Flow], roles: Roles) -> None:
    """What one-way insides make of `either` ports."""
    for a, b, control in pairs:
        roles.flows.append((a, b, control))
        if written.ports[a[0]].direction == "either":
            roles.listens.add(a[0])
        if written.ports[b[0]].direction == "either":
            roles.speaks.add(b[0])


def nets_with(written: Written, nets: Nets, direction: str, others: set[str]) -> set[int]:
    """The nets with a port of this direction whose unit is there, or with one of the others."""
    ports = written.ports.items()
    return {nets.of[p] for p, port in ports if (port.direction == direction and not port.away) or p in others}


def crossings(
    two_way: list[Flow], nets: Nets, start: set[int], shut: set[int], steps: int
) -> tuple[list[tuple[Channel, Channel, str]], set[int]]:
    """Level by level, each two-way inside that leads from a net reached to one not reached yet; and all nets reached.

    Nets in `shut` are never entered. Each crossing is (near channel, far channel, control).
    """
    found, reached, edge = [], set(start), set(start)
    while edge and steps:
        beyond: set[int] = set()
        for a, b, control in two_way:
            for near, far in ((a, b), (b, a)):
                if nets.of[near[0]] in edge and nets.of[far[0]] not in reached | shut:
                    found.append((near, far, control))
                    beyond.add(nets.of[far[0]])
        reached |= beyond
        edge = beyond
        steps -= 1
    return found, reached


def supply(written: Written, nets: Nets, two_way: list[Flow], roles: Roles, reading: Reading) -> set[int]:
    """The first round: what is driven drives on. Gives all nets that are driven."""
    start = nets_with(written, nets, "out", roles.speaks)
    steps = 1 if Wrong.SUPPLY_ONE_STEP in reading else len(nets.families) + 1
    found, driven = crossings(two_way, nets, start, set(), steps)
    for near, far, control in found:
        roles.listens.add(near[0])
        roles.speaks.add(far[0])
        roles.flows.append((near, far, control))
    return driven


def demand(written: Written, nets: Nets, two_way: list[Flow], roles: Roles, driven: set[int], reading: Reading) -> None:
    """The second round: what is wanted and not driven is asked for on the other side."""
    start = nets_with(written, nets, "in", roles.listens) - driven
    steps = 1 if Wrong.DEMAND_ONE_STEP in reading else len(nets.families) + 1
    found, _ = crossings(two_way, nets, start, driven, steps)
    for near, far, control in found:
        roles.speaks_as_end.add(near[0])
        roles.listens.add(far[0])
        roles.flows.append((far, near, control))
