"""What can be reached from many vertices of one graph, each at the cost of what its neighbours do not share."""

from collections.abc import Callable, Sequence

Step = Callable[[int], Sequence[int]]


class Closures:
    """Everything that `step` leads to from a vertex, the vertex among it; vertices that lead on to the same ones share the work."""

    def __init__(self, step: Step) -> None:
        self._step = step
        self._of: dict[int, frozenset[int]] = {}
        self._beyond: dict[tuple[int, ...], frozenset[int]] = {}

    def of(self, vertex: int) -> frozenset[int]:
        """The vertex and all it leads to."""
        found = self._of.get(vertex)
        if found is None:
            found = self._of[vertex] = self._closure(vertex)
        return found

    def _closure(self, vertex: int) -> frozenset[int]:
        chain, following = [vertex], self._step(vertex)
        while len(following) == 1 and following[0] not in chain:
            chain.append(following[0])
            following = self._step(following[0])
        key = tuple(sorted(set(following)))
        beyond = self._beyond.get(key)
        if beyond is None:
            beyond = self._beyond[key] = self._flood(key)
        return beyond.union(chain)

    def _flood(self, starts: tuple[int, ...]) -> frozenset[int]:
        seen = set(starts)
        queue = list(starts)
        for vertex in queue:
            for other in self._step(vertex):
                if other not in seen:
                    seen.add(other)
                    queue.append(other)
        return frozenset(seen)
