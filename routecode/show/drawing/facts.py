"""What one side of a drawing has: units, bays and joints of one studio in one state, by names, each joint in the direction its signal goes.

Read from a compiled circuit; nothing is compared, folded or placed here.
"""

import itertools
from collections.abc import Mapping
from typing import NamedTuple

from attrs import frozen

from routecode.circuit.circuit import Circuit
from routecode.circuit.plant import BOTH, EITHER, IN, OUT, NormalJoint, PlacedBay, PlacedUnit, Plant
from routecode.circuit.state import State


class End(NamedTuple):
    """One end of a joint: a port of a unit (`row` empty) or a jack (`row` top, bottom or single; `name` its column)."""

    block: str
    row: str
    name: str

    @property
    def text(self) -> str:
        """Canonical name."""
        if not self.row or self.row == "single":
            return f"{self.block}/{self.name}"
        return f"{self.block}/{self.row} {self.name}"


class Joint(NamedTuple):
    """A cable, a cord, a normal that goes sideways, or jacks that are joined in a mult; from `a` to `b` as its signal goes."""

    kind: str
    a: End
    b: End
    traits: tuple[str, ...]
    """What makes it another joint when it differs."""
    number: str

    @property
    def key(self) -> tuple[str, End, End]:
        """Its identity: kind and unordered pair of ends."""
        return (self.kind, *sorted((self.a, self.b)))  # type: ignore[return-value]  # two ends sorted are two ends


class Normal(NamedTuple):
    """The normal of a column: its pattern in words, whether it is joined in this state, whether a dummy plug breaks it."""

    pattern: str
    closed: bool


@frozen
class UnitFacts:
    """A unit: what is written into its box, its ports (name, direction number) in order, and whether it has any inside."""

    title: str
    room: str
    note: str
    ports: tuple[tuple[str, int], ...]
    passes: bool


@frozen
class BayFacts:
    """A bay: its rows, which of them carries the sources, and its columns."""

    title: str
    room: str
    note: str
    rows: int
    columns: int
    source_row: str
    normals: Mapping[int, Normal]
    reserved: frozenset[int]


@frozen
class Side:
    """One studio in one state."""

    units: Mapping[str, UnitFacts]
    bays: Mapping[str, BayFacts]
    rooms: Mapping[str, str]
    joints: tuple[Joint, ...]


def side(circuit: Circuit, setup: str | None, called: Mapping[str, str] | None = None) -> Side:
    """The facts of a circuit in a state. `called` gives the names that units, bays and rooms have on the other side."""
    reader = _Reader(circuit.state(setup), called or {})
    plant = circuit.plant
    return Side(
        {reader.id(unit.id): reader.unit(unit) for unit in plant.units.values()},
        {reader.id(bay.id): reader.bay(bay) for bay in plant.bays.values()},
        {reader.id(room.id): room.title or room.id for room in plant.studio.room.values()},
        tuple(sorted({joint.key: joint for joint in reader.joints()}.values())),
    )


