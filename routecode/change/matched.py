"""Two sides with one numbering: every port, jack and channel that both sides have carries one number.

The shared numbers are those of the after side; what only the before side has is numbered on from there. Sets of whole
states are then compared as sets of numbers, and names are made only for what differs.
"""

from routecode.change.identity import Identity
from routecode.circuit.parts import Kit, PlacedUnit
from routecode.circuit.plant import Plant
from routecode.circuit.restate import Edited

BEFORE, AFTER = "before", "after"


class Matched:
    """The numbers and names that two plants share."""

    def __init__(self, before: Plant, after: Plant, identity: Identity, edited: Edited | None = None) -> None:
        self.before = before
        self.after = after
        self.identity = identity
        self.edited = edited
        """What was changed, where the after side was made of the before side: both have the same numbers then."""
        self._alike: dict[tuple[int, int], bool] = {}
        self.nodes: list[int] = [-1] * len(before.direction)
        """Node of the before side -> shared."""
        self.after_nodes = len(after.direction)
        self.after_channels = _count(after)
        self.channels: list[int] = [-1] * _count(before)
        """Channel of the before side -> shared."""
        self._lost_nodes: list[int] = []
        self._lost_channels: list[int] = []
        if edited is not None:
            self.nodes = self._back_nodes = list(range(self.after_nodes))
            self.channels = self._back_channels = list(range(self.after_channels))
        else:
            self._match()
            self._lost_nodes = _number_on(self.nodes, self.after_nodes)
            self._lost_channels = _number_on(self.channels, self.after_channels)
            self._back_nodes = _inverse(self.nodes, self.after_nodes + len(self._lost_nodes))
            self._back_channels = _inverse(self.channels, self.after_channels + len(self._lost_channels))
        self.node_count = self.after_nodes + len(self._lost_nodes)
        self.channel_count = self.after_channels + len(self._lost_channels)

    def _match(self) -> None:
        before, after, identity = self.before, self.after, self.identity
        for unit in before.units.values():
            self._unit(unit, after.units.get(identity.units.get(unit.id, unit.id)))
        for bay in before.bays.values():
            other = after.bays.get(identity.bays.get(bay.id, bay.id))
            if other is not None and other.rows == bay.rows:
                for row in range(bay.rows):
                    for column in range(min(bay.columns, other.columns)):
                        self.nodes[bay.first + row * bay.columns + column] = other.first + row * other.columns + column
        self._hubs()

    def _unit(self, unit: PlacedUnit, other: PlacedUnit | None) -> None:
        if other is None:
            return
        names = self.identity.ports.get(other.id)
        if not names and self._same_ports(unit.kit, other.kit):
            self.nodes[unit.first : unit.first + len(unit.kit.sockets)] = other
            first, width = other.first_channel, unit.kit.offsets[-1]
            self.channels[unit.first_channel : unit.first_channel + width] = range(first, first + width)
            return
        for index, socket in enumerate(unit.kit.sockets):
            partner = other.kit.index.get((names or {}).get(socket.name, socket.name))
            if partner is not None:
                self._port(unit, index, other, partner)

    def _port(self, unit: PlacedUnit, index: int, other: PlacedUnit, partner: int) -> None:
        self.nodes[unit.first + index] = other.first + partner
        width, wide = unit.kit.channels[index], other.kit.channels[partner]
        if (width == 1) != (wide == 1):
            return  # `p` and `p ch 1` are two names
        start, first = unit.first_channel + unit.kit.offsets[index], other.first_channel + other.kit.offsets[partner]
        for step in range(min(width, wide)):
            self.channels[start + step] = first + step

    def _same_ports(self, kit: Kit, other: Kit) -> bool:
        """Whether two kits have the same ports in the same order, with as many channels."""
        key = (id(kit), id(other))
        if key not in self._alike:
            self._alike[key] = kit.channels == other.channels and [one.name for one in kit.sockets] == [
                one.name for one in other.sockets
            ]
        return self._alike[key]

    def _hubs(self) -> None:
        """Mults are the same where they join the same jacks; jacks that only one side has are in none of both."""
        known = {frozenset(jacks): hub for hub, jacks in enumerate(self.after.hub_jacks, self.after.hubs)}
        for hub, jacks in enumerate(self.before.hub_jacks, self.before.hubs):
            self.nodes[hub] = known.get(frozenset(self.nodes[jack] for jack in jacks), -1)

    def is_jack(self, node: int) -> bool:
        """Whether a shared node is a jack of a bay."""
        side = AFTER if node < self.after_nodes else BEFORE
        own, plant = self.own_node(side, node), self.plant(side)
        return plant.ports <= own < plant.hubs

    def is_port(self, node: int) -> bool:
        """Whether a shared node is a port of a unit."""
        side = AFTER if node < self.after_nodes else BEFORE
        return self.own_node(side, node) < self.plant(side).ports

    # -- back to a side -------------------------------------------------------------------------------------------------

    def plant(self, side: str) -> Plant:
        """The plant of a side."""
        return self.before if side == BEFORE else self.after

    def own_node(self, side: str, node: int) -> int:
        """The side's own number of a shared node; -1 where it has none."""
        if side == BEFORE:
            return self._back_nodes[node]
        return node if node < self.after_nodes else -1

    def own_channel(self, side: str, channel: int) -> int:
        """The side's own number of a shared channel; -1 where it has none."""
        if side == BEFORE:
            return self._back_channels[channel]
        return channel if channel < self.after_channels else -1

    def shared_node(self, side: str, node: int) -> int:
        """The shared number of a side's own node."""
        return self.nodes[node] if side == BEFORE else node

    def shared_channel(self, side: str, channel: int) -> int:
        """The shared number of a side's own channel."""
        return self.channels[channel] if side == BEFORE else channel

    # -- names ----------------------------------------------------------------------------------------------------------

    def node_name(self, node: int) -> str:
        """Canonical name of a shared node, as it reads after."""
        if node < self.after_nodes:
            return self.after.name(node)
        return self.identity.node_name(self.before, self._lost_nodes[node - self.after_nodes])

    def channel_name(self, channel: int) -> str:
        """Canonical name of a shared channel, as it reads after."""
        if channel < self.after_channels:
            return self.after.channel_name(channel)
        own = self._lost_channels[channel - self.after_channels]
        node = self.before.node_of(own)
        name = self.identity.node_name(self.before, node)
        return name if self.before.channels[node] == 1 else f"{name} ch {own - self.before.first_channel[node] + 1}"

    def channel_node(self, channel: int) -> int:
        """The shared node of the port that carries a shared channel."""
        if channel < self.after_channels:
            return self.after.node_of(channel)
        return self.nodes[self.before.node_of(self._lost_channels[channel - self.after_channels])]


def _count(plant: Plant) -> int:
    return plant.first_channel[-1] + plant.channels[plant.ports - 1] if plant.ports else 0


def _number_on(numbers: list[int], start: int) -> list[int]:
    """Give every -1 the next number from `start`; the positions that got one, in order."""
    lost = [position for position, number in enumerate(numbers) if number < 0]
    for step, position in enumerate(lost):
        numbers[position] = start + step
    return lost


def _inverse(numbers: list[int], count: int) -> list[int]:
    back = [-1] * count
    for own, shared in enumerate(numbers):
        back[shared] = own
    return back
