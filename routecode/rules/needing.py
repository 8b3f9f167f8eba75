"""How the needs of a setup stand, worked out around the channels they name. What is told of them is for the rules."""

from typing import NamedTuple

from routecode.circuit.loops import strongly_connected
from routecode.circuit.plant import IN, PlacedNeed
from routecode.circuit.reach import Reach, spread_out
from routecode.rules.rule import Scene


class Standing(NamedTuple):
    """A need: how many of its steps were reached in order, the vertices reached from the last of those, and other sources at its end."""

    need: PlacedNeed
    reached: int
    below: tuple[int, ...]
    others: tuple[int, ...]

    @property
    def exists(self) -> bool:
        """Whether the path is there."""
        return self.reached == len(self.need.steps)


def standings(scene: Scene) -> list[Standing]:
    """Every need of a setup; none unpatched."""
    needs = scene.placed.needs if scene.setup is not None else ()
    judge = _Judge(scene) if needs else None
    return [judge.standing(need) for need in needs] if judge else []


class _Judge:
    """The same answers as `circuit.needs.NeedJudge`, without the graph of the whole state."""

    def __init__(self, scene: Scene) -> None:
        self.plant = scene.plant
        self.reach = Reach(scene.state)

    def standing(self, need: PlacedNeed) -> Standing:
        starts = [self._start(need)]
        below: list[int] = []
        reached = 1
        for step in need.steps[1:]:
            below = spread_out(starts, self._down)
            if 2 * step not in below:
                break
            starts = [2 * step]
            reached += 1
        others = self._others(need) if need.written.only and reached == len(need.steps) else ()
        return Standing(need, reached, tuple(starts + below), others)

    def _start(self, need: PlacedNeed) -> int:
        first = need.steps[0]
        if self.plant.direction[self.plant.node_of(first)] == IN:
            return 2 * first
        return 2 * first + 1 if self._down(2 * first + 1) else 2 * first

    def _down(self, vertex: int) -> list[int]:
        return self.reach.down(vertex, either=True)

    def _others(self, need: PlacedNeed) -> tuple[int, ...]:
        """Sources other than the first step that reach the last."""
        first = need.steps[0]
        above = [2 * need.steps[-1], *spread_out([2 * need.steps[-1]], self.reach.up)]
        found = self._sources(above)
        found.discard(first)
        if self.plant.direction[self.plant.node_of(first)] == IN:
            found -= {vertex // 2 for vertex in spread_out([2 * first], self.reach.up) if vertex % 2}
        return tuple(sorted(found))

    def _sources(self, above: list[int]) -> set[int]:
        """The sources among vertices that hold everything leading to them."""
        found: set[int] = set()
        for vertex in above:
            if vertex % 2 and self.reach.hearers(vertex // 2):
                givers = self.reach.insides(vertex // 2, back=True)
                if not any(self.reach.drivers(giver) for giver, _ in givers):
                    found.add(vertex // 2)
        edges = {vertex: self.reach.up(vertex) for vertex in above}
        for group in strongly_connected(edges):
            members = set(group)
            if len(group) > 1 and all(giver in members for vertex in group for giver in edges[vertex]):
                found |= {vertex // 2 for vertex in group if vertex % 2 and self.reach.hearers(vertex // 2)}
        return found
