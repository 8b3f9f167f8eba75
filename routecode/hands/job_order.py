"""The order of a rewiring: every operation once, in blocks, so that no step leaves a studio that could harm.

Each step is compiled by the ordinary compiler and asked for dangers (`job_safe`). Where a step would bring one and no other may go first,
the equipment it names is powered down before. Goals, in this order: safety, time down (what is ready stays ready: blocks), walking, operations.
"""

from collections.abc import Iterable
from typing import Any

from attrs import define, field

from routecode.circuit.circuit import Circuit
from routecode.ground.order import natural
from routecode.hands.job_around import (
    RANK,
    STAGE,
    around,
    behind_racks,
    blocks,
    handled,
    listening,
    multipins,
    order_key,
    phantoms,
    powered_units,
    together,
)
from routecode.hands.job_operations import (
    BACK,
    BORROWED,
    EXCHANGE,
    MOVE,
    OUT,
    PUT,
    SET,
    TURN,
    Op,
    Todo,
)
from routecode.hands.job_safe import Danger, compiled, dangers
from routecode.hands.job_state import OFF, Edit, Frame, Key, after
from routecode.hands.job_steps import (
    LOUD,
    PHANTOM_OFF,
    PHANTOM_ON,
    POWER_OFF,
    POWER_ON,
    QUIET,
    STOP,
    WORK,
    Again,
    Ordered,
    Step,
)
from routecode.hands.job_walk import Places, Walk, op_visits
from routecode.hands.tests import CONTINUITY, LEVEL, SIGNAL, Test


def ordered(frame: Frame, todo: Todo, circuits: tuple[Circuit, Circuit], tests: tuple[Test, ...] = ()) -> Ordered:
    """The steps from one side to the other. `circuits`: the two sides, compiled; `tests`: what is tested when all is done."""
    made = Ordered(frame, todo, dict(todo.before))
    planner = _Planner(made, circuits, tests)
    if any(behind_racks(frame, op) for op in todo.ops):
        planner.plan()
    else:
        planner.without_racks()
    return made


