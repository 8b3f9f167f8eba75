"""The plant: a studio with every name resolved to a number, and everything that is fixed. What holds in a state is in `state`.

Nodes are numbered: first the ports of the units, then the jacks of the bays. Channels are numbered along the ports. Names are
made only when something is told.
"""

from bisect import bisect_right
from collections.abc import Iterator
from typing import NamedTuple

from attrs import define, field, frozen

from routecode.ground.place import At
from routecode.language.written import Bay, Cable, Column, Cord, Need, Normal, Plug, Port, Route, Setup, Studio, SwitchSet, Unit

JACK, IN, OUT, EITHER, BOTH = range(5)
"""Directions as numbers; a jack has none of its own."""

DIRECTION_NUMBER = {"in": IN, "out": OUT, "either": EITHER, "both": BOTH}


class Socket(NamedTuple):
    """A port of a kit: its resolved facts and the declaration they come from (keys of model and unit united)."""

    name: str
    direction: int
    signal: str
    family: str
    channels: int
    written: Port


class Branch(NamedTuple):
    """An inside from one channel to another, by socket index and channel (from 0) within the kit."""

    source: int
    source_channel: int
    target: int
    target_channel: int
    kind: str
    control: str
    reversed: bool
    switch: str | None
    position: str | None
    unless: int | None
    at: At

    @property
    def conditional(self) -> bool:
        """Whether it may be open."""
        return self.switch is not None or self.unless is not None or self.control == "routed"


class Bond(NamedTuple):
    """A hardwired inside: two whole sockets of the kit joined as conductors."""

    source: int
    target: int
    reversed: bool
    switch: str | None
    position: str | None
    unless: int | None
    at: At


@define(eq=False)
class Kit:
    """Ports, insides and switches of a model, shared by all units that add nothing of their own."""

    sockets: tuple[Socket, ...]
    index: dict[str, int]
    directions: list[int]
    families: list[int]
    channels: list[int]
    offsets: list[int]
    """First channel of each socket, counted within the kit; one more entry than sockets: the total."""
    branches: tuple[Branch, ...]
    bonds: tuple[Bond, ...]
    switches: dict[str, tuple[str, ...]]
    bonded: frozenset[int]
    """Sockets with a declared hardwired inside."""


@define(eq=False)
class PlacedUnit:
    """A unit with its numbers: its ports are nodes `first` to `first + len(kit.sockets) - 1`."""

    id: str
    written: Unit
    kit: Kit
    first: int
    first_channel: int

    @property
    def title(self) -> str:
        """What people call it."""
        return self.written.title or self.id

    def __iter__(self) -> Iterator[int]:
        return iter(range(self.first, self.first + len(self.kit.sockets)))


@define(eq=False)
class PlacedBay:
    """A bay with its numbers. Columns count from 1; `normals[n]` is the normal of column n, or its link plug (`bottom`: makes the normal in the row of destinations)."""

    id: str
    written: Bay
    first: int
    columns: int
    rows: int
    normals: list[str]
    reserved: dict[int, str] = field(factory=dict)
    groups: dict[int, str] = field(factory=dict)
    labels: dict[tuple[str, int], str] = field(factory=dict)
    mults: list[tuple[tuple[int, ...], At]] = field(factory=list)

    @property
    def title(self) -> str:
        """What people call it."""
        return self.written.title or self.id

    @property
    def plugs(self) -> bool:
        """Whether its normals are link plugs."""
        return self.written.normalling == "plugs"

    @property
    def destination_row(self) -> str:
        """The row in which half normals and link plugs break."""
        return "bottom" if self.written.sources == "top" else "top"

    def jack(self, row: str, number: int) -> int:
        """The node of a jack that exists; `row` is ignored on one-row bays."""
        return self.first + number - 1 + (self.columns if row == "bottom" else 0)

    def place(self, node: int) -> tuple[str, int]:
        """Row (`""` on one-row bays) and number of a jack."""
        row, column = divmod(node - self.first, self.columns)
        return ("" if self.rows == 1 else ("top", "bottom")[row], column + 1)

    def jack_name(self, node: int) -> str:
        """`bay/top 3`, or `bay/3` on one-row bays."""
        row, number = self.place(node)
        return f"{self.id}/{row} {number}" if row else f"{self.id}/{number}"


class Said(NamedTuple):
    """A statement that makes a joint: the table, and the key that says it."""

    table: Column | Cable
    key: str

    @property
    def at(self) -> At:
        """Where it stands."""
        return self.table.where(self.key)


class Details(NamedTuple):
    """What `[[cable]]` statements add to a cable."""

    reversed: bool = False
    front: bool = False
    number: str | None = None
    type: str | None = None
    metres: float | None = None
    loom: str | None = None
    split: int = 0
    """0, or the number of the stated split it belongs to."""
    said: tuple[Said, ...] = ()
    """Its statements after the first."""


PLAIN = Details()


