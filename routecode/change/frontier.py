"""Where a way breaks off: the last places of a path that are still reached on the other side, and what was beyond them.

Read from the side that has the path (`has`) against the side that lacks it (`lacks`): for a lost path before against after,
for a gained one after against before.
"""

import itertools
from typing import NamedTuple

from routecode.change.view import View, nodes_between

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


class Frontier:
    """Finds the breaks of the paths of one side against the other; keeps what it has worked out."""

    def __init__(self, has: View, lacks: View) -> None:
        self.has = has
        self.lacks = lacks
        self._below: dict[int, set[int]] = {}
        self._above: dict[int, set[int]] = {}
        self._still: dict[int, set[int]] = {}
        self._gone: dict[int, tuple[int, ...]] = {}
        self._breaks: dict[Edge, Break] = {}

    def below(self, channel: int) -> set[int]:
        """What a source reaches where the path is."""
        vertex = 2 * channel + 1
        if vertex not in self._below:
            self._below[vertex] = self.has.below(vertex)
        return self._below[vertex]

    def above(self, channel: int) -> set[int]:
        """What reaches a destination where the path is."""
        vertex = 2 * channel
        if vertex not in self._above:
            self._above[vertex] = self.has.above(vertex)
        return self._above[vertex]

    def still(self, channel: int) -> set[int]:
        """What a source reaches where the path is not."""
        vertex = 2 * channel + 1
        if vertex not in self._still:
            self._still[vertex] = self.lacks.below(vertex)
        return self._still[vertex]

    def joined(self, source: int, target: int) -> bool:
        """Whether the side without the path still joins its ends, though they are no ends there."""
        return 2 * target in self.still(source)

    def gone(self, vertex: int) -> tuple[int, ...]:
        """The vertices it leads to on the one side only."""
        found = self._gone.get(vertex)
        if found is None:
            kept = set(self.lacks.down(vertex))
            found = self._gone[vertex] = tuple(
                sorted(other for other in set(self.has.down(vertex)) if other not in kept)
            )
        return found

    def edges(self, source: int, target: int) -> tuple[Edge, ...]:
        """The first edges on the ways from source to target that are not on the other side, sorted."""
        down, up = self.below(source), self.above(target)
        way = down & up
        start = 2 * source + 1
        seen, queue, found = {start}, [start], []
        for vertex in queue:
            missing = self.gone(vertex)
            found += [(vertex, other) for other in missing if other in way]
            for other in self.has.down(vertex):
                if other in way and other not in seen and other not in missing:
                    seen.add(other)
                    queue.append(other)
        return tuple(sorted(found))

    def all_edges(self, source: int) -> frozenset[Edge]:
        """Every edge below a source that is not on the other side."""
        return frozenset((vertex, other) for vertex in self.below(source) for other in self.gone(vertex))

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
