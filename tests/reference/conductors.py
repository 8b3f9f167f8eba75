"""The conductors of one state: which contacts are joined, and what a flood along hot, cold and shield reaches.

Contacts are a port's own, and the front and the rear of each jack; the table of the columns is written out contact by
contact. Knows nothing of directions or signals.
"""

from __future__ import annotations

import heapq
from collections import deque
from collections.abc import Iterator
from itertools import combinations

from attrs import frozen

from .readings import Reading, Wrong
from .state import State, closed
from .written import Column, Inside, Written

Contact = tuple[str, str]
"""A place, and `port`, `rear` or `front`."""
Wire = tuple[str, str, str]
"""A contact and one of its three conductors: `hot`, `cold`, `shield`."""


@frozen
class Joint:
    """Two contacts joined by three conductors; reversed: hot to cold and cold to hot."""

    a: Contact
    b: Contact
    reversed: bool = False


class Conductors:
    """All joints of one state, to be flooded."""

    def __init__(self, joints: list[Joint]) -> None:
        self.wires: dict[Wire, set[Wire]] = {}
        self.contacts: dict[Contact, set[Contact]] = {}
        for joint in joints:
            self.contacts.setdefault(joint.a, set()).add(joint.b)
            self.contacts.setdefault(joint.b, set()).add(joint.a)
            across = {"hot": "cold", "cold": "hot"} if joint.reversed else {}
            for wire in ("hot", "cold", "shield"):
                self._join((*joint.a, wire), (*joint.b, across.get(wire, wire)))

    def _join(self, a: Wire, b: Wire) -> None:
        self.wires.setdefault(a, set()).add(b)
        self.wires.setdefault(b, set()).add(a)

    def flood(self, start: Wire) -> set[Wire]:
        """Every conductor that is joined to this one, itself included."""
        reached, waiting = {start}, deque([start])
        while waiting:
            for wire in self.wires.get(waiting.popleft(), ()):
                if wire not in reached:
                    reached.add(wire)
                    waiting.append(wire)
        return reached

    def way(self, start: Contact, end: Contact, written: Written, reading: Reading) -> tuple[str, ...]:
        """The jacks between two contacts: the fewest, and among equals the first by (bay, row, number)."""
        best: dict[Contact, tuple[object, list[str]]] = {}
        waiting: list[tuple[object, Contact, list[str]]] = [(rank([], written, reading), start, [])]
        while waiting:
            cost, contact, jacks = heapq.heappop(waiting)
            if contact in best:
                continue
            best[contact] = (cost, jacks)
            for other in self.contacts.get(contact, ()):
                passed = [*jacks, other[0]] if other[0] in written.jacks and other[0] not in jacks else jacks
                heapq.heappush(waiting, (rank(passed, written, reading), other, passed))
        return tuple(best[end][1])


def rank(jacks: list[str], written: Written, reading: Reading) -> object:
    """What a way is judged by: fewer jacks first, then the list of (bay, row, number)."""
    keys = [written.jacks[jack] for jack in jacks]
    if Wrong.JACKS_LAST_OF_EQUALS in reading:
        mirrored = [([-ord(c) for c in bay], [-ord(c) for c in row], -number) for bay, row, number in keys]
        return len(keys), mirrored
    return (0, keys) if Wrong.JACKS_FIRST_FOUND in reading else (len(keys), keys)


def all_joints(written: Written, state: State, reading: Reading) -> list[Joint]:
    """Every joint of the state."""
    return [
        *contacts_of_jacks(written, state, reading),
        *(
            Joint((column_jack(c, "top"), "rear"), (column_jack(c, "bottom"), "rear"))
            for c in written.columns
            if normal_made(c, state, reading)
        ),
        *(
            Joint((a, "rear"), (b, "rear"))
            for a, b, breaks in written.normals
            if sideways_made(a, b, breaks, written, state, reading)
        ),
        *joints_of_mults(written, state, reading),
        *joints_of_cables(written, reading),
        *joints_of_cords(written, state, reading),
        *joints_of_insides(written, state, reading),
    ]


def contacts_of_jacks(written: Written, state: State, reading: Reading) -> Iterator[Joint]:
    """The front and the rear of each jack are joined for whatever is plugged there."""
    for jack, (_, row, _) in written.jacks.items():
        cut = Wrong.TOP_CORD_CUTS_REAR in reading and row == "top" and state.plugged(jack, reading)
        if not cut:
            yield Joint((jack, "front"), (jack, "rear"))


def column_jack(column: Column, row: str) -> str:
    """The jack of a column in one row."""
    return f"{column.bay}/{row} {column.number}"


def rows_of(column: Column, reading: Reading) -> tuple[str, str]:
    """The row of the sources, and the other."""
    ignored = Wrong.SOURCES_IGNORED in reading or (column.links and Wrong.SOURCES_IGNORED_FOR_LINKS in reading)
    return ("bottom", "top") if column.sources == "bottom" and not ignored else ("top", "bottom")


