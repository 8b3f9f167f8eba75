"""Ports and columns that go alike, folded into cells: `mic 1-8` is one cell where all eight go to the same cell in the same order.

Cells are found by refinement: at first all numbered ports of one stem are one cell; a cell is split wherever its members do
not go alike, until nothing splits any more. So a line between two cells always joins them one to one, in order.
"""

import re
from collections.abc import Iterable
from typing import NamedTuple

from routecode.circuit.plant import IN
from routecode.show.drawing.around import Part
from routecode.show.drawing.compare import Both, Joined, Mark
from routecode.show.drawing.facts import End

_NUMBERED = re.compile(r"(.*?)([0-9]{1,9})", re.DOTALL)
_SIDES = {"left": 1, "right": 2}


class Pin(NamedTuple):
    """A port at an edge of its unit (`in` upper, `out` lower), or a column of a bay (`column`)."""

    block: str
    edge: str
    name: str


class Cell(NamedTuple):
    """Pins that go alike, in order; `label` names them all."""

    id: int
    block: str
    edge: str
    pins: tuple[Pin, ...]
    label: str
    used: bool


class Folded(NamedTuple):
    """All cells, by block in the order in which they are drawn, and the cell of each pin."""

    cells: dict[str, list[Cell]]
    of: dict[Pin, Cell]


def pin(end: End, gives: bool) -> Pin:
    """The pin at which a joint ends; `gives`: the signal comes out of it."""
    return Pin(end.block, "column", end.name) if end.row else Pin(end.block, "out" if gives else "in", end.name)


def numbered(name: str) -> tuple[str, int]:
    """Stem and number of a name; `left` and `right` count as 1 and 2 of a pair, a name without a number as 0 of its own."""
    found = _NUMBERED.fullmatch(name)
    if found and not (found[2].startswith("0") and len(found[2]) > 1):
        return found[1], int(found[2])
    stem, space, last = name.rpartition(" ")
    if last in _SIDES:
        return stem + space + "\n", _SIDES[last]
    return name, 0


def fold(both: Both, part: Part) -> Folded:
    """The cells of everything that is drawn."""
    order = _pins(both, part)
    touching: dict[Pin, list[tuple[Joined, bool]]] = {found: [] for found in order}
    for joint in part.joints:
        touching[pin(joint.a, True)].append((joint, True))
        touching[pin(joint.b, False)].append((joint, False))
    classes = dict.fromkeys(order, 0)
    count = 0
    while True:
        classes = _split(order, touching, classes, both)
        if len(set(classes.values())) == count:
            return _folded(order, touching, classes)
        count = len(set(classes.values()))


def _pins(both: Both, part: Part) -> list[Pin]:
    """Every pin once, in the order in which they are drawn."""
    used: dict[str, dict[str, set[str]]] = {}
    for joint in part.joints:
        for end, gives in ((joint.a, True), (joint.b, False)):
            if not end.row:
                used.setdefault(end.block, {}).setdefault(end.name, set()).add("out" if gives else "in")
    found: list[Pin] = []
    for unit in part.units:
        ports = {name: way for facts in both.unit(unit) if facts for name, way in facts.ports}
        wired = used.get(unit, {})
        for name, way in ports.items():
            edges = wired.get(name) or (set() if part.left_out else {"in" if way == IN else "out"})
            found += [Pin(unit, edge, name) for edge in sorted(edges)]
    columns = sorted(part.columns, key=lambda step: (step[0], int(step[1])))
    return found + [Pin(bay, "column", number) for bay, number in columns]


def _split(
    order: list[Pin], touching: dict[Pin, list[tuple[Joined, bool]]], classes: dict[Pin, int], both: Both
) -> dict[Pin, int]:
    """One step of refinement: runs of consecutive numbers with equal signs."""
    numbers: dict[tuple[object, ...], list[tuple[int, int]]] = {}
    for index, found in enumerate(order):
        stem, number = numbered(found.name)
        sign = _sign(found, number, touching[found], classes, both)
        numbers.setdefault((found.block, found.edge, stem, sign), []).append((number, index))
    new: dict[Pin, int] = {}
    label = 0
    for members in numbers.values():
        last = None
        for number, index in sorted(members):
            label += last is None or number != last + 1
            last = number
            new[order[index]] = label
    return new


def _sign(
    found: Pin, number: int, joints: Iterable[tuple[Joined, bool]], classes: dict[Pin, int], both: Both
) -> tuple[object, ...]:
    """How a pin goes: equal signs go alike."""
    ways = []
    for joint, gives in joints:
        own, other = (joint.a, joint.b) if gives else (joint.b, joint.a)
        far = pin(other, not gives)
        ways.append(
            (
                joint.kind,
                joint.mark.value,
                joint.traits,
                gives,
                own.row,
                other.row,
                classes[far],
                numbered(far.name)[1] - number,
            )
        )
    own_sign: tuple[object, ...] = (classes[found],)
    if found.edge == "column":
        column = both.column(found.block, int(found.name))
        own_sign = (classes[found], column.mark, column.before, column.after, column.reserved)
    return (own_sign, tuple(sorted(ways)))


def _folded(order: list[Pin], touching: dict[Pin, list[tuple[Joined, bool]]], classes: dict[Pin, int]) -> Folded:
    members: dict[int, list[Pin]] = {}
    for found in order:
        members.setdefault(classes[found], []).append(found)
    cells: dict[str, list[Cell]] = {}
    of: dict[Pin, Cell] = {}
    for number, pins in enumerate(members.values(), 1):
        pins.sort(key=lambda found: numbered(found.name)[1])
        first = pins[0]
        cell = Cell(number, first.block, first.edge, tuple(pins), label(pins), any(touching[found] for found in pins))
        cells.setdefault(first.block, []).append(cell)
        of.update(dict.fromkeys(pins, cell))
    return Folded(cells, of)


def label(pins: list[Pin]) -> str:
    """What is written into a cell."""
    first, last = pins[0].name, pins[-1].name
    stem, number = numbered(last)
    if len(pins) == 1:
        return first
    if stem.endswith("\n"):
        return f"{stem[:-1]}left, right"
    return f"{first}–{number}"


class Bundle(NamedTuple):
    """Parallel joints between two cells: one line with a count."""

    kind: str
    a: Cell
    row_a: str
    b: Cell
    row_b: str
    mark: Mark
    traits: tuple[str, ...]
    joints: tuple[Joined, ...]

    @property
    def ends(self) -> tuple[tuple[str, str], ...]:
        """The canonical names of both ends of each joint."""
        return tuple((joint.a.text, joint.b.text) for joint in self.joints)


def bundles(part: Part, folded: Folded) -> list[Bundle]:
    """The lines of the drawing."""
    found: dict[tuple[object, ...], list[Joined]] = {}
    for joint in part.joints:
        a, b = folded.of[pin(joint.a, True)], folded.of[pin(joint.b, False)]
        key = (a.id, joint.a.row, b.id, joint.b.row, joint.kind, joint.mark.value, joint.traits)
        found.setdefault(key, []).append(joint)
    answer = []
    for together in found.values():
        joints = sorted(together, key=lambda joint: (numbered(joint.a.name), numbered(joint.b.name)))
        first = joints[0]
        a, b = folded.of[pin(first.a, True)], folded.of[pin(first.b, False)]
        answer.append(Bundle(first.kind, a, first.a.row, b, first.b.row, first.mark, first.traits, tuple(joints)))
    return sorted(
        answer, key=lambda line: (line.a.id, line.b.id, line.kind, line.row_a, line.row_b, line.mark.value, line.traits)
    )
