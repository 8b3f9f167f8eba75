"""Walking: at which racks and rooms the hands are in each step, and how often one goes from one to another. Minutes are in `job_times`.

A rack is a place, and so is a room for what stands in none. What no table says the place of, nobody walks to. The walk to the first
place of a job is not counted, nor are walks while testing: they are the same whatever was planned.
"""

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from attrs import define

from routecode.hands.job_operations import CUT, EXCHANGE, LABEL, LAY, LIFT, MOVE, OUT, WRITTEN, Op
from routecode.hands.job_state import Frame
from routecode.hands.tests import CONTINUITY, Test
from routecode.language.written import Times

Places = frozenset[tuple[str, str]]


def switched(frame: Frame, units: Iterable[str]) -> Places:
    """Where units are that are switched on or off."""
    return frozenset(place for name in units for place in _of(frame, name, ("after", "before")))


def op_visits(frame: Frame, op: Op, handled: Iterable[str] | None = None) -> Places:
    """Where the hands are in an operation; `handled`: of a cable that is joined only these ends."""
    if op.kind == WRITTEN:
        return frozenset()
    work = op.work
    if work is None:
        heads = {op.owner, *(name.partition("/")[0] for name in op.touches)} - {""}
        sides = {OUT: ("before",), EXCHANGE: _BOTH, MOVE: _BOTH}.get(op.kind, ("after", "before"))
        every = op.kind in (EXCHANGE, MOVE)
        return frozenset(place for head in heads for place in _of(frame, head, sides, every=every))
    side = work.old if op.kind in (LIFT, LABEL) else work.new
    assert side is not None
    indices = work.lifts if op.kind == LIFT else work.lays if op.kind == LAY else range(len(side.pairs))
    names = {name for index in indices for name in side.pairs[index]}
    if op.kind == LAY and handled is not None:
        names &= set(handled)
    first = ("before", "after") if op.kind == LIFT else ("after", "before")
    return frozenset(place for name in names for place in _of(frame, name.partition("/")[0], first))


_BOTH = ("before", "after")


def _of(frame: Frame, name: str, sides: Sequence[str], *, every: bool = False) -> list[tuple[str, str]]:
    """The place of a unit or bay on the first side that has it, or on each."""
    found = []
    for side in sides:
        place = _place(frame, name, old=side == "before")
        found += [place] if place is not None else []
        if found and not every:
            break
    return found


def _place(frame: Frame, name: str, *, old: bool) -> tuple[str, str] | None:
    plant = frame.before if old else frame.after
    back = {new: was for names in (frame.identity.units, frame.identity.bays) for was, new in names.items()}
    called = back.get(name, name) if old else name
    thing: Any = plant.units.get(called) or plant.bays.get(called)
    if thing is None:
        return None
    written = thing.written
    kind, where = ("rack", written.rack) if written.rack is not None else ("room", written.room)
    if where is None:
        return None
    return kind, frame.identity.others.get((kind, where), where) if old else where


@define
class Walk:
    """Where one is, as far as it is known: in one of some places, having come from others."""

    here: Places = frozenset()
    count: int = 0
    _last: Places = frozenset()

    def far(self, places: Places) -> int:
        """How many places one would walk to; those where one has just been are done together."""
        return 0 if places == self._last else len(places - self.here)

    def go(self, places: Places) -> None:
        """To every place of a step once; who does the same places again does both at each."""
        if not places or places == self._last:
            return
        self._last = places
        left = self.here & places
        self.count += len(places) - (1 if left or not self.here else 0)
        self.here = (places - left if len(left) == 1 else places) or places


def walks(steps: Iterable[Places]) -> int:
    """How often one goes from a place to another."""
    walk = Walk()
    for places in steps:
        walk.go(places)
    return walk.count


def least(ops: Sequence[Op], visits: Callable[[Op], Places]) -> list[Places]:
    """Everything undone and then everything done, each in the order of least walking that the hands allow, with no regard to safety."""
    found: list[Places] = []
    walk, done = Walk(), set(range(len(ops)))
    spots = list(map(visits, ops))
    ranks = {places: number for number, places in enumerate(sorted(set(spots), key=sorted))}
    keys = [(ranks[places], number) for number, places in enumerate(spots)]
    for undone in (True, False):
        waiting = [index for index, op in enumerate(ops) if (op.kind in _UNDOES) == undone]
        done -= set(waiting)
        while waiting:
            free = [index for index in waiting if ops[index].needs <= done] or waiting
            index = min(free, key=lambda index: (walk.far(spots[index]), keys[index]))
            found.append(spots[index])
            walk.go(found[-1])
            waiting.remove(index)
            done.add(index)
    return found


_UNDOES = (LIFT, CUT, OUT)


def tests_minutes(tests: Iterable[Test], times: Times) -> float:
    """How long tests take: continuity a cable, everything else a path."""
    listed = list(tests)
    cables = {test.cable or test.at for test in listed if test.kind == CONTINUITY}
    return times.continuity * len(cables) + times.test * sum(test.kind != CONTINUITY for test in listed)
