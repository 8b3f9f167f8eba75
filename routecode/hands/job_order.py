"""The order of a rewiring: every operation once, in blocks, so that no step leaves a studio that could harm.

Each step is compiled by the ordinary compiler and asked for dangers (`job_safe`). Where a step would bring one and no other may go first,
the equipment it names is powered down before. Goals, in this order: safety, time down (what is ready stays ready: blocks), walking, operations.
"""

from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

from attrs import define, field

from routecode.circuit.circuit import Circuit
from routecode.ground.order import natural
from routecode.hands.job_around import (
    around,
    behind_racks,
    blocks,
    handled,
    listening,
    multipins,
    order_key,
    phantoms,
    powered_units,
)
from routecode.hands.job_operations import (
    ALTER,
    BACK,
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
    THINGS,
    TURN,
    WRITTEN,
    Op,
    Todo,
)
from routecode.hands.job_safe import Danger, compiled, dangers
from routecode.hands.job_state import OFF, Edit, Frame, Key, Standing, after
from routecode.hands.job_walk import Places, Walk, op_visits

RANK = {
    WRITTEN: 0,
    LIFT: 1,
    CUT: 2,
    OUT: 3,
    ALTER: 4,
    MOVE: 4,
    EXCHANGE: 4,
    PUT: 4,
    LABEL: 5,
    LAY: 6,
    MAKE: 7,
    SET: 8,
    TURN: 8,
}
STAGE = {**dict.fromkeys((LIFT, CUT, *THINGS), 1), **dict.fromkeys((LAY, MAKE), 6)}
"""What may be done in any order, as far as safety and the needs of each let it."""
QUIET, PHANTOM_OFF, POWER_OFF, WORK, POWER_ON, PHANTOM_ON, LOUD, STOP = (
    *("quiet", "phantom off", "power off", "work", "power on", "phantom on", "loud", "stop"),
)


class Step(NamedTuple):
    """One step: what is done, the facts it edits, and the dangers that are left after it because both ends of the job have them."""

    kind: str
    edits: tuple[Edit, ...]
    op: Op | None = None
    units: tuple[str, ...] = ()
    because: str = ""
    left: tuple[Danger, ...] = ()
    block: int = 0
    proved: bool = True
    """False where no order without danger was found, although everything at it is powered down."""


@define(eq=False)
class Ordered:
    """The steps, and what they lead through."""

    frame: Frame
    todo: Todo
    standing: Standing = field(factory=dict)
    steps: list[Step] = field(factory=list)
    late: set[str] = field(factory=set)
    """Units that stay powered down until the end: with them on, what stands in between could harm."""

    def states(self) -> Iterator[tuple[Step, Standing]]:
        """Every step with what stands after it."""
        standing: Standing = self.todo.before
        for step in self.steps:
            standing = after(standing, step.edits)
            yield step, standing


def ordered(frame: Frame, todo: Todo, circuits: tuple[Circuit, Circuit]) -> Ordered:
    """The steps from one side to the other. `circuits`: the two sides, compiled."""
    made = Ordered(frame, todo, dict(todo.before))
    if any(behind_racks(frame, op) for op in todo.ops):
        _Planner(made, circuits).plan()
    else:
        _Planner(made, circuits).without_racks()
    return made


