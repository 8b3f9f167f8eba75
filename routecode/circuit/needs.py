"""Needs of a setup: whether the path that must exist does, and what else reaches its end."""

from collections.abc import Iterable
from functools import cached_property
from typing import NamedTuple

from routecode.circuit.feeds import links
from routecode.circuit.paths import Flow
from routecode.circuit.plant import IN, PlacedNeed
from routecode.circuit.state import State


class Verdict(NamedTuple):
    """How a need stands: `met`; `reached` is how many steps were reached in order; `others` are other sources at its end (`only`)."""

    need: PlacedNeed
    met: bool
    reached: int
    others: tuple[str, ...]


class NeedJudge:
    """Judges the needs of one state over its feeds (those marked `either` included) and closed insides."""

    def __init__(self, state: State, flow: Flow | None = None) -> None:
        self.state = state
        self.flow = flow or Flow(state)

    @cached_property
    def _either(self) -> dict[int, list[int]]:
        found: dict[int, list[int]] = {}
        for link in links(self.state):
            if link.either:
                for step in range(link.width):
                    found.setdefault(2 * (link.source + step) + 1, []).append(2 * (link.target + step))
        return found

    def judge(self, need: PlacedNeed) -> Verdict:
        """One need."""
        plant = self.state.plant
        first = need.steps[0]
        direction = plant.direction[plant.node_of(first)]
        starts = [2 * first] if direction == IN else ([2 * first + 1] if self._starts(2 * first + 1) else [2 * first])
        reached = 1
        for step in need.steps[1:]:
            if 2 * step not in self._below(starts):
                break
            starts = [2 * step]
            reached += 1
        exists = reached == len(need.steps)
        others = self._others(need) if need.written.only and exists else ()
        if need.written.never:
            return Verdict(need, not exists, reached, ())
        return Verdict(need, exists and not others, reached, others)

    def _starts(self, vertex: int) -> bool:
        return bool(self.flow.down.get(vertex) or self._either.get(vertex))

    def _below(self, starts: Iterable[int]) -> set[int]:
        seen: set[int] = set()
        queue = list(starts)
        for vertex in queue:
            for other in (*self.flow.down.get(vertex, ()), *self._either.get(vertex, ())):
                if other not in seen:
                    seen.add(other)
                    queue.append(other)
        return seen

    def _others(self, need: PlacedNeed) -> tuple[str, ...]:
        """Sources other than the first step that reach the last."""
        last = need.steps[-1]
        seen = {2 * last}
        queue = [2 * last]
        for vertex in queue:
            for giver in self.flow.up.get(vertex, ()):
                if giver not in seen:
                    seen.add(giver)
                    queue.append(giver)
        sources = {vertex // 2 for vertex in seen if vertex % 2 and vertex // 2 in self.flow.sources}
        sources.discard(need.steps[0])
        if self.state.plant.direction[self.state.plant.node_of(need.steps[0])] == IN:
            sources -= {vertex // 2 for vertex in self._above(2 * need.steps[0]) if vertex % 2}
        return tuple(sorted(self.state.plant.channel_name(source) for source in sources))

    def _above(self, vertex: int) -> set[int]:
        seen = {vertex}
        queue = [vertex]
        for here in queue:
            for giver in self.flow.up.get(here, ()):
                if giver not in seen:
                    seen.add(giver)
                    queue.append(giver)
        return seen
