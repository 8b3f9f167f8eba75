"""A sheet is followed from top to bottom: off before hands, tests without power before power, a generator before phantom power, loudspeakers last."""

from collections.abc import Iterator

import pytest

from routecode.hands.job import BENCH, RACKS, TESTS, Job, Told
from routecode.hands.job_around import powered_units
from routecode.hands.job_ending import MOST_TESTS, Tried
from routecode.hands.job_operations import SET
from routecode.hands.job_state import OFF, Standing, after
from routecode.hands.job_steps import LOUD, PHANTOM_OFF, PHANTOM_ON, POWER_OFF, POWER_ON, QUIET, STOP
from tests.change.any_edit import roughly_edited
from tests.hands.jobs import ends_as_wanted, harms, history, job_of, last, steps_of_history
from tests.hands.test_job import BASE, BAY, HEAD, PHANTOM, cable
from tests.reference.studios import random_studio

ON = (POWER_ON, PHANTOM_ON, LOUD)


def sequence(made: Job) -> list[Told | Tried]:
    """All of a sheet but what is made at the bench, as it is printed."""
    return [*(told for told in made.racks if told.part == RACKS), *made.ending]


def walked(made: Job) -> Iterator[tuple[Told | Tried, Standing]]:
    """Each piece with what stands before it; steps that ask for nothing are not told, and are done all the same."""
    standing, steps = dict(made.todo.before), list(made.ordered.steps)
    for each in sequence(made):
        while isinstance(each, Told) and steps[0] is not each.steps[0]:
            standing = after(standing, steps.pop(0).edits)
        yield each, standing
        for _ in each.steps if isinstance(each, Told) else ():
            standing = after(standing, steps.pop(0).edits)


def followed(made: Job) -> None:
    """AssertionError where a sheet cannot be followed from top to bottom."""
    numbers = [each.number for each in (*made.bench, *sequence(made))]
    assert numbers == list(range(1, len(numbers) + 1))
    tried = [test.id for each in made.ending if isinstance(each, Tried) for test in each.tests]
    assert sorted(tried) == sorted(test.id for test in made.tests[:MOST_TESTS])
    powered = powered_units(made.frame)
    feared = {name for step in made.ordered.steps if step.because for name in step.units}
    feared |= {name for kind, name in made.todo.before if kind == "away"}
    for each, standing in walked(made):
        if isinstance(each, Tried):
            _tested(made, each, standing, powered)
        for step in each.steps if isinstance(each, Told) else ():
            assert step.kind not in ON or step.ending
            if step.op is not None and step.op.kind == SET and step.edits and not step.because:
                heads = {step.op.owner, *(name.partition("/")[0] for name in step.op.touches)}
                assert OFF not in {standing.get(("away", head)) for head in heads - feared}, step.op


def _tested(made: Job, tried: Tried, standing: Standing, powered: set[str]) -> None:
    kind, places = tried.tests[0].kind, {name for test in tried.tests for name in test.at}
    if kind == "continuity":
        ends = {name.partition("/")[0] for name in places} & powered
        assert {head for head in ends if ("away", head) not in standing} == set()
    if kind == "level":
        circuit = made.frame.circuit(standing)
        assert circuit is not None
        nets = [net for node in circuit.plant.phantom_on if (net := circuit.state(None).net_of(node)) is not None]
        assert places.isdisjoint({circuit.plant.name(node) for net in nets for node in net.nodes})


@pytest.mark.parametrize("number", range(len(history()) - 1))
def test_every_sheet_of_the_history_can_be_followed(number: int) -> None:
    for made in steps_of_history()[number][1:]:
        followed(made)


@pytest.mark.parametrize("seed", range(8))
def test_sheets_of_random_edits_can_be_followed(seed: int) -> None:
    before, then = roughly_edited(seed)
    for made in (job_of(before, then), job_of(then, before)):
        followed(made)


# -- sent away ------------------------------------------------------------------------------------------------------------

LINES = "".join(f'[[cable]]\nnumber = "L{n}"\nfrom = "wall/line {n}"\nto = "pre/mic {n}"\n' for n in (1, 2))
HERE = HEAD + PHANTOM + LINES
AWAY = HERE.replace('title = "Preamp"', 'title = "Preamp"\naway = "in repair"')


