"""Figures that moved: levels that arrive weaker or stronger by a decibel or more, and phantom power that comes or goes.

Only feeds that both sides have are looked at, round what differs: nets that a fact touches, cables described otherwise, ports and insides
with other figures, phantom power switched otherwise. Told where the level moves first; what follows behind an amplifier follows from it.
A level that rests on usual figures is not told.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import NamedTuple

from attrs import define, field

from routecode.change.changes import GAIN, NOT_REDUCED, NOTE, RISK, Change, identity_of
from routecode.change.claims import GONE, NEW
from routecode.change.delta import BOTH, StateDelta
from routecode.change.fact import Fact
from routecode.change.joints import differing_wires
from routecode.change.matched import AFTER, BEFORE, Matched
from routecode.change.words import Words, in_order, names_of, several
from routecode.circuit.circuit import Circuit
from routecode.circuit.parts import PlacedUnit
from routecode.figures.figures import Figures, StateFigures
from routecode.figures.phantom import Arriving
from routecode.figures.ports import ELECTRICAL
from routecode.ground.place import At

LEAST_DB = 1.0
"""What a level must move by to be told."""
MOST_TOLD = 3


class Moved(NamedTuple):
    """A level that arrives otherwise, in dBu; shared ports."""

    driver: int
    hearer: int
    was: float
    now: float


class Power(NamedTuple):
    """Phantom power that came to a port or went; `why` in words. Shared ports."""

    sense: str
    port: int
    needs: bool
    why: str
    hearer: int


@define(slots=False, eq=False)
class Figured:
    """The figures of two sides, compared."""

    matched: Matched
    facts: list[Fact]
    words: Words
    circuits: tuple[Circuit, Circuit]
    _figures: dict[str, Figures] = field(factory=dict, init=False)

    def changes(self, delta: StateDelta, old: str | None) -> list[Change]:
        """The changes of one state that both sides have; `old`: its setup as it reads before."""
        if delta.presence != BOTH:
            return []
        nodes = self._fixed | {node for fact in self.facts if fact.setup == delta.setup for node in fact.nodes}
        sides = self._state(BEFORE, old), self._state(AFTER, delta.setup)
        nodes |= self._switched(sides)
        if not nodes:
            return []
        found = [self._altered(group) for group in _grouped(self._moved(sides, nodes))]
        return found + [self._phantom(group) for group in _alike(self._powered(sides, nodes))]

    def _state(self, side: str, setup: str | None) -> StateFigures:
        if side not in self._figures:
            self._figures[side] = Figures(self.circuits[side == AFTER])
        return self._figures[side].state(setup)

    # -- where to look --------------------------------------------------------------------------------------------------

    @cached_property
    def _fixed(self) -> frozenset[int]:
        """Shared nodes round which figures may differ in every state."""
        nodes = {node for fact in self.facts if fact.setup is None for node in fact.nodes}
        for side, wires in zip((BEFORE, AFTER), differing_wires(self.matched), strict=True):
            nodes.update(self.matched.shared_node(side, end) for wire in wires for end in (wire.a, wire.b))
        nodes.update(self._redescribed())
        return frozenset(nodes | self._retyped())

    def _redescribed(self) -> Iterator[int]:
        """Ports of both sides whose figures, or the insides at them, are written otherwise."""
        units = self.matched.identity.units
        seen: dict[tuple[int, int], list[int]] = {}
        for name, old in self.matched.before.units.items():
            new = self.matched.after.units.get(units.get(name, name))
            if new is None or old.kit is new.kit:
                continue
            key = (id(old.kit), id(new.kit))
            if key not in seen:
                seen[key] = list(_figures_differ(old, new, self.matched.identity.ports.get(new.id, {})))
            yield from (new.first + index for index in seen[key])

    def _retyped(self) -> set[int]:
        """Ends of cables of a type that is described otherwise."""
        before, after = (self.matched.plant(side).studio.cable_type for side in (BEFORE, AFTER))
        changed = {
            name for name in before.keys() & after.keys() if _electrical(before[name]) != _electrical(after[name])
        }
        wires = self.matched.after.wires if changed else ()
        return {end for wire in wires if wire.type in changed for end in (wire.a, wire.b)}

    def _switched(self, sides: tuple[StateFigures, StateFigures]) -> set[int]:
        """Inputs whose phantom power is on on one side only."""
        shared = self.matched.shared_node
        old = {shared(BEFORE, node) for node in sides[0].phantom.on}
        return old ^ set(sides[1].phantom.on)

    # -- levels ---------------------------------------------------------------------------------------------------------

    def _moved(self, sides: tuple[StateFigures, StateFigures], nodes: Iterable[int]) -> Iterator[Moved]:
        after = sides[1]
        nets = {
            id(net): net
            for node in nodes
            if (own := self.matched.own_node(AFTER, node)) >= 0 and (net := after.state.net_of(own))
        }
        for net in nets.values():
            driver = after.analogue.driver(net)
            for hearer in net.hears if driver is not None else ():
                was, now = self._arriving(sides[0], BEFORE, driver, hearer), after.analogue.arriving(hearer)
                if driver is None or hearer == driver or was is None or now is None or now.default:
                    continue
                if abs(now.amount - was) >= LEAST_DB:
                    yield Moved(driver, hearer, was, now.amount)

    def _arriving(self, figures: StateFigures, side: str, driver: int | None, hearer: int) -> float | None:
        """The level that arrives on the before side over the same feed, where it rests on nothing usual."""
        if driver is None:
            return None
        one, other = (self.matched.own_node(side, node) for node in (driver, hearer))
        net = figures.state.net_of(other) if other >= 0 else None
        if net is None or one < 0 or figures.analogue.driver(net) != one:
            return None
        found = figures.analogue.arriving(other)
        return None if found is None or found.default else found.amount

    def _altered(self, group: list[Moved]) -> Change:
        first, drivers, hearers = group[0], [one.driver for one in group], [one.hearer for one in group]
        step = first.now - first.was
        reach = "reaches" if len(group) == 1 else "reach"
        text = (
            f"{self._names(drivers)} still {reach} {self._names(hearers)}, {abs(step):.0f} dB "
            f"{'stronger' if step > 0 else 'weaker'}. Before: {first.was:+.1f} dBu. Now: {first.now:+.1f} dBu."
        )
        return self._change("altered", None, NOTE, drivers, hearers, text)

    # -- phantom power --------------------------------------------------------------------------------------------------

    def _powered(self, sides: tuple[StateFigures, StateFigures], nodes: Iterable[int]) -> Iterator[Power]:
        """Driving ports that feed something on both sides and get phantom power on one."""
        seen: set[int] = set()
        for side, figures in zip((BEFORE, AFTER), sides, strict=True):
            for node in nodes:
                own = self.matched.own_node(side, node)
                net = figures.state.net_of(own) if own >= 0 else None
                for driver in net.drives if net is not None else ():
                    shared = self.matched.shared_node(side, driver)
                    if shared not in seen:
                        seen.add(shared)
                        yield from self._power(sides, shared)

    def _power(self, sides: tuple[StateFigures, StateFigures], port: int) -> Iterator[Power]:
        owns = [self.matched.own_node(side, port) for side in (BEFORE, AFTER)]
        if min(owns) < 0:
            return
        hears = [_hearers(figures, own) for figures, own in zip(sides, owns, strict=True)]
        there = [figures.phantom.at(own) for figures, own in zip(sides, owns, strict=True)]
        had, has = (arriving is not None and arriving.supplied for arriving in there)
        if not hears[0] or not hears[1] or had == has:
            return
        shared = [
            {self.matched.shared_node(side, node) for node in nodes}
            for side, nodes in zip((BEFORE, AFTER), hears, strict=True)
        ]
        needs = sides[1].state.plant.socket(owns[1]).written.phantom == "needs"
        if has:
            assert there[1] is not None
            givers = self._names(self.matched.shared_node(AFTER, node) for node in there[1].supplies)
            yield Power(NEW, port, needs, f"{givers} gives it", min(shared[1]))
            return
        yield Power(GONE, port, needs, self._why(sides[1], hears[1], there[1]), min(shared[1]))

    def _why(self, figures: StateFigures, hearers: list[int], arriving: Arriving | None) -> str:
        if arriving is not None:
            grounded = arriving.whole and arriving.grounded
            return "a leg is grounded on the way" if grounded else "a leg or the shield is open on the way"
        plant = figures.state.plant
        able = [node for node in hearers if plant.socket(node).written.phantom == "supply"]
        return f"{self._names(able)} has it switched off" if able else f"{self._names(hearers)} gives none"

    def _phantom(self, group: list[Power]) -> Change:
        first, ports = group[0], [one.port for one in group]
        verb = "get" if len(group) > 1 else "gets"
        if first.sense == NEW:
            text = f"{self._names(ports)} now {verb} phantom power: {first.why}."
        else:
            text = f"{self._names(ports)} no longer {verb} phantom power: {first.why}."
        harm = GAIN if first.sense == NEW and first.needs else RISK
        return self._change("phantom", first.sense, harm, ports, [one.hearer for one in group], text)

    # -- saying ---------------------------------------------------------------------------------------------------------

    def _names(self, nodes: Iterable[int]) -> str:
        pieces = in_order([self.words.node(node) for node in dict.fromkeys(nodes)])
        return several(pieces[:MOST_TOLD]) + (
            f" and {names_of(pieces[MOST_TOLD:])} more" if len(pieces) > MOST_TOLD else ""
        )

    def _change(
        self, kind: str, sense: str | None, harm: str, subjects: list[int], others: list[int], text: str
    ) -> Change:
        drives, hears = (tuple(sorted(set(map(self.matched.node_name, nodes)))) for nodes in (subjects, others))
        nodes = {*subjects, *others}
        facts = [fact for fact in self.facts if nodes & set(fact.nodes)]
        places = tuple(dict.fromkeys(fact.place for fact in facts)) or tuple(self._stated(nodes))
        units = tuple(sorted(self.words.units_of((), nodes)))
        made = identity_of(kind, sense, drives, hears)
        return Change(
            made, kind, sense, harm, drives, hears, units, None, places, frozenset(), NOT_REDUCED, text, (), ()
        )

    def _stated(self, nodes: set[int]) -> Iterator[tuple[str, At]]:
        """Where the units of some ports are written on the after side."""
        for node in sorted(nodes):
            own = self.matched.own_node(AFTER, node)
            if 0 <= own < self.matched.after.ports:
                yield AFTER, self.matched.after.unit_of(own).written.place


def _hearers(figures: StateFigures, port: int) -> list[int]:
    net = figures.state.net_of(port)
    return [node for node in net.hears if node != port] if net is not None and port in net.drives else []


def _figures_differ(old: PlacedUnit, new: PlacedUnit, names: dict[str, str]) -> Iterator[int]:
    """Sockets of the new kit whose figures, or those of an inside at them, are not those of the old one."""
    for socket in old.kit.sockets:
        index = new.kit.index.get(names.get(socket.name, socket.name))
        if index is None:
            continue
        other = new.kit.sockets[index].written
        if any(getattr(socket.written, key) != getattr(other, key) for key in ELECTRICAL):
            yield index
    insides = [
        {
            (kit.sockets[one.source].name, kit.sockets[one.target].name): (one.ratio, one.gain_db)
            for one in kit.branches
            if one.gain_db is not None or one.ratio != 1.0
        }
        for kit in (old.kit, new.kit)
    ]
    for _, target in {ends for ends, _ in insides[0].items() ^ insides[1].items()}:
        if target in new.kit.index:
            yield new.kit.index[target]


def _electrical(kind: object) -> tuple[object, ...]:
    return tuple(getattr(kind, key) for key in ("pf_per_metre", "ohms_per_km", "awg", "mm2", "ohms"))


def _grouped(found: Iterable[Moved]) -> list[list[Moved]]:
    """Levels that moved alike, together."""
    groups: dict[tuple[float, float], list[Moved]] = defaultdict(list)
    for one in found:
        groups[round(one.was, 1), round(one.now, 1)].append(one)
    return [groups[key] for key in sorted(groups)]


def _alike(found: Iterable[Power]) -> list[list[Power]]:
    groups: dict[tuple[str, bool, str], list[Power]] = defaultdict(list)
    for one in found:
        groups[one.sense, one.needs, _stem(one.why)].append(one)
    return [groups[key] for key in sorted(groups)]


def _stem(why: str) -> str:
    """The reason without the number of the port, so that neighbours are told together."""
    return why.rstrip("0123456789")
