"""Cable flags: for both ends of every numbered cable what it is, where this end goes and where the other one is; how far the flag wraps.

A flag is a strip folded around the cable and glued to itself: a half that is read from the front, the wrap, a half that is read from
behind. A cable with one number on several circuits (a multipair) has one flag at each end.
"""

from collections.abc import Iterable
from math import pi

from attrs import frozen

from routecode.circuit.dead import dead_cables
from routecode.circuit.plant import Plant, Wire
from routecode.ground.order import natural
from routecode.ground.reading import numbered
from routecode.hands.labels import joined, named
from routecode.language.ranges import fold
from routecode.language.written import Cable

USUAL_OD = 6.0
"""Millimetres, where the cable's type does not say `od_mm` (common practice, no source): what is too much is glued over."""
LARGEST_OD = 60.0
"""A thicker cable is given the flag of this one."""


@frozen
class Flag:
    """The flag of one end. `id` tells cables of two revisions apart; `od_mm` is None where it is not known."""

    number: str
    here: str
    there: str
    od_mm: float | None
    dead: bool = False

    @property
    def wrap_mm(self) -> float:
        """The way once around the cable."""
        return pi * min(self.od_mm if self.od_mm is not None else USUAL_OD, LARGEST_OD)


@frozen
class Flags:
    """The flags, both ends of a cable after each other, and how many cables have no number and so no flag."""

    flags: tuple[Flag, ...]
    unnumbered: int


def flags(plant: Plant) -> Flags:
    """All flags of a studio, by number."""
    found: list[Flag] = []
    numbered_wires: dict[tuple[str, int], list[Wire]] = {}
    unnumbered = 0
    for wire in plant.wires:
        if wire.number is None:
            unnumbered += 1
        else:
            numbered_wires.setdefault((wire.number, _statement(wire)), []).append(wire)
    for (number, _), wires in numbered_wires.items():
        found += _both(number, *_ends(plant, wires), _od(plant, wires[0].type), False)
    for cable in dead_cables(plant):
        if cable.number:
            found += _both(cable.number, cable.from_, cable.to, _od(plant, cable.written.type), True)
    return Flags(tuple(sorted(found, key=lambda flag: natural(flag.number))), unnumbered)


def _statement(wire: Wire) -> int:
    """Which statement numbers it: two cables with one number by mistake stay two."""
    tables = [said.table for said in wire.said if isinstance(said.table, Cable) and said.table.number]
    return id(tables[0]) if tables else 0


def _both(number: str, one: str, other: str, od: float | None, dead: bool) -> tuple[Flag, Flag]:
    return Flag(number, one, other, od, dead), Flag(number, other, one, od, dead)


def _od(plant: Plant, kind: str | None) -> float | None:
    found = plant.studio.cable_type.get(kind) if kind is not None else None
    return found.od_mm if found is not None else None


def _ends(plant: Plant, wires: Iterable[Wire]) -> tuple[str, str]:
    listed = list(wires)
    return _named(plant, [wire.a for wire in listed]), _named(plant, [wire.b for wire in listed])


def _named(plant: Plant, nodes: Iterable[int]) -> str:
    """The places of one end, those of one unit folded: `Preamp A out 1-8`."""
    by_head: dict[str, list[str]] = {}
    for head, port in (named(plant, node) for node in nodes):
        by_head.setdefault(head, []).append(port)
    return "; ".join(joined(head, ", ".join(map(numbered, fold(ports)))) for head, ports in by_head.items())
