"""Jobs on small studios: order, reuse, stopping points, jacks from behind, exchanged units; and that an unsafe order would be seen."""

import pytest

from routecode.hands.job_cables import AGAIN, works
from routecode.hands.job_operations import LAY, LIFT
from routecode.hands.job_words import behind, columns
from tests.hands.jobs import dangerous, ends_as_wanted, harms, job_of, last

HEAD = '[studio]\ntitle = "Small"\nlanguage = 1\n[room.control]\ntitle = "Control"\n[rack.left]\ntitle = "Left rack"\nroom = "control"\n'
MODELS = """
[model.player]
[[model.player.port]]
name = "out 1..2"
direction = "out"
signal = "line"
level = "+4 dBu"
connector = "xlr-m"
[model.recorder]
[[model.recorder.port]]
name = "in 1..4"
direction = "in"
signal = "line"
connector = "xlr-f"
[cable_type.pair]
hot_colour = "WH"
cold_colour = "BU"
[cable_type.other]
[unit.deck]
title = "Deck"
model = "player"
rack = "left"
[unit.radio]
title = "Radio"
model = "player"
rack = "left"
[unit.rec]
title = "Recorder"
model = "recorder"
rack = "left"
"""
BASE = HEAD + MODELS


def cable(number: str, from_: str, to: str, **more: object) -> str:
    keys = {"type": "pair", "metres": 3, **more}
    lines = "".join(
        f'{key} = "{value}"\n' if isinstance(value, str) else f"{key} = {value}\n" for key, value in keys.items()
    )
    return f'[[cable]]\nnumber = "{number}"\nfrom = "{from_}"\nto = "{to}"\n{lines}'


def test_the_lift_comes_before_the_lay_that_would_tie_two_outputs() -> None:
    made = job_of(BASE + cable("A1", "deck/out 1", "rec/in 1"), BASE + cable("A2", "radio/out 1", "rec/in 1"))
    assert list(harms(made)) == []
    assert ends_as_wanted(made)


def test_an_unsafe_order_is_seen() -> None:
    made = job_of(BASE + cable("A1", "deck/out 1", "rec/in 1"), BASE + cable("A2", "radio/out 1", "rec/in 1"))
    steps = made.ordered.steps
    lay = next(step for step in steps if step.op is not None and step.op.kind == LAY)
    planted = [lay, *(step for step in steps if step is not lay)]
    found = list(harms(made, planted))
    assert {rule for _, harm in found for rule, _ in harm} == {"outputs-tied"}


def test_an_end_that_is_not_reached_is_seen() -> None:
    made = job_of(BASE, BASE + cable("A1", "deck/out 1", "rec/in 1"))
    made.ordered.steps[:] = [step for step in made.ordered.steps if step.op is None or step.op.kind != LAY]
    assert not ends_as_wanted(made)


# -- used again ----------------------------------------------------------------------------------------------------------


def again(before: str, after: str) -> list[tuple[str, str]]:
    found, _ = works(job_of(BASE + before, BASE + after).frame)
    return [(work.old.called, work.new.called) for work in found if work.how == AGAIN and work.old and work.new]


def test_a_removed_cable_that_fits_is_used_again_and_the_saving_is_said() -> None:
    made = job_of(
        BASE + cable("A1", "deck/out 1", "rec/in 1", metres=5), BASE + cable("A2", "radio/out 1", "rec/in 2", metres=4)
    )
    assert made.saved == (4.0, 2)
    assert made.bench == ()


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ({"metres": 3}, {"metres": 4}),
        ({"type": "other"}, {"type": "pair"}),
        ({"loom": "Hall"}, {}),
    ],
    ids=["too short", "another type", "laced into a loom that stays"],
)
def test_what_does_not_fit_is_not_used_again(old: dict[str, object], new: dict[str, object]) -> None:
    stays = cable("H1", "deck/out 2", "rec/in 4", loom="Hall")
    before = stays + cable("A1", "deck/out 1", "rec/in 1", **old)
    after = stays + cable("A2", "radio/out 1", "rec/in 2", **new)
    assert again(before, after) == []
    assert again(stays + cable("A1", "deck/out 1", "rec/in 1"), stays + cable("A2", "radio/out 1", "rec/in 2")) == [
        ("A1", "A2")
    ]