def normal_made(column: Column, state: State, reading: Reading) -> bool:
    """Whether the two rears of a column are joined: the table of the columns."""
    source, other = rows_of(column, reading)
    at_source = state.plugged(column_jack(column, source), reading)
    at_other = state.plugged(column_jack(column, other), reading)
    if column.links:
        return link_made(state.links.get((column.bay, column.number), column.setting), source, other, at_other, reading)
    if column.setting == "half":
        return half_made(at_source, at_other, reading)
    if column.setting == "full":
        return full_made(at_source, at_other, reading)
    if column.setting == "parallel":
        return not (Wrong.PARALLEL_IS_HALF in reading and at_other)
    return Wrong.NONE_IS_HALF in reading and not at_other


def half_made(at_source: bool, at_other: bool, reading: Reading) -> bool:
    """A half normal holds unless a plug is in the other row."""
    if Wrong.HALF_IS_FULL in reading:
        return not (at_source or at_other)
    return not (at_source if Wrong.HALF_BREAKS_AT_SOURCE in reading else at_other)


def full_made(at_source: bool, at_other: bool, reading: Reading) -> bool:
    """A full normal holds unless a plug is in either row."""
    if Wrong.FULL_NEVER_BREAKS in reading:
        return True
    return not at_other if Wrong.FULL_IS_HALF in reading else not (at_source or at_other)


def link_made(setting: str, source: str, other: str, at_other: bool, reading: Reading) -> bool:
    """A link plug makes the normal from the other row, where a cord would take its place."""
    corded = at_other and Wrong.LINK_PLUG_IGNORES_CORDS not in reading
    if setting == "out" and Wrong.LINK_OUT_IS_BOTTOM in reading:
        setting = other
    if setting == source and Wrong.LINK_PLUG_IN_SOURCE_JOINS in reading:
        setting = other
    return setting == other and not corded


def sideways_made(a: str, b: str, breaks: str, written: Written, state: State, reading: Reading) -> bool:
    """Whether a `[[normal]]` joins its two jacks."""
    at_a, at_b = (state.plugged(j, reading) or links_there(j, written, state, reading) for j in (a, b))
    if breaks == "never" and Wrong.NORMAL_NEVER_IS_TO not in reading:
        return True
    if breaks == "both" and Wrong.NORMAL_BOTH_IS_TO not in reading:
        return not (at_a or at_b)
    if breaks == "from" and Wrong.NORMAL_FROM_IS_TO not in reading:
        return not at_a
    return not at_b


def links_there(jack: str, written: Written, state: State, reading: Reading) -> bool:
    """Whether a link plug sits in this jack; asked by a wrong reading only."""
    bay, row, number = written.jacks[jack]
    if Wrong.LINK_PLUG_IS_A_PLUG not in reading:
        return False
    return any(
        c.links and state.links.get((c.bay, c.number), c.setting) == row
        for c in written.columns
        if (c.bay, c.number) == (bay, number)
    )


def joints_of_mults(written: Written, state: State, reading: Reading) -> Iterator[Joint]:
    """A mult joins all of its jacks."""
    for mult in written.mults:
        pairs = zip(mult[::2], mult[1::2], strict=False) if Wrong.MULT_IN_PAIRS in reading else combinations(mult, 2)
        for a, b in pairs:
            broken = Wrong.MULT_BROKEN_BY_PLUGS in reading and (state.plugged(a, reading) or state.plugged(b, reading))
            if not broken:
                yield Joint((a, "rear"), (b, "rear"))


def contact_at(written: Written, place: str, side: str) -> Contact:
    """The contact of a place that something meets from this side."""
    return (place, side) if place in written.jacks else (place, "port")


def joints_of_cables(written: Written, reading: Reading) -> Iterator[Joint]:
    """Cables join the rears of jacks and ports."""
    for c in written.cables:
        ports = [written.ports[p] for p in (c.a, c.b) if p in written.ports]
        gone = Wrong.AWAY_CABLES_GO in reading and any(port.away for port in ports)
        if not gone:
            turned = c.reversed and Wrong.CABLE_POLARITY_IGNORED not in reading
            yield Joint(contact_at(written, c.a, "rear"), contact_at(written, c.b, "rear"), turned)


def joints_of_cords(written: Written, state: State, reading: Reading) -> Iterator[Joint]:
    """Cords join the fronts of jacks, and the faces of ports."""
    for (a, b), reverse in state.cords.items():
        turned = reverse and Wrong.CORD_POLARITY_IGNORED not in reading
        yield Joint(contact_at(written, a, "front"), contact_at(written, b, "front"), turned)


def is_away(written: Written, unit: str) -> bool:
    """Whether this unit is away."""
    return any(port.away for port in written.ports.values() if port.unit == unit)


def hardwired_there(written: Written, inside: Inside, reading: Reading) -> bool:
    """Whether this is a hardwired inside of a unit that is not away."""
    away = is_away(written, inside.unit) and Wrong.AWAY_HARDWIRED_STAYS not in reading
    return inside.kind == "hardwired" and not away


def joints_of_insides(written: Written, state: State, reading: Reading) -> Iterator[Joint]:
    """Closed hardwired insides join ports."""
    for inside in written.insides:
        if hardwired_there(written, inside, reading) and closed(written, state, inside, reading):
            turned = inside.reversed and Wrong.HARDWIRED_POLARITY_IGNORED not in reading
            for (a, _), (b, _) in inside.pairs:
                yield Joint((a, "port"), (b, "port"), turned)
