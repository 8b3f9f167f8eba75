"""The circuits of a step, row by row: cable, both ends, what is on them, pins, length; and at which ends the hands are."""

from typing import NamedTuple

from routecode.hands.cables import Pin
from routecode.hands.cables_ends import BARE, SOLDER, End
from routecode.hands.job_cables import AGAIN, MOVES, REMADE, UNPLUGGED, Side, Work, ends_left
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


def rows_of(work: Work, kind: str, busy: frozenset[str]) -> tuple[Row, ...]:
    """The rows of lifting or laying a cable. `busy`: units and bays that are exchanged or moved."""
    side, indices = (work.old, work.lifts) if kind == LIFT else (work.new, work.lays)
    if side is None:
        return ()
    if not indices and work.new is not None:
        side, indices = work.new, tuple(range(len(work.new.pairs)))
    stays = _staying(work, kind, busy)
    return tuple(_row(work, side, index, stays.get(index, frozenset()), kind) for index in indices)


def _row(work: Work, side: Side, index: int, stays: frozenset[str], kind: str) -> Row:
    one, other = side.ends(index)
    names = side.pairs[index]
    kind_ = side.plant.studio.cable_type.get(side.cable.type or "")
    becomes = (
        work.new.cable.number
        if work.new is not None and kind == LIFT and work.new.cable.number != side.cable.number
        else None
    )
    return Row(
        side.cable.number or "",
        index + 1,
        len(side.pairs),
        (kind_.title if kind_ is not None else None) or side.cable.type or "",
        side.cable.metres,
        stand(side.plant, one, handled=names[0] not in stays),
        stand(side.plant, other, handled=names[1] not in stays),
        side.cable.circuits[index].pins,
        becomes or "",
        work.old is not None or any(end.how in (SOLDER, BARE) for end in (one, other)),
    )


def _staying(work: Work, kind: str, busy: frozenset[str]) -> dict[int, frozenset[str]]:
    """For each circuit that is lifted or laid the ends that are left as they are."""
    old, new = work.old, work.new
    if old is None or new is None:
        return {}
    if work.how == UNPLUGGED:
        side, indices = (old, work.lifts) if kind == LIFT else (new, work.lays)
        return {
            index: frozenset(name for name in side.pairs[index] if name.partition("/")[0] not in busy)
            for index in indices
        }
    if work.how == REMADE:
        side, indices = (old, work.lifts) if kind == LIFT else (new, work.lays)
        return {index: frozenset((side.pairs[index][0],)) for index in indices}
    left = set(ends_left(old, new)) if work.how == AGAIN else None
    found: dict[int, frozenset[str]] = {}
    taken: set[int] = set()
    for index in work.lays if work.how in (AGAIN, MOVES) else ():
        for before in work.lifts:
            common = set(old.pairs[before]) & set(new.pairs[index])
            same = frozenset(
                name
                for name in common
                if (left is None and _alike(old, before, new, index, name)) or name in (left or ())
            )
            if before not in taken and same:
                taken.add(before)
                found[index if kind != LIFT else before] = same
                break
    return found


def _alike(old: Side, before: int, new: Side, index: int, name: str) -> bool:
    """Whether a circuit carries the same plug at a place before and after."""
    ends = [
        dict(zip(side.pairs[each], side.ends(each), strict=True))[name] for side, each in ((old, before), (new, index))
    ]
    return (ends[0].how, ends[0].plug, ends[0].gender) == (ends[1].how, ends[1].plug, ends[1].gender)


def handled_ends(op: Op, busy: frozenset[str]) -> list[End]:
    """The ends at which hands are in an operation on a cable."""
    work = op.work
    if work is None or op.kind not in ("lift", "lay"):
        return []
    side, indices = (work.old, work.lifts) if op.kind == LIFT else (work.new, work.lays)
    if side is None:
        return []
    stays = _staying(work, op.kind, busy)
    return [
        end
        for index in indices
        for end, name in zip(side.ends(index), side.pairs[index], strict=True)
        if name not in stays.get(index, ())
    ]