@define(eq=False)
class _Planner:
    made: Ordered
    circuits: tuple[Circuit, Circuit]
    tests: tuple[Test, ...]
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
    loud: set[str] = field(factory=set)
    """Amplifiers and powered monitors of both sides."""
    later: list[int] = field(factory=list)
    """Routes and settings that wait until what they are set at has power."""
    why: dict[int, str] = field(factory=dict)
    """Of routes and settings that cannot be where they belong: the reason."""
    ending: bool = False

    def plan(self) -> None:
        """Quiet, phantom off, block by block, and back up."""
        todo, frame = self.made.todo, self.made.frame
        self.powered = powered_units(frame)
        loud = [listening(circuit.plant, frame) for circuit in self.circuits]
        self.loud = {name for side in loud for name in side}
        clears = [index for index, op in enumerate(todo.ops) if op.kind == SET and op.edits[0][1] is None]
        self._clear([index for index in clears if not self._heads(index).isdisjoint(self.loud)], 0)
        self._quiet([name for name in loud[0] if ("away", name) not in todo.before])
        tested = frozenset(name for test in self.tests if test.kind in (LEVEL, SIGNAL) for name in test.at)
        self.phantom = phantoms(frame, self.circuits, todo, tested)
        on = [name for name in self.phantom if ("phantom", name) in todo.before and ("away", name) not in todo.before]
        if on:
            self._add(Step(PHANTOM_OFF, tuple((("phantom", name), None) for name in on), units=tuple(on)))
        parts = together(todo, blocks(todo, self.circuits, frame))
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
        self.made.steps.append(step._replace(ending=self.ending))

    def _power(self, names: Iterable[str], kind: str, because: str, block: int = 0) -> None:
        """Power some units down that were not down already."""
        units = [
            name for name in names if ("unit", name) in self.made.standing and ("away", name) not in self.made.standing
        ]
        if units:
            self._add(
                Step(kind, tuple((("away", name), OFF) for name in units), None, tuple(units), because, (), block)
            )
            self.off += units

    # -- a block --------------------------------------------------------------------------------------------------------

    def _block(self, number: int, block: list[int], *, last: bool) -> None:
        ops = self.made.todo.ops
        busy = frozenset(op.owner for op in ops if op.kind in (EXCHANGE, MOVE))
        still = handled(ops, block) | {name for index in block for name in multipins(ops[index], busy)}
        sets = [index for index in block if ops[index].kind == SET]
        self.later += [index for index in sets if ops[index].edits[0][1] is not None]
        self._clear([index for index in sets if index not in self.later and index not in self.done], number)
        waiting = [index for index in block if index not in self.later and index not in self.done]
        self._power(sorted(still & self.powered, key=natural), POWER_OFF, "", number)
        while waiting:
            free = [index for index in waiting if ops[index].needs <= self.done | (set(range(len(ops))) - set(block))]
            free.sort(key=lambda index: self._key(ops[index]))
            index = self._next(free or waiting, number)
            self.walk.go(self._visits(ops[index]))
            waiting.remove(index)
        self._settle(number)
        if not last and any(behind_racks(self.made.frame, ops[index]) for index in block) and self._may_stop():
            again = self._again()
            units = (*again.power, *(name for name, _ in again.phantom), *again.loud)
            self._add(Step(STOP, (), units=tuple(dict.fromkeys(units)), block=number, again=again))

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

    def _again(self) -> Again:
        """What a stopping point asks to be switched on for work."""
        standing, target, last = self.made.standing, self.made.todo.after, self._last()
        off = [name for name in self.off if standing.get(("away", name)) == OFF]
        hot = [
            name for name in self.phantom if ("unit", name) in standing and standing.get(("away", name)) in (None, OFF)
        ]
        return Again(
            tuple(name for name in off if name not in last),
            tuple((name, target[("phantom", name)]) for name in hot if ("phantom", name) in target),
            tuple(name for name in off if name in last),
        )

    def _last(self) -> set[str]:
        """Units that come on last: loudspeakers and amplifiers, and what was off with them because it was dangerous."""
        return self.loud | {name for step in self.made.steps if step.kind == QUIET for name in step.units}

    def _heads(self, index: int) -> set[str]:
        """The units at which a route or setting is."""
        op = self.made.todo.ops[index]
        return {op.owner, *(name.partition("/")[0] for name in op.touches)}

    def _clear(self, sets: list[int], number: int) -> None:
        """Clear routes and settings while there is power, where nothing can harm then; of the others the reason is kept."""
        for index in sets:
            found = self._danger(self._edits(self.made.todo.ops[index]))
            if found == ():
                self._do(index, number)
            self.why[index] = found[0].text if found else ""

    def _settle(self, number: int) -> None:
        """Set the routes and settings of what has power, where nothing can harm then."""
        for index in list(self.later):
            edits = self._edits(self.made.todo.ops[index])
            if self._heads(index).isdisjoint(self.off) and self._danger(edits) == ():
                self.later.remove(index)
                self._do(index, number)

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
            found = self._danger(self._edits(ops[index])) or ()
            proved = not found
        for _ in range(_ROUNDS if not proved else 0):
            names = sorted({name for danger in found for name in self._powering(danger)}, key=natural)
            self._power(names, POWER_OFF, found[0].text, number)
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
        standing, target, name = self.made.standing, self.made.todo.after, op.owner
        if (
            op.kind == SET
            and op.edits[0][0][0] == "phantom"
            and (name in self.phantom or all(standing.get(key) == value for key, value in op.edits))
        ):
            return ()
        off = {*self.off, *((name,) if op.kind == BACK and name in self.powered else ())} - (
            {name} if op.kind == BORROWED else set()
        )
        edits = [(key, OFF if key[0] == "away" and key[1] in off else value) for key, value in op.edits]
        if op.kind == PUT and ("unit", name) in target and ("away", name) not in target and name in self.powered:
            edits.append((("away", name), OFF))
        if op.kind in (BORROWED, BACK) and name in self.phantom:
            edits.append((("phantom", name), target.get(("phantom", name)) if op.kind == BORROWED else None))
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
        self._add(Step(WORK, edits, op, (), self.why.get(index, ""), left, number, proved))
        self.done.add(index)
        self.persisting |= {danger.key for danger in left}
        self.unproved = self.unproved or not proved
        if op.kind in (PUT, BACK) and dict(edits).get(("away", op.owner)) == OFF and op.owner not in self.off:
            self.off.append(op.owner)
        if op.kind in (OUT, BORROWED):
            self.off = [name for name in self.off if name != op.owner]
        if op.kind == BORROWED:
            self.phantom = [name for name in self.phantom if name != op.owner]

    def _danger(self, edits: tuple[Edit, ...]) -> tuple[Danger, ...] | None:
        found = dangers(self.made.frame, after(self.made.standing, edits))
        return None if found is None else tuple(danger for danger in found if danger.key not in self.persisting)

    # -- back up --------------------------------------------------------------------------------------------------------

    def _finish(self) -> None:
        """Off for the meter; then power, routes, phantom, amplifiers last. What the finished studio could do is said where it comes on."""
        self._before_power()
        self.ending = True
        self._metered()
        last = self._last()
        stay = self._up([name for name in self.off if name not in last])
        self._settle(0)
        if self.phantom:
            target = self.made.todo.after
            here = [name for name in self.phantom if ("unit", name) in target]
            edits = tuple((("phantom", name), target.get(("phantom", name))) for name in here)
            units = tuple(name for name in here if target.get(("phantom", name)))
            self._add(Step(PHANTOM_ON, edits, units=units, left=self._danger(edits) or ()))
        for names, kind in ((stay, POWER_ON), ([name for name in self.off if name not in stay], LOUD)):
            edits = self._on(names)
            if edits:
                left = self._danger(edits) or ()
                self._add(Step(kind, edits, units=tuple(name for (_, name), _ in edits), left=left))
            self.off = [name for name in self.off if name not in names]
            self._settle(0)
        for index in self.later:
            edits = self._edits(self.made.todo.ops[index])
            self._add(Step(WORK, edits, self.made.todo.ops[index], left=self._danger(edits) or ()))

    def _on(self, names: Iterable[str]) -> tuple[Edit, ...]:
        """The edits by which units that are off have power again."""
        standing, target = self.made.standing, self.made.todo.after
        here = [name for name in names if ("unit", name) in standing and standing.get(("away", name)) == OFF]
        return tuple((("away", name), target.get(("away", name))) for name in here)

    def _up(self, names: list[str]) -> list[str]:
        """Power units up, if nothing can harm then; those that stay down otherwise."""
        edits = self._on(names)
        up = [name for (_, name), _ in edits]
        if edits and self._danger(edits):
            return up
        if edits:
            self._add(Step(POWER_ON, edits, units=tuple(up)))
        self.off = [name for name in self.off if name not in up]
        return []

    def _before_power(self) -> None:
        """Routes and settings with which something could harm were they set when all has power: set before, and the reason said."""
        ops, target = self.made.todo.ops, self.made.todo.after
        hot = [name for name in self.phantom if ("unit", name) in target]
        edits = (*self._on(self.off), *((("phantom", name), target.get(("phantom", name))) for name in hot))
        found = self._danger(edits)
        for index in self.later:
            edits = (*edits, *self._edits(ops[index]))
            found = found or self._danger(edits)
        while found and self.later:
            self.why.update(dict.fromkeys(self.later, found[0].text))
            self.later.remove(self._next(self.later, 0))

    def _metered(self) -> None:
        """Without power: what the cables that are tested so end at, and what feeds them."""
        standing = self.made.standing
        places = {name for test in self.tests if test.kind == CONTINUITY for name in test.at}
        circuit = compiled(self.made.frame, standing) if places else None
        ends = {name.partition("/")[0] for name in places}
        ends |= {unit for name in places if circuit is not None for unit in around(circuit, name)}
        names = [name for name in ends & self.powered - set(self.off) if ("unit", name) in standing]
        names = sorted((name for name in names if ("away", name) not in standing), key=natural)
        if self._danger(tuple((("away", name), OFF) for name in names)) == ():
            self._power(names, POWER_OFF, "")


_TRIED, _ROUNDS = 12, 6
