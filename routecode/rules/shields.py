"""Closed loops that shields make between units: what the two rules about them share. Judges nothing.

Units are joined by cables whose shield is connected at both ends, through bays as these say (`shields`). Several cables between the same two
units count once: a loop has three units or more.
"""

from collections.abc import Iterator

from attrs import frozen

from routecode.circuit.plant import Plant, Wire
from routecode.rules.rule import Scene


@frozen
class Loops:
    """`edges`: pairs of chassis with a cable between them; `closing`: those that close a loop, with that cable."""

    count: int
    closing: tuple[Wire, ...]


def loops(scene: Scene) -> Loops:
    """The loops of the fixed wiring. None where the studio says nothing of shields: then nobody asked."""
    plant = scene.plant
    says = any(bay.written.shields for bay in plant.bays.values()) or any(wire.details.shield for wire in plant.wires)
    return _loops(plant) if says else Loops(0, ())


def _loops(plant: Plant) -> Loops:
    leader: dict[object, object] = {}

    def root(one: object) -> object:
        while leader.setdefault(one, one) != one:
            leader[one] = leader[leader[one]]
            one = leader[one]
        return one

    for one, other in _through_bays(plant):
        leader[root(one)] = root(other)
    seen: set[frozenset[object]] = set()
    closing = []
    for wire in plant.wires:
        if wire.details.shield in ("a", "b"):
            continue
        ends = (_end(plant, wire.a), _end(plant, wire.b))
        key = frozenset(ends)
        if len(key) < 2 or key in seen:
            continue
        seen.add(key)
        a, b = map(root, ends)
        if a == b:
            closing.append(wire)
        leader[a] = b
    return Loops(len(closing), tuple(closing))


def _end(plant: Plant, node: int) -> object:
    """What a shield is joined to at a place: the chassis of a unit; in a bay the jack, its column, or its row."""
    if not plant.is_jack(node):
        return plant.unit_of(node).id
    bay = plant.bay_of(node)
    row, column = bay.place(node)
    return {"bussed": (bay.id, row), "strapped": (bay.id, column)}.get(
        bay.written.shields or "own", (bay.id, row, column)
    )


def _through_bays(plant: Plant) -> Iterator[tuple[object, object]]:
    """Normals join the shields of their jacks where each jack has its own."""
    for normal in plant.normals:
        if normal.rests:
            yield _end(plant, normal.source), _end(plant, normal.target)
