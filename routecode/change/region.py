"""The part of a state in which two states may differ, as a graph of its own: what a difference costs follows what differs.

Outside a region both states have the same feeds, insides and paths; no path leads out of it or into it.
"""

from collections.abc import Iterable
from functools import cached_property

from routecode.change.matched import Matched
from routecode.circuit.paths import Edges, Flow
from routecode.circuit.reach import Reach, ways_of
from routecode.circuit.state import State


class RegionFlow(Flow):
    """The graph of a state over some vertices (its own numbers), closed under its edges both ways."""

    def __init__(self, reach: Reach, vertices: Iterable[int]) -> None:
        self.state = reach.state
        self.plant = reach.plant
        self.down: Edges = {}
        self.fed: set[int] = set()
        self.drives: set[int] = set()
        self.controls: set[tuple[int, int]] = set()
        self._offsets: dict[int, frozenset[int]] = {}
        """Kit (by `id`) -> the channels in it that some inside leads to."""
        for vertex in vertices:
            below = reach.down(vertex)
            if not below:
                continue
            self.down[vertex] = below
            if vertex % 2:
                self.drives.add(vertex // 2)
                self.fed.update(other // 2 for other in below)

    @cached_property
    def idle_able(self) -> set[int]:
        """Channels of the region that some inside of their unit leads to, closed or not."""
        return {channel for channel in self.drives if self._brought(channel)}

    def _brought(self, channel: int) -> bool:
        unit = self.plant.unit_of(self.plant.node_of(channel))
        offsets = self._offsets.get(id(unit.kit))
        if offsets is None:
            offsets = self._offsets[id(unit.kit)] = frozenset(ways_of(unit.kit).up)
        return channel - unit.first_channel in offsets


class Seeing:
    """A state of one plant seen from numbers that two states share; None: its own numbers are the shared ones."""

    def __init__(self, state: State, matched: Matched | None = None, side: str = "") -> None:
        self.reach = Reach(state)
        self.matched = matched
        self.side = side

    def near(self, vertex: int) -> list[int]:
        """The vertices next to a shared vertex, both ways."""
        own = self.own(vertex)
        return [] if own < 0 else [self.shared(other) for other in (*self.reach.down(own), *self.reach.up(own))]

    def own(self, vertex: int) -> int:
        """The state's own number of a shared vertex; -1 where it has none."""
        if self.matched is None:
            return vertex
        channel = self.matched.own_channel(self.side, vertex // 2)
        return -1 if channel < 0 else 2 * channel + vertex % 2

    def shared(self, vertex: int) -> int:
        """The shared number of a state's own vertex."""
        return vertex if self.matched is None else 2 * self.matched.shared_channel(self.side, vertex // 2) + vertex % 2

    def flow(self, region: Iterable[int]) -> RegionFlow:
        """The graph over a region given in shared vertices."""
        owns = (self.own(vertex) for vertex in region)
        return RegionFlow(self.reach, sorted(own for own in owns if own >= 0))


def region_of(channels: Iterable[int], states: tuple[Seeing, Seeing]) -> set[int]:
    """All shared vertices that are connected, in either state, with what these shared channels receive or drive."""
    seen = {vertex for channel in channels for vertex in (2 * channel, 2 * channel + 1)}
    queue = list(seen)
    for vertex in queue:
        for state in states:
            for other in state.near(vertex):
                if other not in seen:
                    seen.add(other)
                    queue.append(other)
    return seen
