"""The plant: a studio with every name resolved to a number, and everything that is fixed. What holds in a state is in `state`.

Nodes are numbered: first the ports of the units, then the jacks of the bays, then the mults. Channels are numbered along the ports.
Names are made only when something is told.
"""

from bisect import bisect_right
from collections.abc import Callable
from typing import Any, TypeVar, cast

from attrs import define, field

from routecode.circuit.parts import (
    BOTH,
    DIRECTION_NUMBER,
    EITHER,
    IN,
    JACK,
    OUT,
    PLAIN,
    Bond,
    Branch,
    CordEnd,
    Details,
    Joints,
    Kit,
    NormalJoint,
    PlacedBay,
    PlacedCord,
    PlacedNeed,
    PlacedSetup,
    PlacedUnit,
    Said,
    Socket,
    Wire,
    jack_in,
)
from routecode.language.written import Multipin, Route, Studio, Unit

__all__ = [
    "BOTH",
    "DIRECTION_NUMBER",
    "EITHER",
    "IN",
    "JACK",
    "OUT",
    "PLAIN",
    "Bond",
    "Branch",
    "CordEnd",
    "Details",
    "Joints",
    "Kit",
    "NormalJoint",
    "PlacedBay",
    "PlacedCord",
    "PlacedNeed",
    "PlacedSetup",
    "PlacedUnit",
    "Plant",
    "Said",
    "Socket",
    "Wire",
    "jack_in",
]


T = TypeVar("T")


