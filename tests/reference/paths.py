"""Paths, feedback and needs of one state, over a networkx graph of what each channel receives and drives."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

import networkx as nx

from .feeds import Fed
from .readings import Reading, Wrong
from .roles import Flow
from .state import Need
from .written import Channel, Written

Vertex = tuple[str, Channel]
"""`gets` or `sends`, and the channel."""


def channel_name(written: Written, channel: Channel) -> str:
    """The name of a channel: the port alone where it has just one."""
    place, number = channel
    return place if written.ports[place].channels == 1 else f"{place} ch {number}"


class Signals:
    """The graph of one state: feeds lead from `sends` to `gets`, closed insides from `gets` to `sends`."""

    def __init__(self, written: Written, feeds: Iterable[Fed], flows: Iterable[Flow], reading: Reading) -> None:
        self.written, self.reading = written, reading
        self.feeds = [f for f in feeds if not f.either or Wrong.EITHER_MAKES_PATHS in reading]
        self.graph = nx.DiGraph()
        for feed in self.feeds:
            self.graph.add_edge(self.vertex("sends", feed.driver), self.vertex("gets", feed.receiver))
        self.drives = {self.vertex("sends", f.driver) for f in self.feeds}
        self.arrives = {self.vertex("gets", f.receiver) for f in self.feeds}
        self.controls: dict[tuple[Vertex, Vertex], list[str]] = {}
        for a, b, control in flows:
            edge = self.vertex("gets", a), self.vertex("sends", b)
            if edge[0] != edge[1]:
                self.graph.add_edge(*edge)
                self.controls.setdefault(edge, []).append(control)

    def vertex(self, side: str, channel: Channel) -> Vertex:
        """The vertex of a channel; a channel of a `both` port is two things."""
        one = Wrong.BOTH_IS_ONE_THING in self.reading and self.written.ports[channel[0]].direction == "both"
        return ("both" if one else side, channel)

    def loops(self) -> list[set[Vertex]]:
        """The strongly connected groups of more than one vertex."""
        return [group for group in nx.strongly_connected_components(self.graph) if len(group) > 1]

    def loop_sources(self) -> set[Vertex]:
        """All that drives in loops that nothing from outside reaches."""
        if Wrong.LOOP_HAS_NO_SOURCE in self.reading:
            return set()
        return {vertex for loop in self.loops() if not self._reached(loop) for vertex in loop & self.drives}

    def _reached(self, loop: set[Vertex]) -> bool:
        """Whether anything leads into a loop; a channel at which nothing arrives brings nothing."""
        into = {a for a, b in self.graph.in_edges(loop) if a not in loop}
        return any(a[0] != "gets" or a in self.arrives for a in into)

    def sources(self) -> dict[Vertex, bool]:
        """Every source, and whether it is idle."""
        by_loop = self.loop_sources()
        found = {v: self._could_bring(v) for v in self.drives if not self._brought(v)}
        return found | dict.fromkeys(by_loop, Wrong.LOOP_SOURCE_IDLE in self.reading)

    def _brought(self, vertex: Vertex) -> bool:
        """Whether a closed inside brings something that arrives."""
        bringing = {a for a in self.graph.predecessors(vertex) if (a, vertex) in self.controls}
        return bool(bringing if Wrong.UNFED_INSIDE_FEEDS in self.reading else bringing & self.arrives)

    def _could_bring(self, vertex: Vertex) -> bool:
        """Whether some inside of the unit leads to this channel, closed or not."""
        if Wrong.IDLE_NEVER in self.reading:
            return False
        if Wrong.IDLE_ONLY_CLOSED in self.reading:
            return any(b == vertex for _, b in self.controls)
        return any(
            self._leads(inside.kind, pair, vertex[1]) for inside in self.written.insides for pair in inside.pairs
        )

    def _leads(self, kind: str, pair: tuple[Channel, Channel], channel: Channel) -> bool:
        """Whether one pair of an inside leads to this channel; a two-way inside leads to both of its ends."""
        if kind == "hardwired":
            return Wrong.IDLE_BY_HARDWIRED in self.reading and (channel[0], 0) in pair
        unit = channel[0].partition("/")[0]
        if Wrong.IDLE_BY_UNIT in self.reading and pair[0][0].startswith(f"{unit}/"):
            return True
        directions = {self.written.ports[place].direction for place, _ in pair}
        two_way = kind in ("transformer", "capacitor") and directions == {"either"}
        return channel == pair[1] or (two_way and channel == pair[0])

    def destinations(self) -> set[Vertex]:
        """Every channel that receives a feed and whose insides lead to no further feed."""
        if Wrong.EVERY_RECEIVER_ENDS in self.reading:
            return self.arrives
        return {v for v in self.arrives if not self._leads_on(v)}

    def _leads_on(self, vertex: Vertex) -> bool:
        return any((vertex, b) in self.controls and b in self.drives for b in self.graph.successors(vertex))

    def paths(self) -> frozenset[tuple[str, str, bool]]:
        """Every (source, destination, idle)."""
        ends = self.destinations()
        return frozenset(
            (self.name(source), self.name(end), idle)
            for source, idle in self.sources().items()
            for end in nx.descendants(self.graph, source) & ends
        )

    def feedback(self) -> frozenset[tuple[tuple[str, ...], bool]]:
        """Every loop: the names of its channels, and whether a control is in each way round."""
        return frozenset((tuple(sorted({self.name(v) for v in loop})), self._controlled(loop)) for loop in self.loops())

    def _controlled(self, loop: set[Vertex]) -> bool:
        """Whether no loop is left after the insides with a control are taken out."""
        graph = nx.DiGraph(self.graph.subgraph(loop))
        held = [e for e in graph.edges if e in self.controls and all(self._is_control(c) for c in self.controls[e])]
        if Wrong.ONE_CONTROL_IS_ENOUGH in self.reading:
            return bool(held)
        graph.remove_edges_from(held)
        return bool(nx.is_directed_acyclic_graph(graph))

    def _is_control(self, control: str) -> bool:
        return control == "level" or (control == "routed" and Wrong.ROUTED_IS_NO_CONTROL not in self.reading)

    def name(self, vertex: Vertex) -> str:
        """The name of the channel of a vertex."""
        return channel_name(self.written, vertex[1])


def failing(signals: Signals, feeds: Iterable[Fed], needs: Iterable[Need]) -> frozenset[tuple[str, tuple[str, ...]]]:
    """The needs that fail, each as its mode and the names it states."""
    graph = signals.graph.copy()
    for feed in feeds:
        if Wrong.NEEDS_WITHOUT_EITHER not in signals.reading:
            graph.add_edge(signals.vertex("sends", feed.driver), signals.vertex("gets", feed.receiver))
    return frozenset(
        (need.mode, tuple(channel_name(signals.written, c) for c in need.path))
        for need in needs
        if not holds(signals, graph, need)
    )


def holds(signals: Signals, graph: nx.DiGraph, need: Need) -> bool:
    """Whether one need holds; `graph` has the feeds between ends alone as well."""
    sends = signals.vertex("sends", need.path[0])
    drives = sends in graph and any(True for _ in graph.successors(sends))
    start = sends if drives else signals.vertex("gets", need.path[0])
    stops = [start, *(signals.vertex("gets", channel) for channel in need.path[1:])]
    met = all(a in graph and b in nx.descendants(graph, a) for a, b in pairwise(stops))
    if need.mode == "never":
        return not met or Wrong.NEVER_IGNORED in signals.reading
    if need.mode == "only" and met and Wrong.ONLY_IGNORED not in signals.reading:
        others = [source for source in signals.sources() if source != start]
        return not any(stops[-1] in nx.descendants(graph, source) for source in others)
    return met
