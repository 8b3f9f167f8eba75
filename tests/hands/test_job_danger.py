"""Rewirings of which every order passes a hazard: the equipment of it is powered down meanwhile. And what could not be made safe is said."""

from itertools import permutations

import pytest

from routecode.hands import job_order
from routecode.hands.job import Job
from routecode.hands.job_operations import LAY, LIFT
from routecode.hands.job_state import Standing, after
from routecode.hands.job_steps import STOP, WORK, Step
from tests.hands.jobs import Identity, dangerous, ends_as_wanted, harms, job_of, last

ECHO = """
[studio]
title = "Small"
language = 1
[room.control]
title = "Control"
[rack.left]
title = "Left rack"
room = "control"
[unit.echo]
title = "Echo"
rack = "left"
[[unit.echo.port]]
name = ["in", "return"]
direction = "in"
signal = "line"
[[unit.echo.port]]
name = "out"
direction = "out"
signal = "line"
[[unit.echo.inside]]
from = "in"
to = "out"
unless = "return"
[[unit.echo.inside]]
from = "return"
to = "out"
[unit.filter]
title = "Filter"
rack = "left"
[[unit.filter.port]]
name = "in"
direction = "in"
signal = "line"
[[unit.filter.port]]
name = "out"
direction = "out"
signal = "line"
[[unit.filter.inside]]
from = "in"
to = "out"
[unit.deck]
title = "Deck"
rack = "left"
[[unit.deck.port]]
name = "out 1..2"
direction = "out"
signal = "line"
[[cable]]
number = "L1"
from = "echo/out"
to = "filter/in"
[[cable]]
number = "L2"
from = "filter/out"
to = "echo/in"
"""
RETURN = '[[cable]]\nnumber = "{}"\nfrom = "deck/out {}"\nto = "echo/return"\nmetres = 1\n'
LOOP = ("feedback-fixed", ("echo/in", "echo/out", "filter/in", "filter/out"))


def other_source() -> Job:
    """The return gets another source. While nothing is plugged there, the echo's own way is closed, and the loop through the filter with it."""
    return job_of(ECHO + RETURN.format("R1", 1), ECHO + RETURN.format("R2", 2))


def passed(made: Job, order: tuple[Step, ...]) -> set[Identity] | None:
    """What could harm on the way in this order of work, nothing powered down; None where it cannot be done so (two cables in one socket)."""
    standing: Standing = made.todo.before
    found: set[Identity] = set()
    for index, step in enumerate(order):
        assert step.op is not None
        if step.op.kind == LAY and any(each.op is not None and each.op.kind == LIFT for each in order[index + 1 :]):
            return None
        standing = after(standing, step.op.edits)
        found |= dangerous(made.frame, standing)
    return found


def test_both_ends_are_safe_and_every_order_between_them_passes_a_hazard() -> None:
    made = other_source()
    assert dangerous(made.frame, made.todo.before) == set()
    assert dangerous(made.frame, made.todo.after) == set()
    work = [step for step in made.ordered.steps if step.kind == WORK and step.op is not None and step.op.edits]
    assert sorted(step.op.kind for step in work if step.op is not None) == [LAY, LIFT]
    orders = [passed(made, order) for order in permutations(work)]
    assert [order for order in orders if order is not None] == [{LOOP}]


def test_so_the_equipment_of_the_loop_is_powered_down_and_every_state_is_safe() -> None:
    for made in (other_source(), job_of(ECHO + RETURN.format("R2", 2), ECHO + RETURN.format("R1", 1))):
        assert list(harms(made)) == []
        assert all(step.proved and not step.left for step in made.ordered.steps)
        steps = [step for step in made.ordered.steps if step.kind != "stop"]
        off = next(step for step in steps if step.kind == "power off")
        assert {"echo", "filter"} & set(off.units)
        assert "feedback" in off.because
        kinds = [step.op.kind if step.op is not None else step.kind for step in steps]
        assert kinds.index("power off") < kinds.index(LIFT) < kinds.index(LAY) < kinds.index("power on")
        assert last(made) == made.todo.after
        assert ends_as_wanted(made)