class _Reader:
    def __init__(self, state: State, called: Mapping[str, str]) -> None:
        self.state = state
        self.plant: Plant = state.plant
        self.called = called
        self._depths: dict[int, dict[int, int]] = {}
        self.patterns: dict[tuple[str, int], NormalJoint] = {
            (n.bay, n.column): n for n in self.plant.normals if n.column
        }

    def id(self, name: str) -> str:
        return self.called.get(name, name)

    def unit(self, unit: PlacedUnit) -> UnitFacts:
        written = unit.written
        room, note = self._stands(written.room, written.rack)
        note = f"away: {written.away}" if written.away else ("portable" if written.portable and not note else note)
        ports = tuple((socket.name, socket.direction) for socket in unit.kit.sockets)
        return UnitFacts(unit.title, room, note, ports, bool(unit.kit.branches or unit.kit.bonds))

    def bay(self, bay: PlacedBay) -> BayFacts:
        room, note = self._stands(bay.written.room, bay.written.rack)
        normals = {column: self._normal(bay, column) for column in range(1, bay.columns + 1)}
        reserved = frozenset(bay.reserved)
        return BayFacts(bay.title, room, note, bay.rows, bay.columns, bay.written.sources, normals, reserved)

    def _stands(self, room: str | None, rack: str | None) -> tuple[str, str]:
        if rack is None:
            return self.id(room or ""), ""
        found = self.plant.studio.rack[rack]
        return self.id(found.room or room or ""), found.title or rack

    def _normal(self, bay: PlacedBay, column: int) -> Normal:
        joint = self.patterns.get((bay.id, column))
        if joint is None:
            return Normal("none", False)
        word = joint.pattern
        placed = self.state.placed
        if bay.plugs and placed is not None and (bay.id, column) in placed.links:
            word = placed.links[bay.id, column][0]
        if bay.plugs:
            word = {bay.destination_row: "plug", "none": "none"}.get(word, "held")
        return Normal(word, self.state.normal_closed(joint))

    # -- joints ---------------------------------------------------------------------------------------------------------

    def joints(self) -> list[Joint]:
        plant = self.plant
        found = []
        for wire in plant.wires:
            a, b = self._directed(wire.a, wire.b, front=False)
            traits = ("reversed" if wire.reversed else "", "front" if wire.front else "", wire.type or "")
            found.append(Joint("cable", self.end(a), self.end(b), traits, wire.number or ""))
        for cord in self.state.cords:
            if cord.a.node >= 0 and cord.b.node >= 0:
                a, b = self._directed(cord.a.node, cord.b.node, front=True)
                found.append(Joint("cord", self.end(a), self.end(b), ("reversed" if cord.reversed else "",), ""))
        for normal in plant.normals:
            if not normal.column:
                closed = "" if self.state.normal_closed(normal) else "broken by a plug"
                found.append(
                    Joint("normal", self.end(normal.source), self.end(normal.target), (normal.pattern, closed), "")
                )
        for bay in plant.bays.values():
            for jacks, _ in bay.mults:
                found += [Joint("mult", self.end(a), self.end(b), (), "") for a, b in itertools.pairwise(jacks)]
        return found

    def end(self, node: int) -> End:
        plant = self.plant
        if not plant.is_jack(node):
            return End(self.id(plant.unit_of(node).id), "", plant.socket(node).name)
        bay = plant.bay_of(node)
        row, column = bay.place(node)
        return End(self.id(bay.id), row or "single", str(column))

    def _directed(self, a: int, b: int, front: bool) -> tuple[int, int]:
        """The two nodes in the direction the signal goes; as written where nothing tells."""
        gives, takes = self._gives(a, front), self._gives(b, front)
        if self.plant.is_jack(a) != self.plant.is_jack(b):  # what a port does weighs more than the row of the jack
            port, jack = (b, a) if self.plant.is_jack(a) else (a, b)
            way = self._gives(port, front)
            way = way if way is not None else _opposite(self._gives(jack, front))
            gives, takes = (way, None) if port == a else (None, way)
        if gives is not None and takes is not None and gives == takes:
            gives = takes = None
        if gives is None and takes is None:
            return self._by_depth(a, b)
        return (a, b) if gives is True or takes is False else (b, a)

    def _gives(self, node: int, front: bool) -> bool | None:
        """Whether the signal comes from this end into the joint; None where it may do either."""
        if not self.plant.is_jack(node):
            return {OUT: True, IN: False, EITHER: None, BOTH: None}[self.plant.direction[node]]
        bay = self.plant.bay_of(node)
        row, _ = bay.place(node)
        if not row:
            return None
        return (row == bay.written.sources) == front

    def _by_depth(self, a: int, b: int) -> tuple[int, int]:
        net = self.state.net_of(a)
        if net is None or not net.drives or net.either:
            return a, b
        depths = self._depths.get(id(net))
        if depths is None:
            depths = self._depths[id(net)] = self._flood(net.drives)
        return (a, b) if depths.get(a, 0) <= depths.get(b, 0) else (b, a)

    def _flood(self, starts: list[int]) -> dict[int, int]:
        depths = dict.fromkeys(starts, 0)
        queue = list(starts)
        for node in queue:
            for other in self.state.joined(node):
                if other not in depths:
                    depths[other] = depths[node] + 1
                    queue.append(other)
        return depths


def _opposite(way: bool | None) -> bool | None:
    return None if way is None else not way
