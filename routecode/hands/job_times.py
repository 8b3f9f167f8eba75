"""Minutes and operations: of the steps as they are ordered, and of the way without a plan: undo everything, then do everything.

The minutes of an operation are the studio's (`[times]`), else common practice without a source. What is counted as an operation: a circuit
taken off, joined or made at one end, a normal, a unit or bay, a label.
"""

from collections import Counter
from collections.abc import Callable
from typing import NamedTuple

from routecode.hands.cables_ends import BARE, IN_PLUG, MULTIPIN, PLUG, REAR, SOLDER, End
from routecode.hands.job_cables import AGAIN, UNPLUGGED, Side, Work
from routecode.hands.job_circuits import MADE, circuits
from routecode.hands.job_operations import (
    ALTER,
    BACK,
    BORROWED,
    CUT,
    EXCHANGE,
    LABEL,
    LAY,
    LIFT,
    MAKE,
    MOVE,
    OUT,
    PUT,
    SET,
    TURN,
    Op,
    Todo,
)
from routecode.language.written import Times


class Cost(NamedTuple):
    """Minutes and operations."""

    minutes: float = 0.0
    operations: int = 0

    def __add__(self, other: object) -> "Cost":
        """Both together."""
        if not isinstance(other, Cost):
            return NotImplemented
        return Cost(self.minutes + other.minutes, self.operations + other.operations)


SOLDERED = (SOLDER, BARE, IN_PLUG)
MADE_BEFORE = (PLUG, MULTIPIN, REAR)
"""What can be on a cable before it is carried to the rack."""


def ends_cost(ends: list[End], times: Times, *, lifting: bool) -> Cost:
    """Some ends taken off or joined: every circuit that is soldered, each plug once, each multipin once for all its circuits."""
    minutes, count, shared = 0.0, 0, set()
    for end in ends:
        if end.how in (MULTIPIN, IN_PLUG):
            owner = (end.name.partition("/")[0], end.shared)
            if owner not in shared and end.how == IN_PLUG:
                minutes += 2 * times.plug  # the plug that it is in comes off, and goes back
            if owner in shared and end.how == MULTIPIN:
                continue
            shared.add(owner)
        soldered = end.how in SOLDERED
        minutes += (times.unsolder_jack if lifting else times.solder_jack) if soldered else times.plug
        count += 1
    return Cost(minutes, count)


def op_cost(op: Op, hands: list[End], times: Times, *, carried: bool = False) -> Cost:
    """One operation at the racks; `hands`: the ends of the cable that are handled; `carried`: nobody waits for it."""
    if op.kind in (LIFT, LAY) and op.work is not None:
        made = ends_cost(hands, times, lifting=op.kind == LIFT)
        if op.kind == LIFT:
            return made + Cost(times.tag)
        fitted = _fitted_before(op.work)
        anew = [
            end for end in hands if fitted and end.how in MADE_BEFORE and (end.how, end.plug, end.gender) not in fitted
        ]
        opened = [end for end in opened_ends(op.work) if (end.how, end.plug, end.gender) in fitted]
        return made + Cost((len(anew) + len(opened)) * times.make_end, len(anew) + len(opened))
    minutes = {
        **dict.fromkeys((OUT, PUT, MOVE, ALTER, BORROWED, BACK), times.mount),
        EXCHANGE: 2 * times.mount,
        LABEL: times.label,
        SET: times.switch,
        TURN: times.switch,
    }
    if carried:
        return Cost(0.0, 1)
    if op.kind in (CUT, MAKE):
        return Cost(times.link_plug if _link_plug(op) else times.solder_jack, 1)
    return Cost(minutes.get(op.kind, 0.0), int(op.kind in minutes))


def opened_ends(work: Work) -> list[End]:
    """The ends of a cable that is used on whose plug is there, and is opened and soldered anew at the rack."""
    if work.old is None or work.new is None:
        return []
    return [
        end
        for one in circuits(work, lifting=False, busy=frozenset())
        for end, state in zip(work.new.ends(one.circuit), one.ends, strict=True)
        if state == MADE and end.how in MADE_BEFORE
    ]


def _fitted_before(work: Work) -> set[tuple[str, str, str]]:
    """What was on the ends of a cable that is moved or used again: another connector is made at the rack."""
    side = work.old
    return (
        {(end.how, end.plug, end.gender) for index in range(len(side.pairs)) for end in side.ends(index)}
        if side
        else set()
    )


def _link_plug(op: Op) -> bool:
    (kind, _), value = op.edits[0]
    return kind == "column" and value in ("bottom", "top", "none", None)


def bench_cost(side: Side, times: Times) -> Cost:
    """A new cable made at the bench: its connectors and its labels; and run, with nothing joined yet."""
    ends = [end for index in range(len(side.pairs)) for end in side.ends(index) if end.how in MADE_BEFORE]
    run = times.pull_metre * (side.cable.metres or 0.0)
    return Cost(times.make_end * len(ends) + times.label + run, len(ends) + 1)


def naive(todo: Todo, times: Times, carried: Callable[[Op], bool]) -> Cost:
    """Everything that differs undone at both ends, then all of it made anew at the racks, with the studio down all the while.

    No cable is used again, no end stays, and nothing is made at the bench. Walking and tests are added by who compares; what is
    `carried` about keeps nobody waiting here either.
    """
    total = Cost()
    for op in todo.ops:
        if op.work is None or op.kind not in (LIFT, LAY):
            total += op_cost(op, [], times, carried=carried(op))
            continue
        total += _whole(op.work, times, lifting=op.kind == LIFT)
    return total


def _whole(work: Work, times: Times, *, lifting: bool) -> Cost:
    side = work.old if lifting else work.new
    assert side is not None
    indices = work.lifts if lifting else work.lays
    ends = [end for index in indices for end in side.ends(index)]
    made = ends_cost(ends, times, lifting=lifting)
    if lifting or work.how == UNPLUGGED:
        return made + Cost(times.tag)
    metres = side.cable.metres or 0.0
    prepared = [end for end in ends if end.how in MADE_BEFORE]
    minutes = times.make_end * len(prepared) + metres * times.pull_metre + times.label
    return made + Cost(minutes, len(prepared) + 1)


def saved(works: tuple[Work, ...]) -> tuple[float, int]:
    """Metres of cable and connectors that need not be bought, because removed cables are used again.

    A connector that several circuits share is one. Those behind a bay belong to the bay, so none is saved.
    """
    metres, connectors = 0.0, 0
    for work in works:
        if work.how == AGAIN and work.new is not None and work.old is not None:
            metres += work.new.cable.metres or 0.0
            was, now = Counter(_bought(work.old)), Counter(_bought(work.new))
            connectors += (was & now).total()
    return metres, connectors


def _bought(side: Side) -> list[tuple[str, str, str]]:
    """The connectors of a cable that are bought with it."""
    ends = [end for index in range(len(side.pairs)) for end in side.ends(index) if end.how in (PLUG, MULTIPIN)]
    once = {(end.name.partition("/")[0], end.shared) if end.how == MULTIPIN else (end.name, ""): end for end in ends}
    return [(end.how, end.plug, end.gender) for end in once.values()]