def test_of_two_removed_cables_each_goes_where_it_fits() -> None:
    before = cable("A1", "deck/out 1", "rec/in 1", metres=9) + cable("A2", "deck/out 2", "rec/in 2", metres=4)
    after = cable("B1", "radio/out 1", "rec/in 3", metres=4) + cable("B2", "radio/out 2", "rec/in 4", metres=9)
    assert sorted(again(before, after)) == [("A1", "B2"), ("A2", "B1")]


def test_a_cable_of_the_same_number_is_moved_and_one_end_stays() -> None:
    made = job_of(BASE + cable("A1", "deck/out 1", "rec/in 1"), BASE + cable("A1", "deck/out 1", "rec/in 2"))
    (lay,) = [told for told in made.racks if told.kind == LAY]
    (row,) = lay.rows
    assert (row.from_.handled, row.to.handled) == (False, True)
    assert [told.kind for told in made.bench] == ["flags"]


# -- jacks, units, stopping points ---------------------------------------------------------------------------------------


def test_a_bay_is_mirrored_from_behind() -> None:
    """Common practice, no source: behind a bay of 48 the first column from the front is the last from the left."""
    assert [behind(48, number) for number in (1, 2, 48)] == [48, 47, 1]
    assert all(behind(32, behind(32, number)) == number for number in range(1, 33))


BAY = '[bay.north]\ntitle = "North bay"\nrack = "left"\ncolumns = 24\ncontact = "bantam"\n'


def test_a_step_counts_jacks_from_the_front_and_from_behind() -> None:
    made = job_of(BASE + BAY, BASE + BAY + cable("A1", "deck/out 1", "north/top 5"))
    (lay,) = [told for told in made.racks if told.kind == LAY]
    end = next(end for end in (lay.rows[0].from_, lay.rows[0].to) if end.front)
    assert (end.front, end.behind, end.at, end.told) == (
        5,
        20,
        "Left rack",
        "North bay top 5 (behind: 20th from the left)",
    )
    assert {pin.carries: (pin.from_pin, pin.to_pin, pin.colour) for pin in lay.rows[0].pins} == {
        "hot": ("2", "tip", "WH"),
        "cold": ("3", "ring", "BU"),
        "shield": ("1", "sleeve", ""),
    }


def test_an_exchanged_unit_has_its_cables_off_and_on_again() -> None:
    tape = MODELS.partition("[model.recorder]")[0].replace("player", "tape")
    wiring = tape + cable("A1", "deck/out 1", "rec/in 1")
    exchanged = BASE.replace('title = "Deck"\nmodel = "player"', 'title = "Deck"\nmodel = "tape"')
    made = job_of(BASE + wiring, exchanged + wiring)
    kinds = [told.kind for told in made.racks]
    assert kinds.index(LIFT) < kinds.index("exchange") < kinds.index(LAY)
    assert list(harms(made)) == []
    assert last(made) == made.todo.after


NEEDS = """
[setup.one]
title = "Speech"
[[setup.one.need]]
path = ["deck/out 1", "rec/in 1"]
[setup.two]
title = "Music"
[[setup.two.need]]
path = ["radio/out 1", "rec/in 2"]
"""


def test_a_stopping_point_says_which_setups_work() -> None:
    after = cable("A1", "deck/out 1", "rec/in 1") + cable("A2", "radio/out 1", "rec/in 2")
    made = job_of(BASE + NEEDS, BASE + NEEDS + after)
    (stop,) = [told for told in made.racks if told.kind == "stop"]
    assert [(each.title, each.works) for each in stop.works] == [("Speech", True), ("Music", False)]


def test_no_safe_order_powers_down_what_is_named_and_says_so() -> None:
    """The finished studio ties two outputs: that is said where they come on, and nothing is on before."""
    after = '[[cable]]\nfrom = [["deck/out 1"], ["radio/out 1"]]\nto = "rec/in 1"\n'
    made = job_of(BASE, BASE + after)
    assert list(harms(made)) == []
    on = [step for step in made.ordered.steps if step.left]
    assert [danger.rule for step in on for danger in step.left] == ["outputs-tied"]
    off = next(step for step in made.ordered.steps if step.kind == "power off")
    assert set(off.units) == {"deck", "radio"}
    assert dangerous(made.frame, last(made)) == {("outputs-tied", ("deck/out 1", "radio/out 1"))}


