"""Which wires are one cable: a number on several circuits is one multipair, and so are as many as its type has circuits."""

from collections.abc import Iterator

from routecode.circuit.plant import PLAIN, Plant, Wire
from routecode.language.written import Cable


def jackets(plant: Plant) -> Iterator[list[Wire]]:
    """The wires of each cable: those with one number of one statement, or as many as its type has circuits."""
    numbered: dict[tuple[str, int], list[Wire]] = {}
    plain: dict[int, list[Wire]] = {}
    for wire in plant.wires:
        if wire.details is PLAIN:  # most of a large studio
            yield [wire]
        elif wire.number is not None:
            numbered.setdefault((wire.number, _numbering(wire)), []).append(wire)
        elif circuits_of(plant, wire.type) > 1 and isinstance(wire.table, Cable):
            plain.setdefault(id(wire.table), []).append(wire)
        else:
            yield [wire]
    yield from numbered.values()
    for wires in plain.values():
        most = circuits_of(plant, wires[0].type)
        for first in range(0, len(wires), most):
            yield wires[first : first + most]


def _numbering(wire: Wire) -> int:
    """Which statement gives a wire its number."""
    return next(id(said.table) for said in wire.said if isinstance(said.table, Cable) and said.table.number)


def circuits_of(plant: Plant, type_: str | None) -> int:
    """How many circuits a type of cable has; 1 where it does not say."""
    kind = plant.studio.cable_type.get(type_ or "")
    return 1 if kind is None or kind.circuits is None else kind.circuits
