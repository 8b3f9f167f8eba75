"""One walk over the fixed cables: what is behind each jack, numbers that occur again, places with several cables. Judges nothing."""

from collections.abc import Iterator

from attrs import frozen

from routecode.circuit.plant import EITHER, JACK, PLAIN, Wire
from routecode.ground.order import natural
from routecode.rules.rule import Scene

TIE = 16
"""Bit of a jack whose cable leads to another jack; 1 << direction for ports."""


@frozen
class Cabling:
    """`behind[node]`: bits of the directions of what is wired to a jack (`1 << IN` ..., TIE); 0: nothing. `again`: numbers on several cables."""

    behind: bytearray
    again: tuple[str, ...]
    joined: frozenset[int]
    """Jacks of mults."""
    said: tuple[Wire, ...]
    """The cables of which more is said than their two ends."""


def cabling(scene: Scene) -> Cabling:
    """The walk."""
    plant = scene.plant
    ports, direction = plant.ports, plant.direction
    bits = [TIE if way == JACK else 1 << way for way in range(5)]
    behind = bytearray(len(direction))
    seen: dict[str, object] = {}
    again: set[str] = set()
    said: list[Wire] = []
    for wire in plant.wires:
        a, b = wire.a, wire.b
        if a >= ports:
            behind[a] |= bits[direction[b]]
        if b >= ports:
            behind[b] |= bits[direction[a]]
        details = wire.details
        if details is PLAIN:
            continue
        said.append(wire)
        if details.number is not None and seen.setdefault(details.number, wire.table) is not wire.table:
            again.add(details.number)
    joined = frozenset(jack for bay in plant.bays.values() for jacks, _ in bay.mults for jack in jacks)
    return Cabling(behind, tuple(sorted(again)), joined, tuple(said))


def crowded(scene: Scene) -> list[tuple[int, list[Wire]]]:
    """Places with more cables than one face takes, each with one cable of every statement there.

    A stated split counts once. An `either` port without hardwired insides has two faces; every other place has one.
    """
    found = []
    for node in scene.plant.more_wires:
        found += [(node, wires) for wires in _faces(scene, node) if len(wires) > 1]
    return found


def _faces(scene: Scene, node: int) -> Iterator[list[Wire]]:
    plant = scene.plant
    wires = sorted(plant.wires_of(node), key=lambda wire: natural(plant.name(wire.other(node))))
    if plant.direction[node] == EITHER:
        unit = plant.unit_of(node)
        if node - unit.first not in unit.kit.bonded:
            yield _statements([wire for wire in wires if wire.front])
            wires = [wire for wire in wires if not wire.front]
    yield _statements(wires)


def _statements(wires: list[Wire]) -> list[Wire]:
    """One wire of each stated split, and all others."""
    splits: set[int] = set()
    found = []
    for wire in wires:
        if wire.split == 0 or wire.split not in splits:
            found.append(wire)
        splits.add(wire.split)
    return found