def test_without_that_step_the_hazard_would_be_seen() -> None:
    made = other_source()
    left = [step for step in made.ordered.steps if step.kind != "power off"]
    assert {harm for _, found in harms(made, left) for harm in found} == {LOOP}


def test_the_step_says_why() -> None:
    made = other_source()
    (off,) = [told for told in made.racks if told.kind == "power off" and not told.steps[0].ending]
    assert off.text.startswith("Power down: ")
    assert any(line.startswith("Without this: ") and "Echo" in line for line in off.mind)


RETURNING = """
[studio]
title = "Small"
language = 1
[room.control]
[unit.split]
title = "Split"
room = "control"
AWAY
[[unit.split.port]]
name = "out 1..2"
direction = "out"
signal = "line"
[unit.rec]
title = "Recorder"
room = "control"
[[unit.rec.port]]
name = "in"
direction = "in"
signal = "line"
[[cable]]
from = [["split/out 1"], ["split/out 2"]]
to = "rec/in"
"""


def test_what_ties_outputs_when_it_comes_back_is_put_in_without_power_and_said_where_it_comes_on() -> None:
    made = job_of(RETURNING.replace("AWAY", 'away = "workshop"'), RETURNING.replace("AWAY", ""))
    assert list(harms(made)) == []
    assert all(step.proved for step in made.ordered.steps)
    texts = [told.text for told in made.racks]
    assert "Put Split back (control), on the cables that hang there, without power yet." in texts
    (on,) = [told for told in made.racks if told.kind == "power on"]
    assert "drive one wire" in " ".join(on.mind)
    assert last(made) == made.todo.after


SWITCHED = """
[studio]
title = "Small"
language = 1
[room.control]
[model.selector]
[[model.selector.port]]
name = "in A..B"
direction = "in"
signal = "line"
[[model.selector.port]]
name = "out"
direction = "out"
signal = "line"
[[model.selector.switch]]
name = "source"
positions = POSITIONS
[[model.selector.inside]]
from = "in A"
to = "out"
when = "source = A"
[[model.selector.inside]]
from = "in B"
to = "out"
when = "source = B"
[unit.pick]
title = "Selector"
model = "selector"
room = "control"
[unit.rec]
title = "Recorder"
room = "control"
[[unit.rec.port]]
name = "in"
direction = "in"
signal = "line"
[[cable]]
from = "pick/out"
to = "rec/in"
"""


def test_a_switch_that_rests_otherwise_is_a_step_and_its_way_is_tested() -> None:
    """The first position is the resting one: pages/language.md."""
    one, other = (
        SWITCHED.replace('"in A..B"', '["in A", "in B"]').replace("POSITIONS", order)
        for order in ('["A", "B"]', '["B", "A"]')
    )
    made = job_of(one, other)
    (told,) = made.racks
    assert told.text == "At Selector (control): turn source to B (it stands at A). It rests there from now on."
    assert "level pick/out > rec/in" in {test.id for test in made.tests}
    assert last(made) == made.todo.after
    assert ends_as_wanted(made)
    assert not made.empty


def test_where_no_order_can_be_shown_to_be_safe_every_step_says_so_and_nobody_is_told_to_stop(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A last resort: no state in between compiles. The way still leads to the wanted studio."""
    monkeypatch.setattr(job_order._Planner, "_danger", lambda _self, _edits: None)
    made = other_source()
    work = [step for step in made.ordered.steps if step.kind == WORK and step.op is not None]
    assert work
    assert not any(step.proved for step in work)
    assert not [step for step in made.ordered.steps if step.kind == STOP]
    assert last(made) == made.todo.after
    told = [row for row in made.racks if row.kind in (LAY, LIFT)]
    assert [any(line.startswith("No order without danger was found here") for line in row.mind) for row in told] == [
        True,
        True,
    ]