def test_a_unit_that_is_sent_away_has_its_phantom_power_off_and_no_power_before_its_plugs_are_lifted() -> None:
    """The cautions of the sheet: phantom power off and measured, power off before plugs and multipins are lifted."""
    made = job_of(HERE, AWAY)
    assert [(step.kind, step.units) for step in made.ordered.steps[:2]] == [
        (PHANTOM_OFF, ("pre",)),
        (POWER_OFF, ("pre",)),
    ]
    assert [told.kind for told in made.racks] == ["phantom off", "power off", "sent away"]
    assert made.racks[-1].text.startswith("Lift the plugs off Preamp, then take it out")
    assert last(made) == made.todo.after
    assert ends_as_wanted(made)


def test_a_unit_that_comes_back_is_plugged_without_power_then_powered_then_gives_phantom_power() -> None:
    made = job_of(AWAY, HERE)
    assert [told.kind for told in made.racks] == ["back again", "power on", "phantom on"]
    assert made.racks[0].text.endswith("on the cables that hang there, without power yet.")
    assert made.racks[1].steps[0].units == made.racks[2].steps[0].units == ("pre",)
    assert last(made) == made.todo.after
    assert list(harms(made)) == []
    followed(made)


def test_a_unit_that_is_sent_away_from_a_phantom_line_of_another_has_that_off() -> None:
    """A box between wall and preamplifier: what is lifted there carries the phantom power of the preamplifier."""
    box = '[unit.box]\ntitle = "Box"\nrack = "left"\nAWAY\n[[unit.box.port]]\nname = ["a", "b"]\ndirection = "either"\nsignal = "mic"\n'
    wired = HEAD + PHANTOM + box + '[[cable]]\nfrom = "box/a"\nto = "pre/mic 1"\n'
    made = job_of(wired.replace("AWAY", ""), wired.replace("AWAY", 'away = "lent"'))
    assert [(step.kind, step.units) for step in made.ordered.steps if step.kind == PHANTOM_OFF] == [
        (PHANTOM_OFF, ("pre",))
    ]


# -- power and tests ------------------------------------------------------------------------------------------------------


def test_tests_without_power_stand_before_power_and_a_generator_before_phantom_power() -> None:
    one, both = (HEAD + PHANTOM + LINES.partition("\n[[cable]]")[0] + "\n", HERE)
    made = job_of(one, both)
    told = [each.tests[0].kind if isinstance(each, Tried) else each.kind for each in made.ending]
    assert told == [POWER_OFF, "continuity", POWER_ON, "level", PHANTOM_ON, "phantom"]
    assert {each.part for each in made.ending if isinstance(each, Told)} == {TESTS}
    followed(made)


def test_without_tests_the_studio_comes_back_where_the_work_ends() -> None:
    made = job_of(BASE + cable("A1", "deck/out 1", "rec/in 1"), BASE)
    assert made.ending == ()
    assert {told.part for told in (*made.bench, *made.racks)} <= {BENCH, RACKS}


MONITOR = """
[unit.mon]
title = "Monitor"
room = "control"
[[unit.mon.port]]
name = "in"
direction = "in"
signal = "line"
"""


def test_a_new_powered_loudspeaker_comes_on_last() -> None:
    new = (
        MONITOR
        + cable("M1", "fresh/out 1", "mon/in")
        + '[unit.fresh]\ntitle = "Fresh"\nmodel = "player"\nrack = "left"\n'
    )
    made = job_of(BASE, BASE + new)
    units = {step.kind: step.units for step in made.ordered.steps if step.kind in ON}
    assert units == {POWER_ON: ("fresh",), LOUD: ("mon",)}
    assert made.ordered.steps[-1].kind == LOUD
    followed(made)


ROUTED = """
[model.node]
[[model.node.port]]
name = "net out"
direction = "out"
signal = "madi"
channels = 2
[[model.node.port]]
name = "net in"
direction = "in"
signal = "madi"
channels = 2
[model.node2]
[[model.node2.port]]
name = "net out"
direction = "out"
signal = "madi"
channels = 2
[[model.node2.port]]
name = "net in"
direction = "in"
signal = "madi"
channels = 2
[[model.node2.port]]
name = "spare"
direction = "in"
signal = "line"
[unit.one]
title = "One"
model = "MODEL"
rack = "left"
[unit.two]
title = "Two"
model = "node"
rack = "left"
[[cable]]
number = "N1"
from = "one/net out"
to = "two/net in"
"""
ROUTE = '[[route]]\nfrom = "one/net in ch 1"\nto = "one/net out ch 1"\n'


