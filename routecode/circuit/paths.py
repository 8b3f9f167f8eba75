"""Exact paths of a state: sources, destinations, which reaches which, and feedback.

Vertices are what a channel receives (even numbers) and what it drives (odd): channel c receives at 2c and drives at 2c + 1.
"""

from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import NamedTuple

from routecode.circuit.feeds import Link, links_of_net, routed_links
from routecode.circuit.loops import strongly_connected
from routecode.circuit.passive import two_way
from routecode.circuit.plant import BOTH, Branch, Plant
from routecode.circuit.state import State, channels_of

Edges = dict[int, list[int]]


class Path(NamedTuple):
    """A source and a destination joined by feeds and insides, by names. `idle`: the source's unit could bring something and gets nothing."""

    source: str
    target: str
    idle: bool


class Loop(NamedTuple):
    """Feedback: the channels of one loop, sorted; `controlled` where no loop is left without its faders and crosspoints."""

    channels: tuple[str, ...]
    controlled: bool


class Flow:
    """The directed graph of a state: feeds and closed insides."""

    def __init__(self, state: State, parts: Iterable[Link] | None = None) -> None:
        self.state = state
        self.plant: Plant = state.plant
        self.down: Edges = {}
        """Vertex -> vertices it leads to. Feeds marked `either` are not in it."""
        self.fed: set[int] = set()
        """Channels that receive a feed."""
        self.drives: set[int] = set()
        """Channels that drive a feed."""
        self.controls: set[tuple[int, int]] = set()
        """Edges of insides with a control."""
        for link in self._further(state) if parts is None else parts:
            if not link.either:
                self._feed(link)
        self._insides()

    def _further(self, state: State) -> Iterator[Link]:
        """Take in the nets that join one port to one port of one channel, as most do; give the feeds of the others."""
        plant, down, fed, gives = self.plant, self.down, self.fed, self.drives
        channels, first, direction = plant.channels, plant.first_channel, plant.direction
        for net in state.all_nets():
            drives, hears = net.drives, net.hears
            if len(drives) != 1 or len(hears) != 1:
                if drives and hears:
                    yield from links_of_net(state, net)
                continue
            driver, hearer = drives[0], hears[0]
            plain = channels[driver] == 1 == channels[hearer] and driver != hearer and direction[driver] != BOTH
            if not plain or net.either or net.kinds & (net.kinds - 1):
                yield from links_of_net(state, net)
                continue
            source, target = first[driver], first[hearer]
            down.setdefault(2 * source + 1, []).append(2 * target)
            fed.add(target)
            gives.add(source)
        yield from routed_links(state)

    def _feed(self, link: Link) -> None:
        for step in range(link.width):
            source, target = link.source + step, link.target + step
            self.down.setdefault(2 * source + 1, []).append(2 * target)
            self.fed.add(target)
            self.drives.add(source)

    def _insides(self) -> None:
        for source, target, branch in closed_branches(self.state):
            self.down.setdefault(2 * source, []).append(2 * target + 1)
            if branch.control != "none":
                self.controls.add((2 * source, 2 * target + 1))

    @cached_property
    def up(self) -> Edges:
        """The same edges backwards."""
        up: Edges = {}
        for vertex, others in self.down.items():
            for other in others:
                up.setdefault(other, []).append(vertex)
        return up

    @cached_property
    def groups(self) -> list[list[int]]:
        """Strongly connected groups, each after all that it leads to."""
        return strongly_connected(self.down)

    @cached_property
    def loops(self) -> list[list[int]]:
        """The groups of more than one vertex."""
        return [] if self._without_loops is not None else [group for group in self.groups if len(group) > 1]

    @cached_property
    def idle_able(self) -> set[int]:
        """Channels that some inside of their unit leads to, closed or not."""
        return brought(self.plant)

    @cached_property
    def sources(self) -> dict[int, bool]:
        """Source channels, each with whether it is idle."""
        sources: dict[int, bool] = {}
        for channel in self.drives:
            givers = self.up.get(2 * channel + 1, ())
            if not any(giver // 2 in self.fed for giver in givers):
                sources[channel] = channel in self.idle_able
        for loop in self.loops:
            members = set(loop)
            if all(
                giver in members or self._brings_nothing(giver) for vertex in loop for giver in self.up.get(vertex, ())
            ):
                sources.update({vertex // 2: False for vertex in loop if vertex % 2 and vertex // 2 in self.drives})
        return sources

    def _brings_nothing(self, vertex: int) -> bool:
        """Whether a vertex is an input at which nothing arrives."""
        return not vertex % 2 and vertex // 2 not in self.fed

    @cached_property
    def destinations(self) -> set[int]:
        """Channels that receive and lead no further."""
        return {
            channel
            for channel in self.fed
            if not any(target // 2 in self.drives for target in self.down.get(2 * channel, ()))
        }

    @cached_property
    def reached(self) -> dict[int, frozenset[int]]:
        """Vertex -> destination channels it reaches."""
        if self._without_loops is not None:
            return self._without_loops
        reached: dict[int, frozenset[int]] = {}
        nothing: frozenset[int] = frozenset()
        destinations = self.destinations
        for group in self.groups:
            found: list[frozenset[int]] = []
            own = {vertex // 2 for vertex in group if not vertex % 2 and vertex // 2 in destinations}
            for vertex in group:
                for other in self.down.get(vertex, ()):
                    ends = reached.get(other, nothing)
                    if ends and not any(ends is one for one in found):
                        found.append(ends)
            ends = found[0] if len(found) == 1 and not own else frozenset(own).union(*found)
            for vertex in group:
                reached[vertex] = ends
        return reached

    @cached_property
    def _without_loops(self) -> dict[int, frozenset[int]] | None:
        """What `reached` says, worked out depth first; None as soon as a loop is met, as in few states."""
        down, destinations = self.down, self.destinations
        reached: dict[int, frozenset[int]] = {}
        for start in down:
            vertex, chain = start, []
            while vertex not in reached:  # most vertices lead to one other
                others = down.get(vertex, ())
                if len(others) != 1:
                    if not self._reach_below(vertex, reached):
                        return None
                    break
                reached[vertex] = _OPEN
                chain.append(vertex)
                vertex = others[0]
            ends = reached[vertex]
            if ends is _OPEN:
                return None
            for one in reversed(chain):
                if not one % 2 and one // 2 in destinations:
                    ends = ends | {one // 2}
                reached[one] = ends
        return reached

    def _reach_below(self, start: int, reached: dict[int, frozenset[int]]) -> bool:
        """Fill `reached` for a vertex and all below it; whether no loop was met."""
        stack = [start]
        while stack:
            vertex = stack[-1]
            found, others = reached.get(vertex), self.down.get(vertex, ())
            if found is None:
                reached[vertex] = _OPEN
                waiting = [other for other in others if other not in reached]
                if any(reached.get(other) is _OPEN for other in others):
                    return False
                if waiting:
                    stack += waiting
                    continue
            stack.pop()
            if found is None or found is _OPEN:
                own = () if vertex % 2 or vertex // 2 not in self.destinations else (vertex // 2,)
                sets = [reached[other] for other in others]
                reached[vertex] = sets[0] if len(sets) == 1 and not own else frozenset(own).union(*sets)
        return True

    def count(self) -> int:
        """How many paths there are."""
        return sum(len(self.reached.get(2 * source + 1, ())) for source in self.sources)

    def pairs(self) -> Iterator[tuple[int, int, bool]]:
        """(source channel, destination channel, idle) of every path, in no order."""
        for source, idle in self.sources.items():
            for target in self.reached.get(2 * source + 1, ()):
                yield source, target, idle

    def paths(self) -> tuple[Path, ...]:
        """All paths by names, sorted."""
        names: dict[int, str] = {}

        def name(channel: int) -> str:
            found = names.get(channel)
            if found is None:
                found = names[channel] = self.plant.channel_name(channel)
            return found

        return tuple(sorted({Path(name(source), name(target), idle) for source, target, idle in self.pairs()}))

    def feedback(self) -> tuple[Loop, ...]:
        """All loops by names, sorted."""
        return tuple(
            sorted(
                Loop(tuple(sorted({self.plant.channel_name(vertex // 2) for vertex in loop})), self._controlled(loop))
                for loop in self.loops
            )
        )

    def _controlled(self, loop: list[int]) -> bool:
        members = set(loop)
        fixed = {
            vertex: [
                other
                for other in self.down.get(vertex, ())
                if other in members and (vertex, other) not in self.controls
            ]
            for vertex in loop
        }
        return all(len(group) == 1 for group in strongly_connected(fixed))


_OPEN: frozenset[int] = frozenset((-1,))
"""Stands for what a vertex reaches while that is being worked out; told apart by identity."""


def closed_branches(state: State) -> Iterator[tuple[int, int, Branch]]:
    """Closed insides of a state: (from channel, to channel, branch); two-way ones the way they take."""
    plant = state.plant
    taken = state.passives.taken
    for unit in plant.units.values():
        if unit.written.away is not None:
            continue
        for branch in unit.kit.branches:
            if branch.conditional and not state.closed(unit, branch):
                continue
            source, target = channels_of(unit, branch)
            a, b = unit.first + branch.source, unit.first + branch.target
            if branch.kind != "active" and two_way(plant, a, b, branch):
                if (b, a) in taken:
                    yield target, source, branch
                if (a, b) not in taken:
                    continue
            yield source, target, branch


def brought(plant: Plant) -> set[int]:
    """Channels that some inside of their unit leads to, closed or not (hardwired ones do not count)."""
    found: set[int] = set()
    for unit in plant.units.values():
        for branch in unit.kit.branches:
            source, target = channels_of(unit, branch)
            found.add(target)
            if branch.kind != "active" and two_way(
                plant, unit.first + branch.source, unit.first + branch.target, branch
            ):
                found.add(source)
    return found
