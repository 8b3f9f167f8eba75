"""One state of one side, read in the numbers that both sides share: its feeds, insides, joints and paths."""

from collections.abc import Callable, Iterable
from functools import cached_property
from typing import NamedTuple

from routecode.change.matched import AFTER, Matched
from routecode.circuit.circuit import Circuit
from routecode.circuit.feeds import Link, Teller, links, links_of_net, routed_links
from routecode.circuit.nets import Net
from routecode.circuit.paths import Flow
from routecode.circuit.plant import Plant
from routecode.circuit.state import State


class SeenFeed(NamedTuple):
    """A feed in shared numbers."""

    source: int
    target: int
    jacks: tuple[int, ...]
    polarity: str
    either: bool


class View:
    """A state of a side. Vertices: channel c receives at 2c and drives at 2c + 1."""

    def __init__(self, matched: Matched, side: str, circuit: Circuit, setup: str | None) -> None:
        self.matched = matched
        self.side = side
        self.setup = setup
        self.circuit = circuit
        self.plant: Plant = circuit.plant
        self._down: dict[int, list[int]] = {}
        self._up: dict[int, list[int]] = {}
        self._narrow: Flow | None = None

    @cached_property
    def state(self) -> State:
        """The state itself, in its own numbers."""
        return self.circuit.state(self.setup)

    @property
    def flow(self) -> Flow:
        """Its graph, in its own numbers: whole, or of the region it was narrowed to."""
        return self._narrow if self._narrow is not None else self.circuit.flow(self.setup)

    def narrow(self, flow: Flow) -> None:
        """Look only at a part of the graph from here on; call before anything is asked."""
        self._narrow = flow

    @cached_property
    def teller(self) -> Teller:
        """Works out jacks and polarity of its feeds."""
        return Teller(self.state)

    # -- whole sets -----------------------------------------------------------------------------------------------------

    @cached_property
    def pairs(self) -> frozenset[int]:
        """All paths, each as one number: see `pair_of`."""
        size = self.matched.channel_count
        if self.side == AFTER:
            return frozenset(2 * (source * size + target) + idle for source, target, idle in self.flow.pairs())
        shared = self.matched.channels
        return frozenset(
            2 * (shared[source] * size + shared[target]) + idle for source, target, idle in self.flow.pairs()
        )

    def pair_of(self, number: int) -> tuple[int, int, bool]:
        """(source, destination, idle) of a path given as one number."""
        ends, idle = divmod(number, 2)
        source, target = divmod(ends, self.matched.channel_count)
        return source, target, bool(idle)

    @cached_property
    def edges(self) -> dict[int, Link]:
        """All feeds, each as one number (as paths are, with `either` for `idle`), with the link it is of."""
        return self._edges(links(self.state))

    def edges_of(self, nets: Iterable[Net]) -> dict[int, Link]:
        """The feeds of some nets, and those of all routes between network ports."""
        found = self._edges(link for net in nets for link in links_of_net(self.state, net))
        found.update(self._edges(routed_links(self.state)))
        return found

    def _edges(self, parts: Iterable[Link]) -> dict[int, Link]:
        size = self.matched.channel_count
        shared = self.matched.channels if self.side != AFTER else range(size)
        return {
            2 * (shared[link.source + step] * size + shared[link.target + step]) + link.either: link
            for link in parts
            for step in range(link.width)
        }

    def feed(self, number: int, link: Link) -> SeenFeed:
        """The feed with its jacks and polarity."""
        source, target, either = self.pair_of(number)
        a, b = self.plant.node_of(link.source), self.plant.node_of(link.target)
        jacks = tuple(self.matched.shared_node(self.side, node) for node in self.teller.jacks(link.net, a, b))
        return SeenFeed(source, target, jacks, self.teller.polarity(link.net, a, b), either)

    # -- round a vertex -------------------------------------------------------------------------------------------------

    def down(self, vertex: int) -> list[int]:
        """Vertices that a vertex leads to."""
        found = self._down.get(vertex)
        if found is None:
            found = self._down[vertex] = self._turn(self.flow.down, vertex)
        return found

    def up(self, vertex: int) -> list[int]:
        """Vertices that lead to a vertex."""
        found = self._up.get(vertex)
        if found is None:
            found = self._up[vertex] = self._turn(self.flow.up, vertex)
        return found

    def _turn(self, edges: dict[int, list[int]], vertex: int) -> list[int]:
        own = self.own_vertex(vertex)
        if own < 0:
            return []
        if self.side == AFTER:
            return edges.get(own, [])
        shared = self.matched.channels
        return [2 * shared[other // 2] + other % 2 for other in edges.get(own, ())]

    def own_vertex(self, vertex: int) -> int:
        """The side's own number of a shared vertex; -1 where it has none."""
        channel = self.matched.own_channel(self.side, vertex // 2)
        return -1 if channel < 0 else 2 * channel + vertex % 2

    def below(self, start: int) -> set[int]:
        """The vertex and all it leads to."""
        return _closure(start, self.down)

    def above(self, start: int) -> set[int]:
        """The vertex and all that lead to it."""
        return _closure(start, self.up)

    def is_source(self, channel: int) -> bool:
        """Whether paths start at a shared channel (idle ones too)."""
        return self.matched.own_channel(self.side, channel) in self.flow.sources

    def sources_above(self, vertex: int) -> set[int]:
        """Shared channels of the sources that reach a vertex, idle ones not among them."""
        sources = self.flow.sources
        found = set()
        for above in self.above(vertex):
            own = self.own_vertex(above)
            if above % 2 and sources.get(own // 2) is False:
                found.add(above // 2)
        return found

    def ends_below(self, vertex: int) -> set[int]:
        """Shared channels of the destinations that a vertex reaches."""
        own = self.own_vertex(vertex)
        if own < 0:
            return set()
        return {self.matched.shared_channel(self.side, channel) for channel in self.flow.reached.get(own, ())}

    def joined(self, node: int) -> list[int]:
        """Shared nodes joined directly to a shared node."""
        own = self.matched.own_node(self.side, node)
        if own < 0:
            return []
        near = self.state.joined(own)
        return near if self.side == AFTER else [self.matched.nodes[other] for other in near]

    def net(self, node: int) -> Net | None:
        """The net of a shared node."""
        own = self.matched.own_node(self.side, node)
        return None if own < 0 else self.state.net_of(own)

    def vertex_node(self, vertex: int) -> int:
        """The shared node of the port of a vertex."""
        return self.matched.channel_node(vertex // 2)


def _closure(start: int, step: Callable[[int], list[int]]) -> set[int]:
    seen = {start}
    queue = [start]
    for vertex in queue:
        for other in step(vertex):
            if other not in seen:
                seen.add(other)
                queue.append(other)
    return seen


def nodes_between(view: View, start: int, stop: int) -> list[int]:
    """The shared nodes of the shortest way through one net, both ends among them; empty where there is none."""
    back = {start: start}
    queue = [start]
    for node in queue:
        if node == stop:
            break
        for other in sorted(view.joined(node)):  # of equally short ways always the same
            if other not in back:
                back[other] = node
                queue.append(other)
    if stop not in back:
        return []
    way = [stop]
    while way[-1] != start:
        way.append(back[way[-1]])
    return way[::-1]
