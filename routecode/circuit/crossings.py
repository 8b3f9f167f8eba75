"""The ways that a signal could take from a source to a destination over one, two or three cords more, best first.

Could: who drives and who receives on a wire, and which families meet there, is settled only when a state with these cords is
compiled (`cords`). Here every passive port may do both, so that no way is missed; what surely fails is left out.
"""

from collections.abc import Callable, Iterable, Iterator
from functools import cached_property
from heapq import nsmallest
from typing import NamedTuple

from routecode.circuit.corded import Ends, Fits
from routecode.circuit.fronts import Front, Fronts
from routecode.circuit.plant import BOTH, EITHER, IN, OUT, Plant
from routecode.circuit.reach import Reach

MOST_PLACES = 6_000
"""Ports and jacks of a studio in which ways of more than one cord are looked for: what lies between may be anywhere."""
MOST_NEAR = 2_000
"""Channels that are followed from a source, and back from a destination."""
MOST_FRONTS = 200
"""Fronts at each end of a cord that are weighed against each other, the best first."""
MOST_WAYS = 400
"""Ways of one number of cords that are kept, the best first."""
MOST_TAILS = 4
"""Ways onward that are kept for one front and hearer in the middle, the best first."""

Name = tuple[object, ...]


class Way(NamedTuple):
    """Cords (front that gives the signal, front that takes it) from source to destination. Smaller is better.

    `breaks`: normals with a signal that they open, and twice for each port that already drives a wire where they bring a signal;
    `awkward`: fronts that are no jack, are reserved, or hold a link plug; `passed`: channels passed.
    """

    breaks: int
    awkward: int
    passed: int
    names: tuple[Name, ...]
    cords: tuple[Ends, ...]


class Wanted(NamedTuple):
    """A front at which a signal is wanted: `hearer` is the channel that hears it; on from there over the cords of `tail`."""

    breaks: int
    awkward: int
    passed: int
    names: tuple[Name, ...]
    front: Front
    hearer: int
    tail: tuple[Ends, ...]


class Given(NamedTuple):
    """A front at which the signal can be had that the channel `driver` drives."""

    breaks: int
    awkward: int
    passed: int
    name: Name
    front: Front
    driver: int


