"""Which cords of a setup a need goes by: one shortest way from step to step, and the cords whose ends both lie on it."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from routecode.circuit.feeds import links
from routecode.circuit.parts import IN, PlacedCord
from routecode.circuit.paths import Flow
from routecode.circuit.state import State
from routecode.circuit.ways import jacks_between


class Serving:
    """The cords of one setup (legs of a Y-cord together), numbered from 1."""

    def __init__(self, state: State, flow: Flow, cords: Sequence[Sequence[PlacedCord]]) -> None:
        self.state, self.flow, self.corded = state, flow, cords
        self._either: dict[int, list[int]] = {}
        for link in links(state):
            for step in range(link.width if link.either else 0):
                self._either.setdefault(2 * (link.source + step) + 1, []).append(2 * (link.target + step))

    def cords(self, steps: Sequence[int]) -> tuple[int, ...]:
        """The numbers of the cords on the way through these channels; empty where it needs none, or where there is no way."""
        passed: set[int] = set()
        plant = self.state.plant
        first = steps[0]
        starts = [2 * first] if plant.direction[plant.node_of(first)] == IN else [2 * first + 1, 2 * first]
        for step in steps[1:]:
            way = self._way(starts, 2 * step)
            for source, target in pairwise(way):
                if source % 2:
                    passed.update(self._nodes(source // 2, target // 2))
            starts = [2 * step]
        return tuple(index for index, legs in enumerate(self.corded, 1) if any(_lies(leg, passed) for leg in legs))

    def _way(self, starts: Sequence[int], end: int) -> list[int]:
        """Vertices from one of the starts to the end, one shortest way."""
        came: dict[int, int] = dict.fromkeys(starts, -1)
        queue = list(starts)
        for vertex in queue:
            if vertex == end:
                break
            for other in (*self.flow.down.get(vertex, ()), *self._either.get(vertex, ())):
                if other not in came:
                    came[other] = vertex
                    queue.append(other)
        if end not in came:
            return []
        return list(_back(came, end))[::-1]

    def _nodes(self, source: int, target: int) -> Iterator[int]:
        """The ports and jacks of a feed."""
        plant = self.state.plant
        start, stop = plant.node_of(source), plant.node_of(target)
        yield from (start, stop)
        net = self.state.net_of(start)
        if net is not None and net is self.state.net_of(stop):
            yield from jacks_between(self.state, net, start).get(stop, ())


def _back(came: dict[int, int], end: int) -> Iterator[int]:
    while end >= 0:
        yield end
        end = came[end]


def _lies(cord: PlacedCord, passed: set[int]) -> bool:
    return cord.a.node in passed and cord.b.node in passed
