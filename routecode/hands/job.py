"""The jobsheet: what hands do to turn one studio into another, at the bench beforehand, at the racks with the studio down, and the tests.

The door for jobs. The order comes from `job_order`; here it gets places, pins, minutes and words. How it is shown is not here.
"""

from functools import cached_property
from typing import NamedTuple

from attrs import define

from routecode.change.difference import Compared
from routecode.hands.cables import Pin
from routecode.hands.job_around import behind_racks
from routecode.hands.job_cables import Work
from routecode.hands.job_ending import MOST_TESTS, Tried, between
from routecode.hands.job_labels import LOOM, Renewed, renewed
from routecode.hands.job_operations import CUT, LABEL, LAY, LIFT, MAKE, SET, TURN, WRITTEN, Op, Todo, todo
from routecode.hands.job_order import ordered
from routecode.hands.job_rows import Row, handled_ends, rows_of
from routecode.hands.job_said import labelled, said
from routecode.hands.job_setups import Patch, patches
from routecode.hands.job_state import Frame, frame_of
from routecode.hands.job_steps import STOP, WORK, Ordered, Step
from routecode.hands.job_stops import Works, working
from routecode.hands.job_times import MADE_BEFORE, Cost, bench_cost, naive, op_cost, saved
from routecode.hands.job_walk import Places, least, op_visits, switched, tests_minutes, walks
from routecode.hands.job_words import from_behind
from routecode.hands.tests import Test, disturbed, tests_of
from routecode.language.written import Times

BENCH, RACKS, TESTS = "bench", "racks", "tests"


class Told(NamedTuple):
    """One step as it is told: a box to tick, a sentence, what to mind, the circuits it is about. `works`: at a stopping point."""

    number: int
    part: str
    kind: str
    at: str
    text: str
    mind: tuple[str, ...]
    rows: tuple[Row, ...]
    minutes: float
    works: tuple[Works, ...] = ()
    steps: tuple[Step, ...] = ()
    lines: tuple[str, ...] = ()
    """Of labels: what is to be lettered, a line each. Of several columns of a bay: each."""


