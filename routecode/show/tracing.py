"""Upstream and downstream of one place, step by step: worked out here, shown in `trace.py`."""

from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import NamedTuple

from routecode.circuit.circuit import Circuit
from routecode.circuit.feeds import Link, Teller, links
from routecode.circuit.nets import Net
from routecode.circuit.paths import Flow
from routecode.circuit.plant import Plant
from routecode.circuit.ways import jacks_between
from routecode.figures.figures import Figures, StateFigures
from routecode.figures.hops import Hop, hop_of
from routecode.show.passing import Passed, passed


class Step(NamedTuple):
    """From one channel to the next: over the wiring (a feed) or through a unit (an inside).

    `source` and `target` are channels by number; where signals only pass the place asked about, one is -1 and means it.
    """

    source: int
    target: int
    is_feed: bool
    jacks: tuple[str, ...] = ()
    passed: tuple[Passed, ...] = ()
    polarity: str = "kept"
    either: bool = False


class Trace:
    """One place of one state. `channels` are those of the port or channel asked about; none for a jack."""

    def __init__(self, circuit: Circuit, setup: str | None, name: str) -> None:
        self.circuit = circuit
        self.plant: Plant = circuit.plant
        self.state = circuit.state(setup)
        self.flow: Flow = circuit.flow(setup)
        self.name = name
        node, channel = self.plant.node(name), self.plant.channel(name)
        self.node: int = node if node is not None else self.plant.node_of(channel) if channel is not None else -1
        self.is_jack = self.plant.is_jack(self.node)
        self.channels = list(self.plant.channels_of(self.node)) if channel is None else [channel]
        self.kind = "jack" if self.is_jack else "port" if node is not None else "channel"
        self._teller = Teller(self.state)

    @property
    def net(self) -> Net | None:
        """What the place is joined to."""
        return self.state.net_of(self.node)

    @cached_property
    def is_between(self) -> bool:
        """Whether signals only pass the place: a jack, or a passive port that neither drives nor receives here."""
        net = self.net
        if self.is_jack or net is None:
            return self.is_jack
        return self.node in net.passive and self.node not in (*net.drives, *net.hears)

    @cached_property
    def wired(self) -> list[str]:
        """What is wired to the place itself, sorted."""
        return sorted(self.plant.name(other) for other in self.plant.wired(self.node))

    @cached_property
    def _feeds(self) -> dict[tuple[int, int], Link]:
        """(driving channel, receiving channel) -> the link of the feed, for all feeds of the state."""
        return {
            (link.source + step, link.target + step): link for link in links(self.state) for step in range(link.width)
        }

    @cached_property
    def _passive(self) -> list[tuple[int, int]]:
        """The feeds marked `either`: they are no part of any path, but they are what a place is joined to."""
        return [ends for ends, link in self._feeds.items() if link.either]

    @cached_property
    def upstream(self) -> list[Step]:
        """Every step on the way to the place, nearest first."""
        starts = [vertex for channel in self.channels for vertex in (2 * channel, 2 * channel + 1)]
        if self.is_between:
            first = [step for driver in self._drivers() for step in self._each_channel(self._to_jack(driver))]
            starts = [2 * step.source + 1 for step in first]
        else:
            first = [self._step(source, target) for source, target in self._passive if target in self.channels]
        return first + [self._edge(other, vertex) for vertex, other in _edges(starts, self.flow.up)]

    @cached_property
    def downstream(self) -> list[Step]:
        """Every step on the way from the place, nearest first."""
        starts = [vertex for channel in self.channels for vertex in (2 * channel, 2 * channel + 1)]
        if self.is_between:
            first = [step for hearer in self._hearers() for step in self._each_channel(self._from_jack(hearer))]
            starts = [2 * step.target for step in first]
        else:
            first = [self._step(source, target) for source, target in self._passive if source in self.channels]
        return first + [self._edge(vertex, other) for vertex, other in _edges(starts, self.flow.down)]

    @cached_property
    def _figures(self) -> StateFigures:
        return Figures(self.circuit).state(self.state.setup)

    def hop(self, step: Step) -> Hop | None:
        """The figures of a feed between two ports; None for an inside, and where the place asked about stands for an end."""
        if not step.is_feed or step.source < 0 or step.target < 0 or step.either:
            return None
        return hop_of(self._figures, self.plant.node_of(step.source), self.plant.node_of(step.target))

    @cached_property
    def sources(self) -> list[str]:
        """Where the signal starts that arrives at the place, sorted."""
        own = {channel for channel in self.channels if channel not in self.flow.fed}
        seen = {step.source for step in self.upstream if step.source >= 0} | own
        return sorted(self.plant.channel_name(channel) for channel in seen if channel in self.flow.sources)

    @cached_property
    def destinations(self) -> list[str]:
        """Where the signal of the place ends, sorted."""
        own = {channel for channel in self.channels if channel not in self.flow.drives}
        seen = {step.target for step in self.downstream if step.target >= 0} | own
        return sorted(self.plant.channel_name(channel) for channel in seen if channel in self.flow.destinations)

    # -- steps ---------------------------------------------------------------------------------------------------------

    def _edge(self, vertex: int, other: int) -> Step:
        """An edge of the graph as a step: a drive to a receive is a feed, the other way round an inside."""
        if vertex % 2:
            return self._step(vertex // 2, other // 2)
        return Step(vertex // 2, other // 2, False)

    def _step(self, source: int, target: int) -> Step:
        link = self._feeds[source, target]
        a, b = self.plant.node_of(source), self.plant.node_of(target)
        jacks = self._teller.jacks(link.net, a, b)
        return Step(
            source,
            target,
            True,
            tuple(map(self.plant.name, jacks)),
            tuple(passed(self.state, a, b, jacks)),
            self._teller.polarity(link.net, a, b),
            link.either,
        )

    def _drivers(self) -> list[int]:
        net = self.net
        return sorted(net.drives) if net is not None and len(net.families) == 1 else []

    def _hearers(self) -> list[int]:
        """What receives from the net; what drives it is not told again, except where passive ends alone are joined."""
        net = self.net
        return sorted(net.hears) if net is not None and len(net.families) == 1 else []

    def _to_jack(self, driver: int) -> Step:
        return self._jack_step(driver, driver, self.node, self.plant.first_channel[driver], -1)

    def _from_jack(self, hearer: int) -> Step:
        return self._jack_step(hearer, self.node, hearer, -1, self.plant.first_channel[hearer])

    def _jack_step(self, port: int, a: int, b: int, source: int, target: int) -> Step:
        net = self.net
        assert net is not None
        jacks = jacks_between(self.state, net, a)[b]
        polarity = self._teller.polarity(net, a, b)
        things = tuple(passed(self.state, a, b, jacks))
        either = net.either and port in net.ends
        return Step(source, target, True, tuple(map(self.plant.name, jacks)), things, polarity, either)

    def _each_channel(self, step: Step) -> Iterator[Step]:
        channel = max(step.source, step.target)
        for more in range(self.plant.channels[self.plant.node_of(channel)]):
            yield step._replace(
                source=step.source + more if step.source >= 0 else -1,
                target=step.target + more if step.target >= 0 else -1,
            )


def _edges(starts: Iterable[int], towards: dict[int, list[int]]) -> Iterator[tuple[int, int]]:
    """Every edge met on the way from some vertices, each once, nearest first."""
    queue = list(dict.fromkeys(starts))
    seen = set(queue)
    for vertex in queue:
        for other in sorted(set(towards.get(vertex, ()))):
            yield vertex, other
            if other not in seen:
                seen.add(other)
                queue.append(other)