@define(eq=False)
class Plant:
    """Everything that is fixed, by numbers."""

    studio: Studio
    units: dict[str, PlacedUnit] = field(factory=dict)
    bays: dict[str, PlacedBay] = field(factory=dict)
    family_names: list[str] = field(factory=lambda: [""])
    """Families by number; 0 is none (jacks)."""
    direction: list[int] = field(factory=list)
    family: list[int] = field(factory=list)
    channels: list[int] = field(factory=list)
    first_channel: list[int] = field(factory=list)
    """First channel number of each port node (ports only)."""
    ports: int = 0
    """How many nodes are ports; nodes from here on are jacks."""
    hubs: int = 0
    """Nodes from here on are mults: the bus that joins their jacks. They have no name and are in no net's list of nodes."""
    hub_jacks: list[tuple[int, ...]] = field(factory=list)
    """The jacks of each mult, in the order of the hub nodes."""
    wires: list[Wire] = field(factory=list)
    wire_at: dict[int, int] = field(factory=dict)
    """Node -> index of its first wire, where there is any."""
    more_wires: dict[int, list[int]] = field(factory=dict)
    """Node -> indices of its further wires."""
    normals: list[NormalJoint] = field(factory=list)
    routes: dict[tuple[int, int], Route] = field(factory=dict)
    setups: dict[str, PlacedSetup] = field(factory=dict)
    phantom_on: set[int] = field(factory=set)
    """The inputs whose phantom power is on where no setup says otherwise."""
    _unit_starts: list[int] = field(factory=list)
    _unit_list: list[PlacedUnit] = field(factory=list)
    _bay_starts: list[int] = field(factory=list)
    _bay_list: list[PlacedBay] = field(factory=list)
    _normal_at: dict[int, int] = field(factory=dict)
    _more_normals: dict[int, list[int]] = field(factory=dict)
    _of_units: dict[Callable[..., Any], Any] = field(factory=dict)
    passive: list[tuple[PlacedUnit, Branch]] = field(factory=list)
    """The insides (not hardwired) with a passive port at an end."""

    # -- building -------------------------------------------------------------------------------------------------------

    def add_unit(self, written: Unit, kit: Kit) -> None:
        """Give a unit its numbers."""
        channel = (self.first_channel[-1] + self.channels[-1]) if self.first_channel else 0
        unit = PlacedUnit(written.id, written, kit, len(self.direction), channel)
        self.units[unit.id] = unit
        self._unit_starts.append(unit.first)
        self._unit_list.append(unit)
        self.direction += kit.directions
        self.family += kit.families
        self.channels += kit.channels
        self.first_channel += [channel + offset for offset in kit.offsets[:-1]]
        self.ports = len(self.direction)

    def add_bay(self, bay: PlacedBay) -> None:
        """Give a bay its numbers: all bays come after all units."""
        self.bays[bay.id] = bay
        self._bay_starts.append(bay.first)
        self._bay_list.append(bay)
        zeros = [0] * (bay.columns * bay.rows)
        self.direction += zeros
        self.family += zeros
        self.channels += zeros

    def find_passive(self) -> None:
        """Fill `passive`; call when all units are placed."""
        by_kit: dict[int, list[Branch]] = {}
        for unit in self._unit_list:
            branches = by_kit.get(id(unit.kit))
            if branches is None:
                ways = unit.kit.directions
                branches = [
                    branch for branch in unit.kit.branches if EITHER in (ways[branch.source], ways[branch.target])
                ]
                by_kit[id(unit.kit)] = branches
            self.passive += [(unit, branch) for branch in branches]

    def add_hubs(self) -> None:
        """Give every mult its node; call when all bays are placed."""
        self.hubs = len(self.direction)
        self.hub_jacks = [jacks for bay in self._bay_list for jacks, _ in bay.mults]
        zeros = [0] * len(self.hub_jacks)
        self.direction += zeros
        self.family += zeros
        self.channels += zeros

    def of_units(self, make: "Callable[[Plant], T]") -> T:
        """What `make` works out of the units alone, worked out once; ask when all units are placed."""
        if make not in self._of_units:
            self._of_units[make] = make(self)
        return cast(T, self._of_units[make])

    def share_units(self, other: "Plant") -> None:
        """Take over what was worked out of the units of a plant that has the very same ones."""
        self._of_units = other._of_units

    # -- names ----------------------------------------------------------------------------------------------------------

    def node(self, name: str) -> int | None:
        """The node of `unit/port` or `bay/top n`; None where there is none."""
        head, slash, rest = name.partition("/")
        unit = self.units.get(head)
        if unit is not None:
            index = unit.kit.index.get(rest)
            return None if index is None else unit.first + index
        bay = self.bays.get(head)
        return jack_in(bay, rest) if bay is not None and slash else None

    def channel(self, name: str) -> int | None:
        """The channel of `unit/port ch n`, or of a port with one channel; None where there is none."""
        node = self.node(name)
        if node is not None:
            return self.first_channel[node] if node < self.ports and self.channels[node] == 1 else None
        stem, mark, number = name.rpartition(" ch ")
        node = self.node(stem) if mark and number.isascii() and number.isdecimal() and number[0] != "0" else None
        if node is None or node >= self.ports or int(number) > self.channels[node]:
            return None
        return self.first_channel[node] + int(number) - 1

    def name(self, node: int) -> str:
        """Canonical name of a node."""
        if node >= self.ports:
            return self.bay_of(node).jack_name(node)
        unit = self.unit_of(node)
        return f"{unit.id}/{unit.kit.sockets[node - unit.first].name}"

    def channel_name(self, channel: int) -> str:
        """Canonical name of a channel."""
        node = self.node_of(channel)
        if self.channels[node] == 1:
            return self.name(node)
        return f"{self.name(node)} ch {channel - self.first_channel[node] + 1}"

    # -- the way round --------------------------------------------------------------------------------------------------

    @property
    def away(self) -> frozenset[int]:
        """The ports of units that are away; ask when all units are placed."""
        return self.of_units(_away)

    @property
    def channel_count(self) -> int:
        """How many channels there are."""
        return self.first_channel[-1] + self.channels[self.ports - 1] if self.ports else 0

    def node_of(self, channel: int) -> int:
        """The port that carries a channel."""
        return bisect_right(self.first_channel, channel) - 1

    def channels_of(self, node: int) -> range:
        """The channels of a port (none for a jack)."""
        first = self.first_channel[node] if node < self.ports else 0
        return range(first, first + self.channels[node])

    def is_jack(self, node: int) -> bool:
        """Whether the node is a jack of a bay."""
        return self.ports <= node < self.hubs

    def unit_of(self, node: int) -> PlacedUnit:
        """The unit of a port."""
        return self._unit_list[bisect_right(self._unit_starts, node) - 1]

    def bay_of(self, node: int) -> PlacedBay:
        """The bay of a jack."""
        return self._bay_list[bisect_right(self._bay_starts, node) - 1]

    def socket(self, node: int) -> Socket:
        """The facts of a port."""
        unit = self.unit_of(node)
        return unit.kit.sockets[node - unit.first]

    def multipin_of(self, node: int) -> tuple[Multipin, int] | None:
        """The multipin connector that carries a port, and the number of its circuit from 1; None where there is none."""
        if self.is_jack(node):
            return None
        unit = self.unit_of(node)
        socket = node - unit.first
        found = next((many for many in unit.kit.multipins if socket in many.sockets), None)
        return None if found is None else (found.written, found.sockets.index(socket) + 1)

    def wires_of(self, node: int) -> list[Wire]:
        """The fixed cables at a node."""
        first = self.wire_at.get(node)
        if first is None:
            return []
        return [self.wires[first], *(self.wires[index] for index in self.more_wires.get(node, ()))]

    def wired(self, node: int) -> list[int]:
        """The places at the other ends of its fixed cables."""
        return [wire.other(node) for wire in self.wires_of(node)]

    def normals_at(self, node: int) -> list[int]:
        """Indices of the normals that end at a jack."""
        if not self._normal_at and self.normals:
            first, more = self._normal_at, self._more_normals
            for number, normal in enumerate(self.normals):
                for end in normal[:2]:
                    if end in first:
                        more.setdefault(end, []).append(number)
                    else:
                        first[end] = number
        one = self._normal_at.get(node)
        return [] if one is None else [one, *self._more_normals.get(node, ())]

    def jack_key(self, node: int) -> tuple[str, str, int]:
        """(bay, row, number): the order of jacks among equally short ways."""
        bay = self.bay_of(node)
        return (bay.id, *bay.place(node))


def _away(plant: Plant) -> frozenset[int]:
    return frozenset(node for unit in plant.units.values() if unit.written.away is not None for node in unit)