@define(slots=False, eq=False)
class Job:
    """Everything the sheet says; worked out when first asked for."""

    compared: Compared

    @cached_property
    def frame(self) -> Frame:
        """What both sides share."""
        return frame_of(self.compared)

    @cached_property
    def todo(self) -> Todo:
        """The operations."""
        return todo(self.frame)

    @cached_property
    def ordered(self) -> Ordered:
        """The steps in order, each with its edit of the wiring."""
        return ordered(self.frame, self.todo, (self.compared.before, self.compared.after), self.tests)

    @property
    def times(self) -> Times:
        """Minutes of an operation, as the finished studio says."""
        return self.frame.after.studio.times

    @property
    def idle(self) -> bool:
        """Whether nothing is done at the racks."""
        return not any(op.kind != WRITTEN for op in self.todo.ops)

    @property
    def empty(self) -> bool:
        """Whether there is nothing for the hands: not at the racks, no label, no patch sheet."""
        return self.idle and not self.renewed and not self.patches

    @cached_property
    def renewed(self) -> tuple[Renewed, ...]:
        """Labels to renew."""
        return renewed(self.frame, self.todo.works, self.todo.staying)

    @cached_property
    def patches(self) -> tuple[Patch, ...]:
        """Setups whose patch sheet changes."""
        return patches(self.frame)

    @cached_property
    def bench(self) -> tuple[Told, ...]:
        """What is made beforehand, a step a sort of cable."""
        groups: dict[object, list[Work]] = {}
        for work in self.todo.works:
            if work.new is not None and work.old is None:
                key = (
                    work.new.type,
                    work.new.cable.metres,
                    tuple((end.how, end.plug, end.gender) for end in work.new.ends(0)),
                )
                groups.setdefault(key, []).append(work)
        told = []
        for number, group in enumerate(groups.values(), 1):
            news = [work.new for work in group if work.new is not None]
            cost = sum((bench_cost(side, self.times) for side in news), Cost())
            rows = tuple(row for work in group for row in rows_of(work, LAY, frozenset()))
            text, *mind = said("bench", self.frame, Step(WORK, ()), group).split("\n")
            told.append(Told(number, BENCH, "make", "Bench", text, tuple(mind), rows, cost.minutes))
        for number, one in enumerate(self.renewed, len(told) + 1):
            text, *mind = labelled(one).split("\n")
            minutes = 0.0 if one.kind == LOOM else self.times.label * (len(one.cables) or 1)
            told.append(Told(number, BENCH, one.kind, "Bench", text, tuple(mind), (), minutes, lines=one.lines))
        return tuple(told)

    @cached_property
    def racks(self) -> tuple[Told, ...]:
        """What is done with the studio down, and how it comes back (part `TESTS`: between the tests)."""
        return (*self._work, *(each for each in self.ending if isinstance(each, Told)))

    @cached_property
    def ending(self) -> tuple[Told | Tried, ...]:
        """The tests, and the steps by which the studio comes back between them; without tests there are none, and those are with the work."""
        coming = self._told[len(self._work) :]
        groups = between([told.steps[0] for told in coming], self.tests[:MOST_TESTS])
        listed: list[Told | Tried] = []
        for index in range(len(coming) + 1):
            listed += [Tried(0, tests) for after, tests in groups if after == index]
            listed += [told._replace(part=TESTS) for told in coming[index : index + 1]]
        first = len(self.bench) + len(self._work) + 1
        return tuple(each._replace(number=number) for number, each in enumerate(listed, first))

    @cached_property
    def _work(self) -> tuple[Told, ...]:
        return tuple(told for told in self._told if not (self.tests and told.steps[0].ending))

    @cached_property
    def _told(self) -> tuple[Told, ...]:
        """All steps; like operations that follow each other are one step with several rows."""
        told: list[Told] = []
        first = len(self.bench) + 1
        for steps, ready in self._grouped:
            step = steps[0]
            works = [each.op.work for each in steps if each.op is not None and each.op.work is not None]
            busy = self._busy
            rows = tuple(
                row for each in steps if each.op and each.op.work for row in rows_of(each.op.work, each.op.kind, busy)
            )
            text, *mind = said(step.kind, self.frame, step, works, steps).split("\n")
            at = ", ".join(
                dict.fromkeys(end.at for row in rows for end in (row.from_, row.to) if end.handled and end.at)
            )
            told.append(
                Told(
                    first + len(told),
                    RACKS,
                    _kind(step),
                    at,
                    text,
                    tuple(mind),
                    rows,
                    self._minutes(steps),
                    ready,
                    tuple(steps),
                    _columns(self.frame, steps),
                )
            )
        return tuple(told)

    @cached_property
    def _busy(self) -> frozenset[str]:
        """Units and bays that are exchanged or moved: cables that stay come off there."""
        return frozenset(op.owner for op in self.todo.ops if op.kind in ("exchange", "move"))

    @cached_property
    def _grouped(self) -> list[tuple[list[Step], tuple[Works, ...]]]:
        found: list[tuple[list[Step], tuple[Works, ...]]] = []
        key: object = None
        for step, standing in self.ordered.states():
            if step.kind == WORK and step.op is not None and (step.op.kind == WRITTEN or not step.edits):
                continue
            mine = _like(step)
            if mine is not None and mine == key:
                found[-1][0].append(step)
            else:
                ready = working(self.frame, standing, self.todo.after) if step.kind == STOP else ()
                found.append(([step], ready))
            key = mine
        return found

    def _minutes(self, steps: list[Step]) -> float:
        """Of a step: the hands, the switches."""
        total = 0.0
        for step in steps:
            if step.kind == STOP:
                continue
            if step.op is not None:
                total += self._cost(step.op).minutes
            elif step.kind.startswith("phantom"):
                total += self.times.phantom * len(step.units)
            else:
                total += self.times.power * len(step.units)
        return total

    def _carried(self, op: Op) -> bool:
        """Whether it is carried about, so that nobody waits for it."""
        return op.kind not in (SET, TURN, LABEL, WRITTEN) and not behind_racks(self.frame, op)

    def _cost(self, op: Op) -> Cost:
        return op_cost(op, handled_ends(op, self._busy), self.times, carried=self._carried(op))

    def _visits(self, step: Step) -> Places:
        """Where the hands are in a step."""
        if step.op is None:
            return frozenset() if step.kind == STOP else switched(self.frame, step.units)
        if self._carried(step.op):
            return frozenset()
        return op_visits(self.frame, step.op, {end.name for end in handled_ends(step.op, self._busy)})

    @cached_property
    def tests(self) -> tuple[Test, ...]:
        """What is tested, and with what result, when all is done."""
        return tests_of(self)

    @cached_property
    def retest(self) -> tuple[str, ...]:
        """Cables that were not changed and were in hands all the same: in one connector or loom with what was."""
        return disturbed(self)

    @cached_property
    def down(self) -> Cost:
        """Minutes with the studio down, and operations there and at the bench."""
        hands = [step.op for step in self.ordered.steps if step.op is not None]
        total = sum((self._cost(op) for op in hands), Cost())
        made = sum(len(row_ends(work)) + 1 for work in self.todo.works if work.old is None)
        return Cost(total.minutes + self._switching + self.walking[0] + self.testing, total.operations + made)

    @cached_property
    def unplanned(self) -> Cost:
        """The same by undoing everything and then doing everything; switched and tested as much, walked as little as can be."""
        return naive(self.todo, self.times, self._carried) + Cost(self._switching + self.walking[1] + self.testing)

    @cached_property
    def _switching(self) -> float:
        return sum(told.minutes for told in self.racks if told.kind not in _HANDS)

    @cached_property
    def testing(self) -> float:
        """Minutes of the tests, whatever was planned."""
        return tests_minutes(self.tests, self.times)

    @cached_property
    def walking(self) -> tuple[float, float]:
        """Minutes from rack to rack: of the steps in their order, and of the way without a plan, which undoes and then
        does everything in the order of least walking."""
        places = [frozenset(place for step in steps for place in self._visits(step)) for steps, _ in self._grouped]
        hands = [any(step.op is not None for step in steps) for steps, _ in self._grouped]
        first = hands.index(True) if True in hands else len(hands)
        last = len(hands) - hands[::-1].index(True) if True in hands else len(hands)
        known = {id(op): frozenset() if self._carried(op) else op_visits(self.frame, op) for op in self.todo.ops}
        passes = least(self.todo.ops, lambda op: known[id(op)])
        between = [places[index] for index in range(first, last) if not hands[index]]
        unplanned = [*places[:first], *passes, *between, *places[last:]]
        return self.times.walk * walks(places), self.times.walk * walks(unplanned)

    @cached_property
    def saved(self) -> tuple[float, int]:
        """Metres and connectors saved by using removed cables again."""
        return saved(self.todo.works)