class Crossings:
    """Ways in one state. What is worked out for one question is kept for the next."""

    def __init__(self, reach: Reach, fronts: Fronts, fits: Fits) -> None:
        self.reach = reach
        self.fronts = fronts
        self.fits = fits
        self.plant: Plant = reach.plant
        self._back: dict[int, tuple[tuple[int, int], ...]] = {}
        self._before_hearer: dict[int, list[tuple[Front, int, int, Name]]] = {}
        self._wanted: dict[Ends, list[Wanted]] = {}
        self._inside: dict[int, list[int]] = {}
        self._near_cut: set[int] = set()
        self._cut: set[Ends] = set()
        """(destination, cords) where not everything was looked at."""
        self._fewer: set[Ends] = set()
        """(destination, cords) where not every way onward was kept: no matter where nothing leads to any of them."""
        self._fit: dict[tuple[int, int], bool] = {}

    def ways(self, pair: Ends, cords: int) -> tuple[list[Way], bool]:
        """Ways of so many cords, best first, and whether these are all there are."""
        source, target = pair
        given, wanted = self.given(source), self.wanted(target, cords)
        found = nsmallest(MOST_WAYS + 1, self._joined(given[:MOST_FRONTS], wanted[: MOST_FRONTS * cords]))
        levels = {(target, level) for level in range(1, cords + 1)}
        cut = bool(levels & self._cut or (found and levels & self._fewer)) or not self._near_cut.isdisjoint(pair)
        whole = not cut and len(given) <= MOST_FRONTS and len(wanted) <= MOST_FRONTS * cords
        return found[:MOST_WAYS], whole and len(found) <= MOST_WAYS

    def _joined(self, given: Iterable[Given], wanted: list[Wanted]) -> Iterator[Way]:
        for one in given:
            for other in wanted:
                if self._joins(one, other):
                    yield Way(
                        one.breaks + other.breaks,
                        one.awkward + other.awkward,
                        one.passed + other.passed,
                        (one.name, *other.names),
                        ((one.front.node, other.front.node), *other.tail),
                    )

    def _joins(self, given: Given, wanted: Wanted) -> bool:
        """Whether a cord from one front to the other could bring the signal."""
        if not self._apart(given.front, wanted.front, wanted.tail):
            return False
        port = self.plant.node_of(given.driver)
        if _separate(given.front, wanted.front) and (wanted.front.drivers or given.front.drivers - {port}):
            return False  # two outputs on one wire
        return self._hears(given.driver, wanted.hearer)

    def _apart(self, front: Front, other: Front, tail: tuple[Ends, ...]) -> bool:
        """Whether a cord between two fronts joins what is not joined, and uses no front twice."""
        if front.node == other.node or _joined_anyway(front, other) or _joined_anyway(other, front):
            return False
        return not any(front.node in cord for cord in tail)

    def _hears(self, driver: int, hearer: int) -> bool:
        """Whether a channel hears a driving one once both are on one wire."""
        plant = self.plant
        a, b = plant.node_of(driver), plant.node_of(hearer)
        if a == b or BOTH in (plant.direction[a], plant.direction[b]):
            return a != b and (driver, hearer) in self.reach.state.routes
        if plant.family[a] != plant.family[b] or driver - plant.first_channel[a] != hearer - plant.first_channel[b]:
            return False
        if (a, b) not in self._fit:
            self._fit[a, b] = self.fits(plant, a, b)
        return self._fit[a, b]

    # -- the two ends ---------------------------------------------------------------------------------------------------

    def given(self, source: int) -> list[Given]:
        """Where the signal of a source can be had, best first."""
        found = [
            self._given(front, channel, passed)
            for channel, passed in self._forward(source)
            for front in self.fronts.at(self.plant.node_of(channel))
        ]
        return sorted(found)

    def _given(self, front: Front, channel: int, passed: int) -> Given:
        return Given(front.breaks, front.awkward, passed, self.fronts.key(front.node), front, channel)

    def wanted(self, target: int, cords: int) -> list[Wanted]:
        """Where a signal is wanted so that it reaches a destination, with one cord into that front and so many in all; best first."""
        key = (target, cords)
        if key not in self._wanted:
            found = self._wanted_at(target, 0, 0, 0, (), ()) if cords == 1 else self._before(target, cords)
            self._wanted[key] = sorted(found)
        return self._wanted[key]

    def _wanted_at(
        self, hearer: int, breaks: int, awkward: int, passed: int, names: tuple[Name, ...], tail: tuple[Ends, ...]
    ) -> Iterator[Wanted]:
        """The fronts at which a signal can be brought to a channel, or to one that leads to it."""
        used = {node for cord in tail for node in cord}
        for front, channel, steps, name in self._fronts_before(hearer):
            if front.node not in used:
                cost = (breaks + front.breaks + 2 * front.crowd, awkward + front.awkward, passed + steps)
                yield Wanted(*cost, (name, *names), front, channel, tail)

    def _fronts_before(self, hearer: int) -> list[tuple[Front, int, int, Name]]:
        """(front, channel that hears it, channels passed to the hearer, name of the front)."""
        found = self._before_hearer.get(hearer)
        if found is None:
            found = self._before_hearer[hearer] = [
                (front, channel, steps, self.fronts.key(front.node))
                for channel, steps in self._backward(hearer)
                for front in self.fronts.at(self.plant.node_of(channel))
            ]
        return found

    def _before(self, target: int, cords: int) -> list[Wanted]:
        """One cord more: through a unit that gives what is wanted, or along a wire that nothing drives."""
        later = self.wanted(target, cords - 1)
        if self.plant.hubs > MOST_PLACES:
            self._cut.add((target, cords))
            return []
        if len(later) > MOST_FRONTS:
            self._cut.add((target, cords))
        best: dict[Ends, set[Wanted]] = {}
        for one in later[:MOST_FRONTS]:
            for given in self.everywhere.get(self._kind(one.hearer), ()):
                if self._joins(given, one):
                    cord = ((given.front.node, one.front.node), *one.tail)
                    names = (given.name, *one.names)
                    first = (one.breaks + given.breaks, one.awkward + given.awkward, one.passed + 1)
                    for channel in self._brings(given.driver):
                        for before in self._wanted_at(channel, *first, names, cord):
                            best.setdefault((before.front.node, before.hearer), set()).add(before)
            for before in self._along(one):
                best.setdefault((before.front.node, before.hearer), set()).add(before)
        if any(len(kept) > MOST_TAILS for kept in best.values()):
            self._fewer.add((target, cords))
        return [one for kept in best.values() for one in nsmallest(MOST_TAILS, kept)]

    def _along(self, one: Wanted) -> Iterator[Wanted]:
        """Over a wire with several fronts that nothing drives: a tie line, a mult."""
        for near, far in self.ties:
            if self._apart(near, one.front, one.tail) and far.node not in {
                one.front.node,
                *(n for c in one.tail for n in c),
            }:
                yield Wanted(
                    one.breaks + near.breaks + far.breaks,
                    one.awkward + near.awkward + far.awkward,
                    one.passed,
                    (self.fronts.key(far.node), self.fronts.key(near.node), *one.names),
                    far,
                    one.hearer,
                    ((near.node, one.front.node), *one.tail),
                )

    # -- what lies between ----------------------------------------------------------------------------------------------

    def _kind(self, channel: int) -> tuple[int, int]:
        """Family and place in its port: what must be equal on both sides of a cord. Network ports are apart."""
        plant = self.plant
        node = plant.node_of(channel)
        if plant.direction[node] == BOTH:
            return -1, 0
        return plant.family[node], channel - plant.first_channel[node]

    @cached_property
    def everywhere(self) -> dict[tuple[int, int], list[Given]]:
        """Where the signals of all units can be had that could bring something, by kind."""
        found: dict[tuple[int, int], list[Given]] = {}
        plant = self.plant
        for unit in plant.units.values():
            if unit.written.away is not None or not unit.kit.branches:
                continue
            for node in unit:
                if plant.direction[node] == IN:
                    continue
                fronts = self.fronts.at(node)
                for channel in plant.channels_of(node) if fronts else ():
                    if self._brings(channel):
                        kind = self._kind(channel)
                        found.setdefault(kind, []).extend(self._given(front, channel, 0) for front in fronts)
        return found

    @cached_property
    def ties(self) -> list[tuple[Front, Front]]:
        """Pairs of fronts that stay joined with plugs in both, on wires that nothing drives."""
        found = []
        for node in range(self.plant.ports, self.plant.hubs):
            front = self.fronts.front(node)
            if front is None or front.drivers:
                continue
            for other in sorted(front.wire):
                far = self.fronts.front(other) if other != node and other < self.plant.hubs else None
                if far is not None and node in far.wire and not far.drivers:
                    found.append((front, far))
        return found

    def _brings(self, channel: int) -> list[int]:
        """The channels that could bring a channel its signal inside its unit."""
        found = self._inside.get(channel)
        if found is None:
            found = self._inside[channel] = [one for one, _ in self.reach.insides(channel, back=True, loose=True)]
        return found

    # -- followed without a cord ----------------------------------------------------------------------------------------

    def _forward(self, source: int) -> tuple[tuple[int, int], ...]:
        """Driving channels that carry a source's signal as things stand, with the channels passed; itself first."""

        def step(channel: int) -> Iterator[int]:
            for hearer in self._on_wire(channel, (IN, EITHER)):
                for other, _ in self.reach.insides(hearer, loose=True):
                    yield other

        return self._followed(source, step)

    def _backward(self, target: int) -> tuple[tuple[int, int], ...]:
        """Receiving channels that lead to a destination as things stand, with the channels passed; itself first."""
        found = self._back.get(target)
        if found is None:

            def step(channel: int) -> Iterator[int]:
                for driver in self._on_wire(channel, (OUT, EITHER)):
                    for other, _ in self.reach.insides(driver, back=True, loose=True):
                        yield other

            found = self._back[target] = self._followed(target, step)
        return found

    def _followed(self, start: int, step: Callable[[int], Iterable[int]]) -> tuple[tuple[int, int], ...]:
        passed = {start: 0}
        queue = [start]
        for channel in queue:
            if len(queue) > MOST_NEAR:
                self._near_cut.add(start)
                break
            for other in step(channel):
                if other not in passed:
                    passed[other] = passed[channel] + 1
                    queue.append(other)
        return tuple(passed.items())

    def _on_wire(self, channel: int, ways: tuple[int, int]) -> list[int]:
        """The channels on one wire with a channel that could hear it, or drive it."""
        plant = self.plant
        node = plant.node_of(channel)
        if plant.direction[node] == BOTH:
            return self.reach.hearers(channel) if IN in ways else self.reach.drivers(channel)
        step = channel - plant.first_channel[node]
        return [
            plant.first_channel[other] + step
            for other in self.fronts.group(node)
            if other < plant.ports
            and other != node
            and plant.direction[other] in ways
            and plant.family[other] == plant.family[node]
            and step < plant.channels[other]
        ]


def _joined_anyway(front: Front, other: Front) -> bool:
    """Whether two fronts stay joined with plugs in both: the second of these opens nothing."""
    return not other.opens and other.node in front.wire


def _separate(front: Front, other: Front) -> bool:
    """Whether neither plug touches the other's wire."""
    return front.node not in other.wire and other.node not in front.wire
