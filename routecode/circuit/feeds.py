"""Feeds: one driving channel to one receiving channel across one net, with the jacks passed and the polarity."""

from collections.abc import Iterator
from typing import NamedTuple

from routecode.circuit.nets import Net
from routecode.circuit.plant import BOTH
from routecode.circuit.state import State
from routecode.circuit.ways import jacks_between, polarities, reverses
from routecode.language.signals import ANALOGUE


class Link(NamedTuple):
    """Feeds between two ports: channel 1 to channel 1, up to the smaller number; or one routed pair of channels of network ports."""

    source: int
    """Driving channel (the first)."""
    target: int
    """Receiving channel (the first)."""
    width: int
    net: Net
    either: bool


class Feed(NamedTuple):
    """One feed by names, as in the JSON contract."""

    source: str
    target: str
    jacks: tuple[str, ...]
    polarity: str
    either: bool


def links_of_net(state: State, net: Net) -> Iterator[Link]:
    """The feeds of one net, port by port; routes between network ports not among them."""
    plant = state.plant
    for driver, hearer in net.pairs():
        width = min(plant.channels[driver], plant.channels[hearer])
        yield Link(plant.first_channel[driver], plant.first_channel[hearer], width, net, net.either)


def routed_links(state: State) -> Iterator[Link]:
    """Feeds that routes make between network ports lying in one net."""
    plant = state.plant
    for source, target in sorted(state.routes):
        a, b = plant.node_of(source), plant.node_of(target)
        if plant.direction[a] != BOTH or plant.direction[b] != BOTH:
            continue
        unit, other = plant.unit_of(a), plant.unit_of(b)
        if unit is other or unit.written.away is not None or other.written.away is not None:
            continue
        net = state.net_of(a)
        if net is not None and net is state.net_of(b) and not net.mixed:
            yield Link(source, target, 1, net, False)


def links(state: State) -> Iterator[Link]:
    """All feeds of a state, port by port."""
    for net in state.all_nets():
        if net.drives and net.hears:
            yield from links_of_net(state, net)
    yield from routed_links(state)


class Teller:
    """Puts names to the links of a state; ways and polarities of a net are worked out once for each driving port."""

    def __init__(self, state: State) -> None:
        self.state = state
        self.plant = state.plant
        self.analogue = self.plant.family_names.index(ANALOGUE) if ANALOGUE in self.plant.family_names else 0
        self._ways: tuple[int, Net | None, dict[int, tuple[int, ...]]] = (-1, None, {})
        self._polarity: tuple[int, Net | None, dict[int, str] | None] = (-1, None, {})

    def feeds(self, link: Link) -> Iterator[Feed]:
        """The feeds of one link."""
        source_node, target_node = self.plant.node_of(link.source), self.plant.node_of(link.target)
        jacks = tuple(self.plant.name(node) for node in self.jacks(link.net, source_node, target_node))
        polarity = self.polarity(link.net, source_node, target_node)
        for step in range(link.width):
            yield Feed(
                self.plant.channel_name(link.source + step),
                self.plant.channel_name(link.target + step),
                jacks,
                polarity,
                link.either,
            )

    def jacks(self, net: Net, source: int, target: int) -> tuple[int, ...]:
        """The jacks of the way from one port to another of a net."""
        if self._ways[0] != source or self._ways[1] is not net:
            self._ways = (source, net, jacks_between(self.state, net, source))
        return self._ways[2][target]

    def polarity(self, net: Net, source: int, target: int) -> str:
        """`kept`, `reversed` or `mixed` from one port to another of a net."""
        if net.kinds != 1 << self.analogue or not reverses(self.state, net):
            return "kept"
        if self._polarity[0] != source or self._polarity[1] is not net:
            self._polarity = (source, net, polarities(self.state, source))
        turned = self._polarity[2]
        return "mixed" if turned is None else turned[target]


def feeds(state: State) -> tuple[Feed, ...]:
    """All feeds of a state by names, sorted."""
    teller = Teller(state)
    return tuple(sorted({feed for link in links(state) for feed in teller.feeds(link)}))


def points(state: State) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """What is wired behind each jack that has cables: (jack, places), sorted. The same in every state."""
    plant = state.plant
    found = [
        (plant.name(node), tuple(sorted(plant.name(other) for other in plant.wired(node))))
        for node in plant.wire_at
        if node >= plant.ports
    ]
    return tuple(sorted(found))
