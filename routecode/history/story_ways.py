"""What goes through one place in one state: its paths, and every step of their ways, by the names of that revision.

The paths are exactly those of `paths` that have a way through the place. Which of them differ from another revision is not
asked here.
"""

from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import NamedTuple

from attrs import field, frozen

from routecode.circuit.circuit import Circuit
from routecode.circuit.feeds import Teller, links_of_net
from routecode.circuit.paths import Edges, Flow
from routecode.circuit.plant import PlacedBay, PlacedUnit, Plant
from routecode.circuit.state import State
from routecode.history.story_place import CABLE, CHANNEL, Place, nodes_of, wires_of

MOST_PATHS = 100_000
MOST_HOPS = 20_000


class Path(NamedTuple):
    """A path by names; `idle`: its source could be brought something and gets nothing."""

    source: str
    target: str
    idle: bool


class Hop(NamedTuple):
    """A step of a way: a feed with its jacks, or an inside."""

    source: str
    target: str
    feed: bool
    jacks: tuple[str, ...]
    polarity: str


@frozen
class Ways:
    """The paths through a place, the steps of their ways, and the sources that arrive where nothing passes.

    `cut`: there are more than MOST_PATHS or MOST_HOPS of them; those are left out.
    """

    setup: str | None
    paths: frozenset[Path] = frozenset()
    hops: frozenset[Hop] = frozenset()
    arrives: frozenset[str] = frozenset()
    gates: frozenset[tuple[str, str]] = frozenset()
    """Channels of the place itself as (channel, the same), and feeds that pass it as (from, to)."""
    cut: bool = False
    titles: dict[str, str] = field(factory=dict, eq=False)
    """What the units and bays in it are called."""

    @property
    def ends(self) -> frozenset[tuple[str, str]]:
        """The paths that carry something."""
        return frozenset(path[:2] for path in self.paths if not path.idle)

    def way(self, source: str, target: str) -> tuple[Hop, ...]:
        """The shortest way of a path, as far as its steps are held."""
        following: dict[str, list[Hop]] = {}
        for hop in sorted(self.hops):
            following.setdefault(hop.source, []).append(hop)
        came: dict[tuple[str, bool], Hop] = {}
        queue: list[tuple[str, bool]] = [(source, True)]
        for name, drives in queue:
            for hop in following.get(name, ()):
                spot = (hop.target, not hop.feed)
                if hop.feed == drives and spot not in came:
                    came[spot] = hop
                    queue.append(spot)
        found: list[Hop] = []
        spot = (target, False)
        while spot in came and spot != (source, True) and came[spot] not in found:
            found.append(came[spot])
            spot = (came[spot].source, came[spot].feed)
        return tuple(reversed(found))


def ways(circuit: Circuit, setup: str | None, place: Place) -> Ways:
    """What goes through a place in a state; nothing where the studio has not got the setup."""
    if setup is not None and setup not in circuit.setups:
        return Ways(setup)
    return _Following(circuit, setup, place).ways()


def titles_of(plant: Plant, names: Iterable[str]) -> dict[str, str]:
    """The titles of the units and bays of some canonical names."""
    titles: dict[str, str] = {}
    for head in sorted({name.partition("/")[0] for name in names}):
        thing: PlacedUnit | PlacedBay | None = plant.units.get(head) or plant.bays.get(head)
        if thing is not None:
            titles[head] = thing.title
    return titles


