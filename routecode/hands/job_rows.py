"""The circuits of a step, row by row: cable, both ends, what is on them, pins, length; and at which ends the hands are."""

from typing import NamedTuple

from routecode.hands.cables import Pin, colours_of
from routecode.hands.cables_ends import End
from routecode.hands.job_cables import Side, Work
from routecode.hands.job_circuits import CARRIED, MADE, STAYS, WHOLE, Handled, circuits, pair_numbers
from routecode.hands.job_operations import LIFT, Op
from routecode.hands.job_words import Stand, stand


class Row(NamedTuple):
    """One circuit of one cable in a step. `cable`: its number, or empty; `circuit`: from 1; `of`: how many the cable has."""

    cable: str
    circuit: int
    of: int
    type: str
    metres: float | None
    from_: Stand
    to: Stand
    pins: tuple[Pin, ...]
    becomes: str
    """The number it gets, where it gets another one."""
    at_rack: bool = True
    """Whether an end of it is made at the rack: soldered there, or given another connector."""
    counted: int = 0
    """Which circuit the after side calls it, where that is not the pair that it is; else 0."""


def rows_of(work: Work, kind: str, busy: frozenset[str]) -> tuple[Row, ...]:
    """The rows of lifting or laying a cable. `busy`: units and bays that are exchanged or moved."""
    side = work.old if kind == LIFT else work.new
    if side is None:
        return ()
    found = circuits(work, lifting=kind == LIFT, busy=busy)
    if not found and work.new is not None:
        side, numbers = work.new, pair_numbers(work)
        found = tuple(Handled(index, numbers[index], (CARRIED, CARRIED)) for index in range(len(work.new.pairs)))
    return tuple(_row(work, side, one, kind) for one in found)


def _row(work: Work, side: Side, handled: Handled, kind: str) -> Row:
    index, pair, states = handled
    kind_ = side.plant.studio.cable_type.get(side.cable.type or "")
    number = side.cable.number or ""
    becomes = work.new.cable.number or "" if work.new is not None and kind == LIFT else number
    one, other = (
        stand(side.plant, end, handled=state != STAYS, whole=state == WHOLE)
        for end, state in zip(side.ends(index), states, strict=True)
    )
    return Row(
        number,
        pair + 1,
        max(len(each.pairs) for each in (work.old, work.new) if each is not None),
        (kind_.title if kind_ is not None else None) or side.cable.type or "",
        side.cable.metres,
        one,
        other,
        _pins(side, index, pair),
        becomes if becomes != number else "",
        MADE in states,
        index + 1 if pair != index and side is work.new else 0,
    )


def _pins(side: Side, index: int, pair: int) -> tuple[Pin, ...]:
    """The pins of a circuit, with the colours of the pair that it is."""
    circuit = side.cable.circuits[index]
    if index == pair:
        return circuit.pins
    colours = colours_of(side.plant, circuit.wire, pair)
    return tuple(pin._replace(colour=colours.get(pin.carries, "")) for pin in circuit.pins)


def handled_ends(op: Op, busy: frozenset[str]) -> list[End]:
    """The ends at which hands are in an operation on a cable."""
    work = op.work
    if work is None or op.kind not in ("lift", "lay"):
        return []
    side = work.old if op.kind == LIFT else work.new
    if side is None:
        return []
    return [
        end
        for one in circuits(work, lifting=op.kind == LIFT, busy=busy)
        for end, state in zip(side.ends(one.circuit), one.ends, strict=True)
        if state != STAYS
    ]