def test_routes_are_cleared_before_power_goes_and_set_after_it_came() -> None:
    without, routed = HEAD + ROUTED.replace("MODEL", "node"), HEAD + ROUTED.replace("MODEL", "node2") + ROUTE
    made = job_of(without, routed)
    kinds = [told.kind for told in made.racks]
    assert kinds.index(POWER_OFF) < kinds.index("exchange") < kinds.index(POWER_ON) < kinds.index(SET)
    back = job_of(routed, without)
    kinds = [told.kind for told in back.racks]
    assert kinds.index(SET) < kinds.index(POWER_OFF) < kinds.index("exchange") < kinds.index(POWER_ON)
    for each in (made, back):
        assert list(harms(each)) == []
        assert last(each) == each.todo.after
        followed(each)


# -- stopping points ------------------------------------------------------------------------------------------------------


def test_a_stopping_point_says_what_comes_on_and_what_goes_off_again() -> None:
    before = HERE.replace("[studio]", "[studio]", 1) + MONITOR
    more = BASE.replace(HEAD, "")
    lay = cable("A1", "deck/out 1", "rec/in 1")
    lines = '[[cable]]\nnumber = "L2"\nfrom = "wall/line 2"\nto = "pre/mic 2"\n'
    made = job_of(before.replace(lines, "") + more, before + more + lay)
    (stop,) = [told for told in made.racks if told.kind == STOP]
    on, off = stop.mind
    assert on == (
        "To work meanwhile: continuity and shorts of what was joined so far; "
        "then phantom power on at Preamp mics 1-2; then last, with levels down, switch on Monitor."
    )
    assert off == (
        "Before the next step: pull every cord; then switch off Monitor; "
        "then phantom power off at Preamp, and under 1 V measured after a minute."
    )
    assert stop.minutes == 0
    assert [step.kind for step in made.ordered.steps if step.kind == QUIET] == [QUIET]


def test_a_pair_is_not_parted_by_a_stopping_point() -> None:
    pair = ["".join(cable(f"A{n}", f"deck/out {n}", f"rec/in {n + add}", metres=3) for n in (1, 2)) for add in (0, 2)]
    made = job_of(BASE + pair[0], BASE + pair[1])
    assert [told.kind for told in made.racks if told.part == RACKS and told.kind in ("lift", "lay", STOP)] == [
        "lift",
        "lay",
    ]
    assert [len(told.rows) for told in made.racks if told.kind in ("lift", "lay")] == [2, 2]


def test_neighbouring_columns_are_one_step_with_a_box_each_and_no_stop_between() -> None:
    before, then = (BASE + BAY.replace("columns", f'normal = "{kind}"\ncolumns') for kind in ("half", "full"))
    assert before != then
    made = job_of(before, then)
    work = [told for told in made.racks if told.part == RACKS and told.kind not in (QUIET, POWER_OFF)]
    assert [told.kind for told in work] == ["make"]
    assert "columns 1-24" in work[0].text
    assert work[0].lines[:2] == ("column 1 (behind: 24th from the left)", "column 2 (behind: 23rd from the left)")
    assert len(work[0].lines) == 24


def test_more_than_eight_cables_of_one_sort_have_a_stopping_point_between() -> None:
    ports = BASE.replace("out 1..2", "out 1..12").replace("in 1..4", "in 1..12")
    made = job_of(ports, ports + "".join(cable(f"A{n}", f"deck/out {n}", f"rec/in {n}") for n in range(1, 13)))
    told = [(each.kind, len(each.rows)) for each in made.racks if each.kind in ("lay", STOP)]
    assert told == [("lay", 8), (STOP, 0), ("lay", 4)]


def test_a_route_that_could_harm_when_all_has_power_is_set_before_and_says_why() -> None:
    """Two random studios of which the second ties outputs by a route: it is set while nothing can drive the wire."""
    made = job_of(random_studio(1006, "tiny"), random_studio(1007, "tiny"))
    (told,) = [told for told in made.racks if told.kind == SET and told.steps[0].because]
    assert any(line.startswith("Here, and not while all has power: ") for line in told.mind)
    assert told.number < min(each.number for each in made.racks if each.kind in ON)
    assert list(harms(made)) == []