class Wire:
    """A fixed cable between two nodes: where it is stated first, and what else is said of it. There are a hundred thousand of them."""

    __slots__ = ("a", "b", "details", "key", "table")

    def __init__(self, a: int, b: int, table: Column | Cable, key: str, details: Details = PLAIN) -> None:
        self.a = a
        self.b = b
        self.table = table
        self.key = key
        self.details = details

    @property
    def reversed(self) -> bool:
        """Whether hot and cold are exchanged on the way."""
        return self.details.reversed

    @property
    def front(self) -> bool:
        """Whether it is at the face of its passive ports."""
        return self.details.front

    @property
    def number(self) -> str | None:
        """The number on its labels."""
        return self.details.number

    @property
    def type(self) -> str | None:
        """Its cable type."""
        return self.details.type

    @property
    def metres(self) -> float | None:
        """Its length."""
        return self.details.metres

    @property
    def loom(self) -> str | None:
        """The jacket or bundle it runs in."""
        return self.details.loom

    @property
    def split(self) -> int:
        """0, or the number of the stated split it belongs to."""
        return self.details.split

    @property
    def said(self) -> tuple[Said, ...]:
        """All its statements."""
        return (Said(self.table, self.key), *self.details.said)

    @property
    def at(self) -> At:
        """Where it is stated first."""
        return self.table.where(self.key)

    def other(self, node: int) -> int:
        """The other end."""
        return self.b if node == self.a else self.a


class NormalJoint(NamedTuple):
    """A normal between two jacks: of a column (`column` > 0, `pattern` its word) or a `[[normal]]` (`column` 0, `pattern` what breaks it).

    `rests`: joined while no plug is anywhere but where the wiring puts link plugs. `said`: the table that says it, and the key.
    """

    source: int
    target: int
    pattern: str
    bay: str
    column: int
    rests: bool
    table: Column | Bay | Normal
    key: str

    @property
    def at(self) -> At:
        """Where it is stated."""
        return self.table.where(self.key) if self.key else self.table.place


class Joints:
    """Which nodes are joined: two places for each node in flat lists, more in a dictionary. Joints of the unpatched state."""

    __slots__ = ("first", "more", "second")

    def __init__(self, count: int) -> None:
        self.first = [-1] * count
        self.second = [-1] * count
        self.more: dict[int, list[int]] = {}

    def join(self, a: int, b: int) -> None:
        """Join two nodes (again, if they are joined already: each joint counts)."""
        for node, other in ((a, b), (b, a)):
            if self.first[node] < 0:
                self.first[node] = other
            elif self.second[node] < 0:
                self.second[node] = other
            else:
                self.more.setdefault(node, []).append(other)

    def at(self, node: int) -> list[int]:
        """The nodes joined to a node directly, one for each joint."""
        first, second = self.first[node], self.second[node]
        if first < 0:
            return []
        return [first] if second < 0 else [first, second, *self.more.get(node, ())]


class CordEnd(NamedTuple):
    """One end of a cord: the text that names it, the node it goes to (-1: ambiguous), and how: `jack`, `port`, `face` or `ambiguous`."""

    named: str
    node: int
    how: str
    jacks: tuple[int, ...]
    """The jacks an `in` or `out` port stands for (more than one: ambiguous)."""
    at: At


class PlacedCord(NamedTuple):
    """A cord: two ends (a Y-cord gives one for each leg), with the setup that brought it."""

    a: CordEnd
    b: CordEnd
    reversed: bool
    written: Cord
    setup: str


class PlacedNeed(NamedTuple):
    """One need: channels in order, with the names as written."""

    steps: tuple[int, ...]
    names: tuple[str, ...]
    written: Need


@define(eq=False)
class PlacedSetup:
    """A setup with everything it includes, resolved. Needs are its own only."""

    id: str
    written: Setup
    cords: tuple[PlacedCord, ...] = ()
    dummies: dict[int, Plug] = field(factory=dict)
    """Jack -> the statement that puts a dummy plug there."""
    links: dict[tuple[str, int], tuple[str, Plug]] = field(factory=dict)
    """(bay, column) -> where its link plug sits: bottom, top, none."""
    positions: dict[tuple[str, str], tuple[str, SwitchSet]] = field(factory=dict)
    """(unit, switch) -> position."""
    routes: dict[tuple[int, int], Route] = field(factory=dict)
    """(from channel, to channel) -> the statement."""
    needs: tuple[PlacedNeed, ...] = ()


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
    _unit_starts: list[int] = field(factory=list)
    _unit_list: list[PlacedUnit] = field(factory=list)
    _bay_starts: list[int] = field(factory=list)
    _bay_list: list[PlacedBay] = field(factory=list)
    _normals_at: dict[int, list[int]] = field(factory=dict)
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
                branches = [branch for branch in unit.kit.branches if EITHER in (ways[branch.source], ways[branch.target])]
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

    def wires_of(self, node: int) -> list[Wire]:
        """The fixed cables at a node."""
        first = self.wire_at.get(node)
        if first is None:
            return []
        return [self.wires[first], *(self.wires[index] for index in self.more_wires.get(node, ()))]

    def wired(self, node: int) -> list[int]:
        """The places at the other ends of its fixed cables."""
        return [wire.other(node) for wire in self.wires_of(node)]

    def normals_at(self) -> dict[int, list[int]]:
        """Jack -> indices of the normals that end there."""
        if not self._normals_at and self.normals:
            for number, normal in enumerate(self.normals):
                self._normals_at.setdefault(normal.source, []).append(number)
                self._normals_at.setdefault(normal.target, []).append(number)
        return self._normals_at

    def jack_key(self, node: int) -> tuple[str, str, int]:
        """(bay, row, number): the order of jacks among equally short ways."""
        bay = self.bay_of(node)
        return (bay.id, *bay.place(node))


def jack_in(bay: PlacedBay, text: str) -> int | None:
    """The jack `top 3` (or `3` on a one-row bay) of a bay, or None."""
    row, space, number = text.partition(" ")
    if bay.rows == 1:
        row, number = "", (text if not space else "x")
    elif row not in ("top", "bottom"):
        return None
    if not (number.isascii() and number.isdecimal()) or number[0] == "0" or len(number) > 5 or int(number) > bay.columns:
        return None
    return bay.jack(row, int(number))
