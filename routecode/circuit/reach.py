"""Where a signal goes in a state, looked up step by step. For questions about a few channels of a large studio.

The same graph as `circuit.paths.Flow` (channel c receives at 2c and drives at 2c + 1), never built whole.
"""

from collections.abc import Callable, Iterable
from typing import NamedTuple

from routecode.circuit.feeds import routed_links
from routecode.circuit.plant import BOTH, EITHER, Branch, Kit
from routecode.circuit.state import State

Crossing = tuple[int, int]
"""The sockets of a two-way inside, in the direction it may be taken."""
Way = tuple[int, Branch, Crossing | None]


class Ways(NamedTuple):
    """The insides of a kit by channel (counted within the kit): what each leads to, and what leads to it."""

    down: dict[int, list[Way]]
    up: dict[int, list[Way]]

    def add(self, source: int, target: int, branch: Branch, crossing: Crossing | None) -> None:
        """One inside, one way round."""
        self.down.setdefault(source, []).append((target, branch, crossing))
        self.up.setdefault(target, []).append((source, branch, crossing))


class Reach:
    """Feeds and closed insides of one state around the channels that are asked about."""

    def __init__(self, state: State) -> None:
        self.state = state
        self.plant = state.plant
        self._ways: dict[int, Ways] = {}
        self._routed_down: dict[int, list[int]] = {}
        self._routed_up: dict[int, list[int]] = {}
        for link in routed_links(state) if state.routes else ():
            self._routed_down.setdefault(link.source, []).append(link.target)
            self._routed_up.setdefault(link.target, []).append(link.source)

    def down(self, vertex: int, *, either: bool = False) -> list[int]:
        """The vertices a vertex leads to; `either`: over feeds marked so as well."""
        channel = vertex // 2
        if vertex % 2:
            return [2 * other for other in self.hearers(channel, either=either)]
        return [2 * other + 1 for other, _ in self.insides(channel)]

    def up(self, vertex: int) -> list[int]:
        """The vertices that lead to a vertex, over feeds not marked `either`."""
        channel = vertex // 2
        if vertex % 2:
            return [2 * other for other, _ in self.insides(channel, back=True)]
        return [2 * other + 1 for other in self.drivers(channel)]

    def hearers(self, channel: int, *, either: bool = False) -> list[int]:
        """The channels that hear what a channel drives."""
        node = self.plant.node_of(channel)
        if self.plant.direction[node] == BOTH:
            return self._routed_down.get(channel, [])
        net = self.state.net_of(node)
        if net is None or node not in net.drives or net.mixed or (net.either and not either):
            return []
        return self._same_channel(channel, node, net.hears)

    def drivers(self, channel: int) -> list[int]:
        """The channels that drive what a channel hears."""
        node = self.plant.node_of(channel)
        if self.plant.direction[node] == BOTH:
            return self._routed_up.get(channel, [])
        net = self.state.net_of(node)
        if net is None or net.either or node not in net.hears or net.mixed:
            return []
        return self._same_channel(channel, node, net.drives)

    def _same_channel(self, channel: int, node: int, others: Iterable[int]) -> list[int]:
        plant = self.plant
        step = channel - plant.first_channel[node]
        return [plant.first_channel[other] + step for other in others if other != node and step < plant.channels[other]]

    def insides(self, channel: int, *, back: bool = False, loose: bool = False) -> list[tuple[int, Branch]]:
        """The channels of its unit that closed insides lead to from a channel, with the inside; `back`: that lead to it.

        `loose`: two-way insides both ways round, whichever they take.
        """
        unit = self.plant.unit_of(self.plant.node_of(channel))
        if unit.written.away is not None:
            return []
        ways = self._ways_of(unit.kit)
        found = (ways.up if back else ways.down).get(channel - unit.first_channel, ())
        return [
            (unit.first_channel + other, branch)
            for other, branch, crossing in found
            if (not branch.conditional or self.state.closed(unit, branch))
            and (loose or self._taken(unit.first, crossing))
        ]

    def brought(self, channel: int) -> bool:
        """Whether some inside of its unit leads to a channel, closed or not."""
        unit = self.plant.unit_of(self.plant.node_of(channel))
        return channel - unit.first_channel in self._ways_of(unit.kit).up

    def _ways_of(self, kit: Kit) -> Ways:
        ways = self._ways.get(id(kit))
        if ways is None:
            ways = self._ways[id(kit)] = ways_of(kit)
        return ways

    def _taken(self, first: int, crossing: Crossing | None) -> bool:
        """Whether a two-way inside is taken this way round; all others are one way."""
        return crossing is None or (first + crossing[0], first + crossing[1]) in self.state.passives.taken


def ways_of(kit: Kit) -> Ways:
    """The insides of a kit that are not hardwired; two-way ones both ways round."""
    ways = Ways({}, {})
    for branch in kit.branches:
        source = kit.offsets[branch.source] + branch.source_channel
        target = kit.offsets[branch.target] + branch.target_channel
        if branch.kind != "active" and kit.directions[branch.source] == kit.directions[branch.target] == EITHER:
            ways.add(source, target, branch, (branch.source, branch.target))
            ways.add(target, source, branch, (branch.target, branch.source))
        else:
            ways.add(source, target, branch, None)
    return ways


def spread_out(starts: Iterable[int], step: Callable[[int], Iterable[int]]) -> list[int]:
    """Everything that `step` leads to from `starts`, the starts not among it unless led to; nearest first."""
    seen: set[int] = set()
    found: list[int] = []
    queue = list(starts)
    for vertex in queue:
        for other in step(vertex):
            if other not in seen:
                seen.add(other)
                found.append(other)
                queue.append(other)
    return found
