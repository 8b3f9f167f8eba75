"""What there is to see of a bay in one state: each jack with what is wired behind it and what is plugged in, each column with its
normal, the mults and the normals that go sideways. Words and numbers only; where things stand is in `piece`.
"""

from collections.abc import Mapping
from typing import NamedTuple

from attrs import frozen

from routecode.circuit.circuit import Circuit
from routecode.circuit.plant import CordEnd, NormalJoint, PlacedBay, Plant
from routecode.circuit.state import State
from routecode.ground.order import natural


class Behind(NamedTuple):
    """What is wired to the rear of a jack: unit or bay, its port or jack, and the number of the cable (or empty)."""

    head: str
    port: str
    cable: str

    @property
    def name(self) -> str:
        """Both in one."""
        return f"{self.head} {self.port}"


class Plugged(NamedTuple):
    """A cord in a jack: what the other end is called, and its node (-1: ambiguous)."""

    other: str
    node: int


@frozen
class Jack:
    """A jack of the bay. `row` is `top`, `bottom` or empty on a bay with one row; `link`: its link plug sits here."""

    node: int
    name: str
    row: str
    column: int
    behind: tuple[Behind, ...]
    label: str
    cords: tuple[Plugged, ...]
    dummy: bool
    link: bool
    mark: str

    @property
    def place(self) -> str:
        """`top 12`, or `12` on a bay with one row."""
        return f"{self.row} {self.column}".strip()

    @property
    def occupied(self) -> bool:
        """Whether something is plugged in."""
        return bool(self.cords) or self.dummy or self.link


class Normal(NamedTuple):
    """The normal of a column: `pattern` as written (on bays with link plugs `plug`, `held` or `none`), whether it is joined now."""

    pattern: str
    closed: bool


@frozen
class Column:
    """A column by its number as counted from the front."""

    number: int
    jacks: tuple[Jack, ...]
    normal: Normal
    reserved: str
    group: str


class Sideways(NamedTuple):
    """A normal of its own that ends on this bay, by nodes."""

    source: int
    target: int
    breaks: str
    closed: bool


@frozen
class Face:
    """All there is to see. `sources`: the row that carries them; `marked`: whether any jack has a mark."""

    bay: PlacedBay
    setup: str
    sources: str
    columns: tuple[Column, ...]
    mults: tuple[tuple[int, ...], ...]
    sideways: tuple[Sideways, ...]
    marked: bool


def face_of(circuit: Circuit, bay: str, setup: str | None, marks: Mapping[str, str]) -> Face:
    """What there is to see of a bay (KeyError where there is none, or no such setup)."""
    return _Reader(circuit.plant, circuit.plant.bays[bay], circuit.state(setup), marks).face()


def place_name(plant: Plant, node: int, home: PlacedBay | None = None) -> str:
    """A port or jack as people say it: `Hall line 3`, `South bay top 12`, on the bay at home `top 12`."""
    if not plant.is_jack(node):
        unit = plant.unit_of(node)
        return f"{unit.title} {unit.kit.sockets[node - unit.first].name}"
    bay = plant.bay_of(node)
    row, number = bay.place(node)
    place = f"{row} {number}".strip()
    return place if bay is home else f"{bay.title} {place}"


class _Reader:
    def __init__(self, plant: Plant, bay: PlacedBay, state: State, marks: Mapping[str, str]) -> None:
        self.plant, self.bay, self.state, self.marks = plant, bay, state, marks
        self.cords = self._cords()
        self.links = state.placed.links if state.placed else {}
        self.dummies = frozenset(state.placed.dummies) if state.placed else frozenset()

    def face(self) -> Face:
        bay = self.bay
        placed = self.state.placed
        setup = (placed.written.title or placed.id) if placed else ""
        columns = tuple(self._column(number) for number in range(1, bay.columns + 1))
        return Face(
            bay,
            setup,
            bay.written.sources if bay.rows == 2 else "",
            columns,
            tuple(jacks for jacks, _ in bay.mults),
            self._sideways(),
            any(jack.mark for column in columns for jack in column.jacks),
        )

    def _cords(self) -> dict[int, list[Plugged]]:
        found: dict[int, list[Plugged]] = {}
        for cord in self.state.cords:
            for end, other in ((cord.a, cord.b), (cord.b, cord.a)):
                if end.how == "jack" and 0 <= end.node - self.bay.first < self.bay.columns * self.bay.rows:
                    found.setdefault(end.node, []).append(Plugged(self._end(other), other.node))
        return found

    def _end(self, end: CordEnd) -> str:
        if end.node < 0:
            return end.named
        name = place_name(self.plant, end.node, self.bay)
        behind = self._behind(end.node) if end.how == "jack" else ()
        return f"{name}: {behind[0].name}" if behind else name

    def _column(self, number: int) -> Column:
        bay = self.bay
        word = self._link(number) if bay.plugs else ""
        jacks = tuple(self._jack(row, number, word) for row in (("top", "bottom") if bay.rows == 2 else ("",)))
        return Column(
            number, jacks, self._normal(number, word), bay.reserved.get(number, ""), bay.groups.get(number, "")
        )

    def _link(self, number: int) -> str:
        found = self.links.get((self.bay.id, number))
        return found[0] if found else self.bay.normals[number]

    def _jack(self, row: str, number: int, link: str) -> Jack:
        node = self.bay.jack(row, number)
        name = self.plant.name(node)
        cords = tuple(sorted(self.cords.get(node, ())))
        label = self.bay.labels.get((row or "top", number), "")
        return Jack(
            node,
            name,
            row,
            number,
            self._behind(node),
            label,
            cords,
            node in self.dummies and not cords,
            bool(row) and link == row and not cords,
            self.marks.get(name, ""),
        )

    def _behind(self, node: int) -> tuple[Behind, ...]:
        found = []
        for wire in self.plant.wires_of(node):
            other = wire.other(node)
            if self.plant.is_jack(other):
                bay = self.plant.bay_of(other)
                row, number = bay.place(other)
                found.append(Behind(bay.title, f"{row} {number}".strip(), wire.number or ""))
            else:
                unit = self.plant.unit_of(other)
                found.append(Behind(unit.title, unit.kit.sockets[other - unit.first].name, wire.number or ""))
        return tuple(sorted(found, key=lambda one: (natural(one.head), natural(one.port), one.cable)))

    def _normal(self, number: int, link: str) -> Normal:
        bay = self.bay
        if bay.rows == 1:
            return Normal("none", False)
        joint = self._joint(number)
        closed = joint is not None and self.state.normal_closed(joint)
        if not bay.plugs:
            return Normal(bay.normals[number], closed)
        return Normal("none" if link == "none" else "plug" if link == bay.destination_row else "held", closed)

    def _joint(self, number: int) -> NormalJoint | None:
        for index in self.plant.normals_at(self.bay.jack("top", number)):
            joint = self.plant.normals[index]
            if joint.column == number and joint.bay == self.bay.id:
                return joint
        return None

    def _sideways(self) -> tuple[Sideways, ...]:
        bay = self.bay
        found: dict[int, Sideways] = {}
        for node in range(bay.first, bay.first + bay.columns * bay.rows):
            for index in self.plant.normals_at(node):
                joint = self.plant.normals[index]
                if joint.column == 0:
                    closed = self.state.normal_closed(joint)
                    found[index] = Sideways(joint.source, joint.target, joint.pattern, closed)
        return tuple(sorted(found.values()))
