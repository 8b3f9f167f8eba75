"""Where a way breaks off: the last places of a path that are still reached on the other side, and what was beyond them.

Read from the side that has the path (`has`) against the side that lacks it (`lacks`): for a lost path before against after,
for a gained one after against before.
"""

import itertools
from collections import Counter
from collections.abc import Iterator
from typing import NamedTuple

from routecode.change.closures import Closures
from routecode.change.view import View, nodes_between
from routecode.circuit.plant import EITHER

Edge = tuple[int, int]
"""Two vertices: a feed (odd to even) or an inside (even to odd)."""


class Break(NamedTuple):
    """One edge that a path takes on the one side and that is not there on the other.

    For a feed `at` and `beyond` are the two nodes whose joint is missing (both -1: every joint is there, and still no feed).
    For an inside they are the two ports.
    """

    edge: Edge
    at: int
    beyond: int

    @property
    def is_feed(self) -> bool:
        """A feed, not an inside."""
        return bool(self.edge[0] % 2)


class _Less:
    """The graph of one side without the edges that the other lacks. It knows nothing of who asks, so that nothing holds itself."""

    def __init__(self, has: View, lacks: View) -> None:
        self._has = has
        self._lacks = lacks
        self._gone: dict[int, tuple[int, ...]] = {}

    def gone(self, vertex: int) -> tuple[int, ...]:
        """The vertices it leads to on the one side only."""
        found = self._gone.get(vertex)
        if found is None:
            kept = set(self._lacks.down(vertex))
            found = self._gone[vertex] = tuple(
                sorted(other for other in set(self._has.down(vertex)) if other not in kept)
            )
        return found

    def below(self, vertex: int) -> list[int]:
        """The vertices it leads to on both sides."""
        missing = self.gone(vertex)
        below = self._has.down(vertex)
        return [other for other in below if other not in missing] if missing else below


class Frontier:
    """Finds the breaks of the paths of one side against the other; keeps what it has worked out."""

    def __init__(self, has: View, lacks: View) -> None:
        self.has = has
        self.lacks = lacks
        self._down = Closures(has.down)
        self._up = Closures(has.up)
        self._other = Closures(lacks.down)
        self._less = _Less(has, lacks)
        self._kept = Closures(self._less.below)
        self._wires: dict[int, tuple[int, ...]] = {}
        self._rims: dict[int, tuple[Edge, ...]] = {}
        self._breaks: dict[Edge, Break] = {}

    def below(self, channel: int) -> frozenset[int]:
        """What a source reaches where the path is."""
        return self._down.of(2 * channel + 1)

    def above(self, channel: int) -> frozenset[int]:
        """What reaches a destination where the path is."""
        return self._up.of(2 * channel)

    def ways(self, source: int, target: int) -> int:
        """How many ways lead from a source to a destination, counted and not walked; 0 where some of them pass a loop."""
        between = self.below(source) & self.above(target)
        below = {vertex: [other for other in self.has.down(vertex) if other in between] for vertex in between}
        waits = Counter(other for others in below.values() for other in others)
        counts, ready = Counter({2 * source + 1: 1}), [2 * source + 1]
        for vertex in ready:
            for other in below.get(vertex, ()):
                counts[other] += counts[vertex]
                waits[other] -= 1
                if not waits[other]:
                    ready.append(other)
        return counts[2 * target] if len(ready) == len(between) else 0

    def joined(self, source: int, target: int) -> bool:
        """Whether the side without the path still joins its ends, though they are not both ends there.

        A passive port that the signal only passes there is joined with all that drives its wire.
        """
        ends = {2 * target, *self._wire(target)}
        starts = (2 * source + 1, *self._wire(source))
        return any(start in ends or not ends.isdisjoint(self._other.of(start)) for start in starts)

    def _wire(self, channel: int) -> tuple[int, ...]:
        """The vertices that drive the wire of a passive port, where the side without the path only passes that port."""
        found = self._wires.get(channel)
        if found is None:
            found = self._wires[channel] = tuple(self._driving(channel))
        return found

    def _driving(self, channel: int) -> Iterator[int]:
        view, shared = self.lacks, self.lacks.matched.shared_channel
        own = view.matched.own_channel(view.side, channel)
        node = view.plant.node_of(own) if own >= 0 else -1
        net = view.state.net_of(node) if own >= 0 and view.plant.direction[node] == EITHER else None
        if (
            net is None
            or net.mixed
            or net.either
            or node in net.ends
            or view.plant.unit_of(node).written.away is not None
        ):
            return
        step = own - view.plant.channels_of(node)[0]
        for driver in net.drives:
            channels = view.plant.channels_of(driver)
            if driver != node and step < len(channels):
                yield 2 * shared(view.side, channels[step]) + 1

    def gone(self, vertex: int) -> tuple[int, ...]:
        """The vertices it leads to on the one side only."""
        return self._less.gone(vertex)

    def _rim(self, source: int) -> tuple[Edge, ...]:
        """The first edges below a source that are not on the other side, whichever way they lead."""
        found = self._rims.get(source)
        if found is None:
            reached = self._kept.of(2 * source + 1)
            edges = ((vertex, other) for vertex in reached for other in self.gone(vertex))
            found = self._rims[source] = tuple(sorted(edges))
        return found

    def edges(self, source: int, target: int) -> tuple[Edge, ...]:
        """The first edges on the ways from source to target that are not on the other side, sorted."""
        up = self.above(target)
        return tuple(edge for edge in self._rim(source) if edge[1] in up)

    def explain(self, edge: Edge) -> Break:
        """The joint that a missing edge lacks."""
        found = self._breaks.get(edge)
        if found is None:
            found = self._breaks[edge] = self._explain(edge)
        return found

    def _explain(self, edge: Edge) -> Break:
        a, b = self.has.vertex_node(edge[0]), self.has.vertex_node(edge[1])
        if not edge[0] % 2:
            return Break(edge, a, b)
        way = nodes_between(self.has, a, b)
        for near, far in itertools.pairwise(way):
            if far not in self.lacks.joined(near):
                return Break(edge, near, far)
        return Break(edge, -1, -1)