_HANDS = frozenset(
    (LIFT, LAY, CUT, MAKE, LABEL, "out", "in", "exchange", "alter", "move", "sent away", "back again", SET, TURN)
)


def row_ends(work: Work) -> list[object]:
    """The ends that are made at the bench for a new cable."""
    side = work.new
    return (
        [end for index in range(len(side.pairs)) for end in side.ends(index) if end.how in MADE_BEFORE] if side else []
    )


def _kind(step: Step) -> str:
    return step.op.kind if step.op is not None else step.kind


def _like(step: Step) -> object:
    """What following steps must share to be told as one; None: never."""
    op = step.op
    if op is None or not step.proved:
        return None
    if op.work is not None:
        side = op.work.old if op.kind == LIFT else op.work.new
        assert side is not None
        heads = tuple(name.partition("/")[0] for name in side.pairs[0])
        return op.kind, op.work.how, heads, step.block, side.type, op.work.old is None
    if op.kind in (CUT, MAKE) and op.edits[0][0][0] == "column":
        return op.kind, op.owner, op.edits[0][1], step.block
    return None


def _columns(frame: Frame, steps: list[Step]) -> tuple[str, ...]:
    """The columns of a step on the normals of several, with how they are counted from behind."""
    keys = [step.op.edits[0][0] for step in steps if step.op is not None and step.op.kind in (CUT, MAKE)]
    if len(keys) < _SEVERAL or keys[0][0] != "column":
        return ()
    bay, found = keys[0][1][0], sorted(number for _, (_, number) in keys)
    thing = frame.after.bays.get(bay) or frame.before.bays.get(bay)
    wide = thing.columns if thing is not None else 0
    return tuple(f"column {number} ({from_behind(wide, number)})" for number in found)


_SEVERAL = 2


def pins_of(rows: tuple[Row, ...]) -> list[tuple[tuple[Pin, ...], list[Row]]]:
    """The pin tables of some rows, each once, with the rows it is of."""
    found: dict[tuple[Pin, ...], list[Row]] = {}
    for row in rows:
        if row.pins:
            found.setdefault(row.pins, []).append(row)
    return list(found.items())


def job(compared: Compared) -> Job:
    """The jobsheet from the before side to the after side."""
    return Job(compared)


__all__ = ["BENCH", "RACKS", "TESTS", "Job", "Op", "Told", "Tried", "job", "pins_of"]