@define(eq=False)
class _Planner:
    made: Ordered
    circuits: tuple[Circuit, Circuit]
    off: list[str] = field(factory=list)
    phantom: list[str] = field(factory=list)
    done: set[int] = field(factory=set)
    unproved: bool = False
    persisting: frozenset[tuple[str, tuple[str, ...]]] = frozenset()
    """Dangers of the studio as it stands that switching off does not change."""
    walk: Walk = field(factory=Walk)
    visited: dict[int, Places] = field(factory=dict)
    powered: set[str] = field(factory=set)
    """Units that have a power switch, as far as the text tells."""

    def plan(self) -> None:
        """Quiet, phantom off, block by block, and back up."""
        todo = self.made.todo
        self.powered = powered_units(self.made.frame)
        loud = [
            name for name in listening(self.circuits[0].plant, self.made.frame) if ("away", name) not in todo.before
        ]
        self._quiet(loud)
        hot = phantoms(self.made.frame, self.circuits, todo)
        if hot:
            edits = tuple((("phantom", name), None) for name in hot if ("phantom", name) in todo.before)
            if edits:
                self._add(Step(PHANTOM_OFF, edits, units=tuple(name for (_, name), _ in edits)))
            self.phantom = list(hot)
        parts = blocks(todo, self.circuits, self.made.frame)
        for number, block in enumerate(parts, 1):
            self._block(number, block, last=number == len(parts))
        self._finish()

    def _quiet(self, loud: list[str]) -> None:
        """What is loud, and what could harm as the studio stands, off in one step; what power does not change is said, and stays."""
        units, because = list(loud), ""
        for _ in range(_ROUNDS):
            edits = tuple((("away", name), OFF) for name in units if ("away", name) not in self.made.standing)
            left = self._danger(edits) or ()
            more = {name for danger in left for name in self._powering(danger)} - set(units)
            because = because or (left[0].text if left else "")
            if not more:
                break
            units += sorted(more, key=natural)
        down = tuple(name for name in units if ("away", name) not in self.made.standing)
        if down or left:
            self._add(Step(QUIET, edits, None, tuple(dict.fromkeys(down)), because, left))
        self.off += down
        self.made.late.update(name for name in down if name not in loud)
        self.persisting = frozenset(danger.key for danger in left)

    def without_racks(self) -> None:
        """Switches, routes, labels, things that are carried about: what goes comes first, and nothing is powered down for it."""
        ops, waiting = self.made.todo.ops, list(range(len(self.made.todo.ops)))
        while waiting:
            free = [index for index in waiting if ops[index].needs <= self.done] or waiting
            free.sort(key=lambda index: (RANK.get(ops[index].kind, 4), order_key(ops[index])))
            index = self._next(free, 0)
            waiting.remove(index)
            self.done.add(index)
        if self.off:
            self._finish()

    def _add(self, step: Step) -> None:
        self.made.standing = after(self.made.standing, step.edits)
        self.made.steps.append(step)

    def _power(self, names: Iterable[str], kind: str, because: str, block: int = 0) -> list[str]:
        """Power some units down; those that were not down already."""
        units = [
            name for name in names if ("unit", name) in self.made.standing and ("away", name) not in self.made.standing
        ]
        if units:
            self._add(
                Step(kind, tuple((("away", name), OFF) for name in units), None, tuple(units), because, (), block)
            )
            self.off += units
        return units

    # -- a block --------------------------------------------------------------------------------------------------------

    def _block(self, number: int, block: list[int], *, last: bool) -> None:
        ops = self.made.todo.ops
        busy = frozenset(op.owner for op in ops if op.kind in (EXCHANGE, MOVE))
        still = handled(ops, block) | {name for index in block for name in multipins(ops[index], busy)}
        at_once = sorted(still & self.powered, key=natural)
        self._power(at_once, POWER_OFF, "", number)
        waiting = list(block)
        while waiting:
            free = [index for index in waiting if ops[index].needs <= self.done | (set(range(len(ops))) - set(block))]
            free.sort(key=lambda index: self._key(ops[index]))
            index = self._next(free or waiting, number)
            self.walk.go(self._visits(ops[index]))
            waiting.remove(index)
            self.done.add(index)
        if not last:
            self._up(number, [name for name in self.off if name not in self._still()])
            if any(behind_racks(self.made.frame, ops[index]) for index in block) and self._may_stop():
                self.made.steps.append(Step(STOP, (), block=number))

    def _visits(self, op: Op) -> Places:
        """Where the hands are in an operation; of what nobody waits for, nowhere."""
        found = self.visited.get(id(op))
        if found is None:
            frame = self.made.frame
            waited = op.kind in (SET, TURN) or behind_racks(frame, op)
            found = self.visited[id(op)] = op_visits(frame, op) if waited else frozenset()
        return found

    def _key(self, op: Op) -> tuple[object, ...]:
        """What goes before what comes; then walking: least first, and those at the same places follow each other; then the sort of work."""
        rank, places = RANK.get(op.kind, 4), self._visits(op)
        return STAGE.get(op.kind, rank), self.walk.far(places), sorted(places), rank, order_key(op)

    def _may_stop(self) -> bool:
        """Whether nothing could harm with all that is down for the job on again, phantom power too."""
        target = self.made.todo.after
        back: dict[Key, Any] = {}
        for key, value in self.made.standing.items():
            if key[0] == "away" and value == OFF:
                back[key] = target.get(key)
        back |= {("phantom", name): target.get(("phantom", name)) for name in self.phantom}
        edits = tuple(edit for edit in back.items() if ("unit", edit[0][1]) in self.made.standing)
        return not self.unproved and self._danger(edits) == ()

    def _still(self) -> set[str]:
        """Units that stay down until the end: loudspeakers and amplifiers, what was dangerous before, what could harm meanwhile."""
        quiet = {name for step in self.made.steps if step.kind == QUIET for name in step.units}
        return quiet | self.made.late

    def _next(self, free: list[int], number: int) -> int:
        """The first free operation that leaves no danger, done; if there is none, the first one with its equipment powered down."""
        ops = self.made.todo.ops
        worst: tuple[int, tuple[Danger, ...]] | None = None
        for index in free[:_TRIED]:
            found = self._danger(self._edits(ops[index]))
            if found == ():
                self._do(index, number)
                return index
            if found is not None and worst is None:
                worst = index, found
        if worst is None:
            self._do(free[0], number, proved=False)
            return free[0]
        return self._down_first(*worst, number)

    def _down_first(self, index: int, found: tuple[Danger, ...], number: int) -> int:
        ops, proved = self.made.todo.ops, False
        if ops[index].kind == BACK:  # it comes back without power, and on when all is done
            self.off.append(ops[index].owner)
            self.made.late.add(ops[index].owner)
            found = self._danger(self._edits(ops[index])) or ()
            proved = not found
        for _ in range(_ROUNDS if not proved else 0):
            names = sorted({name for danger in found for name in self._powering(danger)}, key=natural)
            self.made.late.update(self._power(names, POWER_OFF, found[0].text, number))
            again = self._danger(self._edits(ops[index]))
            proved = again == ()
            if not again or again == found:
                break
            found = again
        self._do(index, number, proved=proved)
        return index

    def _powering(self, danger: Danger) -> set[str]:
        """The units whose power makes a danger: those it names, and those that drive what it names."""
        standing = self.made.standing
        circuit = compiled(self.made.frame, standing)
        found = set(danger.units)
        for name in danger.at if circuit is not None else ():
            assert circuit is not None
            found |= around(circuit, name)
        return {name for name in found if ("unit", name) in standing}

    def _edits(self, op: Op) -> tuple[Edit, ...]:
        """The edits of an operation, with what is switched off left off: a unit comes into the rack with its power off."""
        edits: list[Edit] = []
        for key, value in op.edits:
            if key[0] == "away" and key[1] in self.off:
                edits.append((key, OFF))
            else:
                edits.append((key, value))
        if op.kind == SET and op.edits[0][0][0] == "phantom" and op.owner in self.phantom:
            return ()
        if op.kind == PUT and ("unit", op.owner) in self.made.todo.after and op.owner in self.powered:
            edits.append((("away", op.owner), OFF))
        if op.kind == OUT:
            edits += [
                ((each, op.owner), None) for each in ("away", "phantom") if (each, op.owner) in self.made.standing
            ]
        return tuple(edits)

    def _do(self, index: int, number: int, *, proved: bool = True) -> None:
        """Do an operation."""
        op = self.made.todo.ops[index]
        edits = self._edits(op)
        left = () if proved else self._danger(edits) or ()
        self._add(Step(WORK, edits, op, left=left, block=number, proved=proved))
        self.persisting |= {danger.key for danger in left}
        self.unproved = self.unproved or not proved
        if op.kind == PUT and ("away", op.owner) in dict(edits):
            self.off.append(op.owner)
        if op.kind == OUT:
            self.off = [name for name in self.off if name != op.owner]

    def _danger(self, edits: tuple[Edit, ...]) -> tuple[Danger, ...] | None:
        found = dangers(self.made.frame, after(self.made.standing, edits))
        return None if found is None else tuple(danger for danger in found if danger.key not in self.persisting)

    # -- back up --------------------------------------------------------------------------------------------------------

    def _up(self, number: int, names: list[str], kind: str = POWER_ON) -> list[str]:
        """Power units up that were down for the job, if nothing can harm then; those that stay down otherwise."""
        standing, target = self.made.standing, self.made.todo.after
        up = [name for name in names if ("unit", name) in standing and standing.get(("away", name)) == OFF]
        edits = tuple((("away", name), target.get(("away", name))) for name in up)
        if not up:
            return []
        if self._danger(edits):
            self.made.late.update(up)
            return up
        self._add(Step(kind, edits, units=tuple(up), block=number))
        self.off = [name for name in self.off if name not in up]
        return []

    def _finish(self) -> None:
        """Power, phantom, amplifiers last; what the finished studio could do is said where it comes on."""
        quiet = {name for step in self.made.steps if step.kind == QUIET for name in step.units}
        self.made.late.clear()
        stay = self._up(0, [name for name in self.off if name not in quiet])
        if self.phantom:
            target = self.made.todo.after
            edits = tuple(
                (("phantom", name), target.get(("phantom", name))) for name in self.phantom if ("unit", name) in target
            )
            left = tuple(danger for danger in self._danger(edits) or ())
            self._add(
                Step(
                    PHANTOM_ON,
                    edits,
                    units=tuple(name for name in self.phantom if target.get(("phantom", name))),
                    left=left,
                )
            )
        for names, kind in ((stay, POWER_ON), ([name for name in self.off if name not in stay], LOUD)):
            target, standing = self.made.todo.after, self.made.standing
            edits = tuple((("away", name), target.get(("away", name))) for name in names if ("unit", name) in standing)
            if edits:
                left = self._danger(edits) or ()
                self._add(Step(kind, edits, units=tuple(name for (_, name), _ in edits), left=left))


_TRIED, _ROUNDS = 12, 6