def test_nothing_to_do_is_no_step() -> None:
    made = job_of(BASE, BASE.replace('title = "Deck"', 'title = "Tape deck"'))
    assert made.empty
    assert made.racks == ()
    assert made.tests == ()


def test_columns_are_told_as_people_say_them() -> None:
    assert columns([3]) == "column 3"
    assert columns([1, 2, 3, 7, 9, 10]) == "columns 1-3, 7 and 9-10"


VALVE = """
[unit.amp]
title = "Valve amplifier"
rack = "left"
[[unit.amp.port]]
name = "speaker"
direction = "out"
signal = "speaker-level"
needs_load = true
connector = "speaker"
[unit.cabinet]
title = "Cabinet"
room = "control"
[[unit.cabinet.port]]
name = "in"
direction = "in"
signal = "speaker-level"
connector = "speaker"
[unit.other]
title = "Other cabinet"
room = "control"
[[unit.other.port]]
name = "in"
direction = "in"
signal = "speaker-level"
connector = "speaker"
"""


def test_a_valve_amplifier_is_off_before_its_load_is_lifted_and_on_after_the_next_is_joined() -> None:
    made = job_of(HEAD + VALVE + SPEAKER.format("cabinet"), HEAD + VALVE + SPEAKER.format("other"))
    assert list(harms(made)) == []
    steps = [step for step in made.ordered.steps if step.kind != "stop"]
    assert steps[0].units == ("amp",)
    assert steps[-1].units == ("amp",)
    without = [step for step in steps if "amp" not in step.units]
    assert {rule for _, harm in harms(made, without) for rule, _ in harm} == {"amplifier-without-load"}


SPEAKER = '[[cable]]\nnumber = "S1"\nfrom = "amp/speaker"\nto = "{}/in"\n'
PHANTOM = """
[unit.wall]
title = "Wall box"
room = "control"
[[unit.wall.port]]
name = "line 1..2"
direction = "either"
signal = "mic"
connector = "xlr-f"
[unit.pre]
title = "Preamp"
rack = "left"
phantom_on = ["mic 1..2"]
[[unit.pre.port]]
name = "mic 1..2"
direction = "in"
signal = "mic"
phantom = "supply"
connector = "xlr-f"
"""


def test_phantom_power_is_off_while_its_line_is_in_hands_and_on_again_after() -> None:
    lines = [f'[[cable]]\nnumber = "L{n}"\nfrom = "wall/line {n}"\nto = "pre/mic {n}"\n' for n in (1, 2)]
    made = job_of(HEAD + PHANTOM + lines[0], HEAD + PHANTOM + "".join(lines))
    kinds = [step.kind for step in made.ordered.steps]
    off, on = kinds.index("phantom off"), kinds.index("phantom on")
    handled = [index for index, step in enumerate(made.ordered.steps) if step.op is not None]
    assert off < min(handled) <= max(handled) < on
    assert made.ordered.steps[off].units == ("pre",)


def test_a_unit_is_without_power_while_its_multipin_is_lifted_and_all_it_carries_is_tested_again() -> None:
    many = """
[unit.box]
title = "Box"
rack = "left"
[[unit.box.port]]
name = "out 1..2"
direction = "out"
signal = "line"
[[unit.box.multipin]]
name = "out 1-2"
connector = "db25"
layout = "aes59"
carries = "out 1..2"
"""
    stays = cable("M1", "box/out 1", "rec/in 1")
    made = job_of(BASE + many + stays, BASE + many + stays + cable("M2", "box/out 2", "rec/in 2"))
    off = next(step for step in made.ordered.steps if step.kind == "power off")
    assert off.units == ("box",)
    assert made.retest == ("M1",)
    assert "continuity box/out 1 > rec/in 1" in {test.id for test in made.tests}


def test_names_that_read_otherwise_are_the_same_things() -> None:
    """A renamed unit and a renamed port are no work; what was rewired beside them is."""
    before = BASE + cable("A1", "deck/out 1", "rec/in 1")
    after = BASE.replace("[unit.deck]", '[unit.tape]\nwas = "deck"') + cable("A1", "tape/out 1", "rec/in 2")
    made = job_of(before, after)
    assert {told.kind for told in made.racks} <= {"lift", "lay", "quiet", "loud", "power off", "power on"}
    assert list(harms(made)) == []
    assert ends_as_wanted(made)