class _Following:
    def __init__(self, circuit: Circuit, setup: str | None, place: Place) -> None:
        self.plant: Plant = circuit.plant
        self.state: State = circuit.state(setup)
        self.flow: Flow = circuit.flow(setup)
        self.place = place
        self._teller = Teller(self.state)

    def ways(self) -> Ways:
        paths, cut = self._paths()
        hops = self._hops()
        found = frozenset() if hops is None else hops
        names = {name for path in paths for name in path[:2]} | {self.place.name}
        names |= {name for hop in found for name in (hop.source, hop.target, *hop.jacks)}
        arrives = frozenset() if paths else self._arrives()
        name = self.plant.channel_name
        gates = {(name(channel), name(channel)) for channel in self._channels}
        gates |= {(name(source), name(target)) for source, target in self._passing}
        return Ways(
            self.state.setup,
            frozenset(paths),
            found,
            arrives,
            frozenset(gates),
            cut or hops is None,
            titles_of(self.plant, names | arrives),
        )

    # -- where it is ----------------------------------------------------------------------------------------------------

    @cached_property
    def _channels(self) -> list[int]:
        """The channels of its ports."""
        if self.place.kind == CHANNEL:
            channel = self.plant.channel(self.place.name)
            return [] if channel is None else [channel]
        return [channel for node in nodes_of(self.plant, self.place) for channel in self.plant.channels_of(node)]

    @cached_property
    def _passing(self) -> list[tuple[int, int]]:
        """The feeds (driving channel, receiving channel) that pass it without starting or ending there."""
        if self.place.kind == CABLE:
            spots = [(wire.a, wire.b) for wire in wires_of(self.plant, self.place)]
        else:
            spots = [(node, node) for node in nodes_of(self.plant, self.place)]
        found = {feed for spot in spots for feed in self._over(*spot)}
        if self.place.kind == CHANNEL:
            steps = {channel - self._first(channel) for channel in self._channels}
            found = {feed for feed in found if feed[0] - self._first(feed[0]) in steps}
        return sorted(found)

    def _first(self, channel: int) -> int:
        return self.plant.first_channel[self.plant.node_of(channel)]

    def _over(self, a: int, b: int) -> Iterator[tuple[int, int]]:
        net = self.state.net_of(a)
        if net is None or net is not self.state.net_of(b) or net.either:
            return
        ends = {*net.drives, *net.hears}
        if a == b and (a in ends):
            return
        for link in links_of_net(self.state, net):
            driver, hearer = self.plant.node_of(link.source), self.plant.node_of(link.target)
            on_way = {driver, hearer, *self._teller.jacks(net, driver, hearer)}
            if all(spot in on_way or (spot in net.passive and spot not in ends) for spot in (a, b)):
                yield from ((link.source + step, link.target + step) for step in range(link.width))

    # -- what goes through it -------------------------------------------------------------------------------------------

    def _paths(self) -> tuple[list[Path], bool]:
        found: dict[tuple[int, int], bool] = {}
        for up, down in self._gates():
            targets = self._targets(down)
            if not targets:
                continue
            for source in sorted(_reached([up], self.flow.up)):
                if source % 2 and source // 2 in self.flow.sources:
                    found.update({(source // 2, target): self.flow.sources[source // 2] for target in targets})
            if len(found) > MOST_PATHS:
                return [], True
        name = self.plant.channel_name
        return [Path(name(source), name(target), idle) for (source, target), idle in found.items()], False

    def _targets(self, vertex: int) -> frozenset[int]:
        found = self.flow.reached.get(vertex, frozenset())
        own = not vertex % 2 and vertex // 2 in self.flow.destinations
        return found | {vertex // 2} if own else found

    def _gates(self) -> Iterator[tuple[int, int]]:
        """Vertices of the graph that a path through the place is at: (up from here, down from here)."""
        for channel in self._channels:
            yield 2 * channel, 2 * channel
            yield 2 * channel + 1, 2 * channel + 1
        for source, target in self._passing:
            yield 2 * source + 1, 2 * target

    def _arrives(self) -> frozenset[str]:
        """The sources whose signal is there and goes no further."""
        starts = [up for up, _ in self._gates()]
        for node in nodes_of(self.plant, self.place):
            net = self.state.net_of(node)
            if net is not None and not net.mixed and not net.either:
                starts += [2 * channel + 1 for driver in net.drives for channel in self.plant.channels_of(driver)]
        above = {vertex // 2 for vertex in _reached(starts, self.flow.up) if vertex % 2}
        sources = self.flow.sources
        kept = [channel for channel in sorted(above) if not sources.get(channel, True)]
        loose = [channel for channel in sorted(above) if channel not in sources and not self._brought(channel)]
        return frozenset(map(self.plant.channel_name, (*kept, *loose)))

    def _brought(self, channel: int) -> bool:
        return channel in self.flow.idle_able or bool(self.flow.up.get(2 * channel + 1))

    def _hops(self) -> frozenset[Hop] | None:
        """Every step on the way to it and from it; None where there are too many."""
        ups, downs = zip(*self._gates(), strict=True) if self._channels or self._passing else ((), ())
        edges = {(other, vertex) for vertex, other in _edges(ups, self.flow.up)}
        edges |= set(_edges(downs, self.flow.down))
        edges |= {(2 * source + 1, 2 * target) for source, target in self._passing}
        if len(edges) > MOST_HOPS:
            return None
        return frozenset(self._hop(*edge) for edge in sorted(edges))

    def _hop(self, vertex: int, other: int) -> Hop:
        source, target = vertex // 2, other // 2
        name = self.plant.channel_name
        if not vertex % 2:
            return Hop(name(source), name(target), False, (), "kept")
        a, b = self.plant.node_of(source), self.plant.node_of(target)
        net = self.state.net_of(a)
        assert net is not None
        jacks = tuple(map(self.plant.name, self._teller.jacks(net, a, b)))
        return Hop(name(source), name(target), True, jacks, self._teller.polarity(net, a, b))


def _edges(starts: Iterable[int], towards: Edges) -> Iterator[tuple[int, int]]:
    for vertex in _reached(starts, towards):
        for other in towards.get(vertex, ()):
            yield vertex, other


def _reached(starts: Iterable[int], towards: Edges) -> list[int]:
    """Some vertices and all they lead to, nearest first."""
    queue = list(dict.fromkeys(starts))
    seen = set(queue)
    for vertex in queue:
        for other in towards.get(vertex, ()):
            if other not in seen:
                seen.add(other)
                queue.append(other)
    return queue
