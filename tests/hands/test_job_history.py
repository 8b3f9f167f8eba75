"""Every jobsheet of the example's history, there and back: nothing harms after any step, and the last step leaves the wanted studio."""

import pytest

from tests.hands.jobs import ends_as_wanted, harms, history, last, steps_of_history
from tests.hands.jobs_table import PAGE, page_with, table

COUNT = len(history()) - 1


@pytest.mark.parametrize("back", [False, True], ids=["there", "back"])
@pytest.mark.parametrize("number", range(COUNT))
def test_nothing_harms_after_any_step_and_the_end_is_the_wanted_studio(number: int, back: bool) -> None:
    _, there, again = steps_of_history()[number]
    made = again if back else there
    assert all(step.proved and not step.left for step in made.ordered.steps)
    assert list(harms(made)) == []
    assert last(made) == made.todo.after
    assert ends_as_wanted(made)


def test_the_plan_is_never_longer_than_undoing_everything() -> None:
    for title, *ways in steps_of_history():
        for made in ways:
            assert made.down.minutes <= made.unplanned.minutes, title
            assert made.down.operations <= made.unplanned.operations, title


def test_a_cable_that_stays_is_in_no_step() -> None:
    for title, *ways in steps_of_history():
        for made in ways:
            stays = set(made.frame.standing(made.frame.before)) & set(made.todo.after)
            links = {key for key in stays if made.todo.before[key] == made.todo.after[key] and key[0] == "link"}
            moved = {key for step in made.ordered.steps for key, _ in step.edits}
            exchanged = {op.owner for op in made.todo.ops if op.kind in ("exchange", "move")}
            for _, (a, b) in links & moved:
                assert {a.partition("/")[0], b.partition("/")[0]} & exchanged, title


def test_phantom_and_loudspeakers_come_back_as_they_were_meant() -> None:
    for _, *ways in steps_of_history():
        for made in ways:
            kinds = [step.kind for step in made.ordered.steps]
            assert ("quiet" in kinds) == ("loud" in kinds)
            if "phantom off" in kinds:
                assert kinds.index("phantom off") < kinds.index("phantom on") < kinds.index("loud")
            if "work" in kinds and "quiet" in kinds:
                assert kinds.index("quiet") < kinds.index("work")
                assert kinds[-1] == "loud"


def test_the_table_of_the_page_is_fresh() -> None:
    assert PAGE.read_text(encoding="utf-8") == page_with(table()), "run: python -m tests.hands.jobs_table --write"
