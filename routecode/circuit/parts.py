"""The parts of a plant: ports with their insides, bays, cables, normals, cords and setups, with names resolved to numbers.

Values only. How they come about is in `kits`, `bays`, `cables` and `setups`; how they are numbered is in `plant`.
"""

from collections.abc import Iterator
from datetime import date
from typing import NamedTuple

from attrs import define, field

from routecode.ground.place import At
from routecode.language.equipment import Multipin, Port, Unit
from routecode.language.setups import Cord, Need, Plug, Route, Setup, SwitchSet
from routecode.language.written import Bay, Cable, Column, Normal

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
    ratio: float = 1.0
    """Of a transformer: the voltage at the target for 1 V at the source."""
    gain_db: float | None = None

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


class Plugged(NamedTuple):
    """A connector that carries several ports: the sockets (by index within the kit), circuit by circuit."""

    sockets: tuple[int, ...]
    written: Multipin


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
    multipins: tuple[Plugged, ...] = ()


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
    """A bay with its numbers. Columns count from 1; `normals[n]` is the normal of column n, or where its link plug sits."""

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
    def has_rear_connectors(self) -> bool:
        """Whether cables end on a connector behind each jack: as it says, else with link plugs."""
        return self.written.rear == "connectors" if self.written.rear else self.plugs

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
    cold: str | None = None
    """Where the cold leg is joined to the shield: `a`, `b` (the ends of the wire), or `open`; None: not said."""
    shield: str | None = None
    """The ends at which the shield is connected: `a`, `b`, `both`; None: not said."""
    status: str | None = None
    """`in`, `make`; None: not said, which is `in`. A dead cable is no wire."""
    tested: date | None = None
    """The day on which it was last tested."""
    pins: tuple[tuple[str, str, str], ...] = ()
    """A map of its own: what each wire carries, its pin at `a` and at `b` (`-`: none)."""
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

    def part(self, a: int, b: int) -> None:
        """Take one joint of two nodes away (ValueError where there is none)."""
        for node, other in ((a, b), (b, a)):
            near = self.at(node)
            near.remove(other)
            self.first[node], self.second[node] = (*near, -1, -1)[:2]
            if len(near) > 2:
                self.more[node] = near[2:]
            else:
                self.more.pop(node, None)

    def copy(self) -> "Joints":
        """The same joints, to be changed."""
        made = Joints(0)
        made.first, made.second = self.first.copy(), self.second.copy()
        made.more = {node: others.copy() for node, others in self.more.items()}
        return made

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
    phantom: dict[int, bool] = field(factory=dict)
    """Input with phantom power -> whether it is on; what is not here stands as its unit says."""
    needs: tuple[PlacedNeed, ...] = ()


def jack_in(bay: PlacedBay, text: str) -> int | None:
    """The jack `top 3` (or `3` on a one-row bay) of a bay, or None."""
    row, space, number = text.partition(" ")
    if bay.rows == 1:
        row, number = "", (text if not space else "x")
    elif row not in ("top", "bottom"):
        return None
    if (
        not (number.isascii() and number.isdecimal())
        or number[0] == "0"
        or len(number) > 5
        or int(number) > bay.columns
    ):
        return None
    return bay.jack(row, int(number))
