"""Which part of a studio is drawn: all of it, or what lies around a change or a place. Units and columns are the steps."""

from collections.abc import Iterable

from attrs import frozen

from routecode.show.drawing.compare import Both, Joined, Mark
from routecode.show.drawing.facts import End

WHOLE_UP_TO = 200
"""A studio of more units and columns in use than this, in runs of eight, is drawn in part unless the whole is asked for."""
_STEPS = 3
FAR = 4
"""Joints around a place that is asked for; around a change there is more to see, so they are fewer."""
_MOST = 160

Step = tuple[str, str]
"""(unit, "") or (bay, column)."""


@frozen
class Part:
    """What is drawn: joints, units, and columns of bays; `of` counts units and bays of the whole, `left_out` is True where it is a part."""

    joints: tuple[Joined, ...]
    units: tuple[str, ...]
    columns: frozenset[Step]
    left_out: bool
    drawn: int
    of: int


def step(end: End) -> Step:
    """The unit or the column of an end."""
    return (end.block, end.name if end.row else "")


def size(both: Both) -> int:
    """How large a drawing of the whole would be: units, and columns in use by eights."""
    used = {step(end) for joint in both.joints for end in (joint.a, joint.b) if end.row}
    return len(both.units) + len(used) // 8


def whole(both: Both) -> Part:
    """All of it."""
    columns = frozenset((bay, str(number)) for bay in both.bays for number in range(1, both.columns(bay) + 1))
    count = len(both.units) + len(both.bays)
    return Part(both.joints, tuple(both.units), columns, False, count, count)


def nearby(both: Both, starts: Iterable[Step], steps: int = _STEPS) -> Part:
    """What lies within a few joints of `starts`; fewer where it would be more than can be read.

    Where a joint that differs is met, it is there with both its ends, and so on: no change is drawn by half.
    """
    kept = {found for found in starts if _exists(both, found)}
    kept = _grown(_neighbours(both.joints), kept, kept, steps)
    differing = _neighbours(joint for joint in both.joints if joint.mark is not Mark.SAME)
    kept = _grown(differing, kept, kept, len(differing))
    joints = tuple(joint for joint in both.joints if step(joint.a) in kept and step(joint.b) in kept)
    units = tuple(name for name in both.units if (name, "") in kept)
    columns = frozenset(found for found in kept if found[1])
    drawn = len(units) + len({bay for bay, _ in columns})
    of = len(both.units) + len(both.bays)
    return Part(joints, units, columns, True, drawn, of)


def _neighbours(joints: Iterable[Joined]) -> dict[Step, set[Step]]:
    found: dict[Step, set[Step]] = {}
    for joint in joints:
        a, b = step(joint.a), step(joint.b)
        found.setdefault(a, set()).add(b)
        found.setdefault(b, set()).add(a)
    return found


def _grown(neighbours: dict[Step, set[Step]], kept: set[Step], edge: set[Step], steps: int) -> set[Step]:
    """What is reached from `edge` in so many steps, with what is kept; the last step that can be read is the last one."""
    for _ in range(steps):
        edge = {other for found in edge for other in neighbours.get(found, ())} - kept
        if not edge or _blocks(kept | edge) > _MOST:
            break
        kept = kept | edge
    return kept


def _blocks(kept: set[Step]) -> int:
    return sum(1 if not column else 0 for _, column in kept) + sum(1 for _, column in kept if column) // 8


def _exists(both: Both, found: Step) -> bool:
    name, column = found
    if not column:
        return name in both.before.units or name in both.after.units
    return name in both.bays and 1 <= int(column) <= both.columns(name)


def changed_steps(both: Both) -> set[Step]:
    """The units and columns at which something differs."""
    found = {step(end) for joint in both.joints if joint.mark is not Mark.SAME for end in (joint.a, joint.b)}
    found |= {(name, "") for name in both.units if both.mark(name) is not Mark.SAME}
    for bay in both.bays:
        marks = {str(number): both.column(bay, number).mark for number in range(1, both.columns(bay) + 1)}
        found |= {(bay, number) for number, mark in marks.items() if mark is not Mark.SAME}
    return found


def steps_of_place(both: Both, place: str) -> set[Step] | None:
    """What a place stands for: a unit, a bay, a port, a jack or a column; None where there is no such place."""
    block, slash, rest = place.partition("/")
    if block in both.bays:
        number = rest.rpartition(" ")[2] if slash else ""
        if not slash:
            return {(block, str(column)) for column in range(1, both.columns(block) + 1)}
        good = number.isascii() and number.isdecimal() and len(number) < 6 and 1 <= int(number) <= both.columns(block)
        return {(block, str(int(number)))} if good else None
    facts = [found for found in both.unit(block) if found is not None]
    if not facts:
        return None
    port = rest.rpartition(" ch ")[0] or rest
    known = {name for found in facts for name, _ in found.ports}
    return {(block, "")} if not slash or rest in known or port in known else None
