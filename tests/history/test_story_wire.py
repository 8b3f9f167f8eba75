"""What the story of a place says of today: errors on its wire, the cause of today's fault and no mended one, the lines that did it.

On the starter studio, whose every revision is an edit made here by hand; what is wrong, and since when, is what was put there.
"""

import pytest

from routecode.history.story import Story
from routecode.history.story_fails import FINDING, PATH
from routecode.show.story_words import moment_lines
from tests.history.test_story_names import Edit, revisions, told

GATE = """[unit.gate]
title = "Gate"
[[unit.gate.port]]
name = "out"
direction = "out"
signal = "line"

[unit.pre]
"""


def gate(place: str) -> list[Edit]:
    """A gate with its output wired to a place."""
    cable = f'[[cable]]\nfrom = "gate/out"\nto = "{place}"\n\n# Cables that'
    return [("equipment.toml", "[unit.pre]\n", GATE), ("cables.toml", "# Cables that", cable)]


# -- errors on its wire --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("place", ["comp/in", "main/bottom 17", "gate/out", "pre/out 1", "comp", "pre"])
def test_an_error_is_told_to_everything_on_the_wire(place: str) -> None:
    found = told(revisions(gate("main/bottom 17")), place, "voice")
    rules = {one.finding.rule for one in found.since if one.kind == FINDING and one.finding is not None}
    assert rules >= {"outputs-tied"} | ({"jack-wired-twice"} if place != "pre" else set())
    assert {(one.since, one.until) for one in found.since} == {(0, 1)}


@pytest.mark.parametrize("place", ["rec/line 1", "main/top 17", "live/line 1", "near/in 1"])
def test_and_to_nothing_else(place: str) -> None:
    assert told(revisions(gate("main/bottom 17")), place, "voice").since == ()


# -- the line that did it ------------------------------------------------------------------------------------------------

LINES = 'from = "live/line 1..8"\nto = "pre/mic 1..8"\n'
COLUMN = '\n[[bay.main.column]]\nat = "19..20"\ntop = "rec/mix 1..2"\nbottom = "near/in 1..2"\nnormal = "half"\n'
WITH_COLUMN: list[Edit] = [
    ("bays/main.toml", 'bottom = "comp/in"\nnormal = "none"\n', f'bottom = "comp/in"\nnormal = "none"\n{COLUMN}'),
    (
        "cables.toml",
        '[[cable]]\nnumber = "M1..2"\nfrom = "rec/mix 1..2"\nto = "near/in 1..2"\ntype = "pair"\nmetres = 4\n',
        "",
    ),
]


@pytest.mark.parametrize(
    ("place", "edits", "line"),
    [
        ("live/line 2", [("cables.toml", LINES, LINES.replace("mic 1..8", "mic 8..1"))], 'to = "pre/mic 8..1"'),
        ("M9", [("cables.toml", '"M1..2"', '"M9..10"')], 'number = "M9..10"'),
        ("M1", [("cables.toml", "metres = 4", 'metres = 4\nloom = "red"')], 'loom = "red"'),
        ("pre/mic 3", [("equipment.toml", 'title = "Preamp"\n', 'title = "Preamp"\naway = "lent"\n')], 'away = "lent"'),
        ("main/top 21", [WITH_COLUMN, [("bays/main.toml", 'at = "19..20"', 'at = "21..22"')]], 'at = "21..22"'),
    ],
)
def test_the_key_that_a_commit_wrote_is_shown(place: str, edits: list[Edit | list[Edit]], line: str) -> None:
    newest = told(revisions(*edits), place).moments[0]
    assert newest.at == 0
    assert [(mark.side, mark.text) for mark in newest.marks] == [("after", line)]


def test_of_a_key_that_was_taken_out_the_line_before_is_shown() -> None:
    away = ("equipment.toml", 'title = "Preamp"\n', 'title = "Preamp"\naway = "lent"\n')
    newest = told(revisions(away, (away[0], away[2], away[1])), "pre/mic 3").moments[0]
    assert [(mark.side, mark.text) for mark in newest.marks] == [("before", 'away = "lent"')]


# -- no empty and no untrue entry ----------------------------------------------------------------------------------------

IDLE = GATE.replace(
    "\n[unit.pre]\n",
    '[[unit.gate.port]]\nname = "in"\ndirection = "in"\nsignal = "line"\n'
    '[[unit.gate.inside]]\nfrom = "in"\nto = "out"\n\n[unit.pre]\n',
)


def idle(place: str) -> list[Edit]:
    """A gate that gets nothing, with its output wired to a place."""
    return [("equipment.toml", "[unit.pre]\n", IDLE), gate(place)[1]]


def said(one: Story, number: int) -> list[str]:
    return list(moment_lines(one.moments[number], one))


def test_two_signals_that_meet_in_a_setup_are_told_though_no_path_came_of_it() -> None:
    found = told(revisions(idle("main/bottom 17")), "comp", "voice")
    assert said(found, 0) == [
        "Joined now: Gate out > Main bay bottom 17 > Compressor in.",
        "In voice: Compressor in now gets two signals on one wire: Gate out and Preamp out 1. Before: only Preamp out 1.",
    ]


def test_every_entry_says_something() -> None:
    took_off = (idle("main/bottom 17")[1][0], idle("main/bottom 17")[1][2], "# Cables that")
    found = told(revisions(idle("main/bottom 17"), took_off), "comp/in")
    assert said(found, 1) == ["Joined now: Gate out > Main bay bottom 17 > Compressor in."]
    assert said(found, 0) == ["No longer joined: Gate out > Main bay bottom 17 > Compressor in."]
    assert all(said(found, number) for number in range(len(found.moments)))


def test_a_cable_that_got_its_number_is_not_new() -> None:
    found = told(
        revisions(
            ("cables.toml", 'number = "M1..2"\n', ""), ("cables.toml", 'from = "rec', 'number = "M3..4"\nfrom = "rec')
        ),
        "M3",
    )
    assert [one.kind for one in found.moments] == ["changed", "changed", "appeared"]
    assert said(found, 0) == ["Until here it had no number (it joined the same places)."]
    assert said(found, 1) == ["Until here it was called M1 (it joined the same places)."]
    assert found.moments[0].marks[0].text == 'number = "M3..4"'


def test_a_cable_whose_number_was_taken_off_is_not_gone() -> None:
    found = told(revisions(("cables.toml", 'number = "M1..2"\n', "")), "M2")
    assert found.stands
    assert found.title == "A cable that has no number now"
    assert [sorted(each.ends) for each in found.ways] == [[("rec/mix 2", "near/in 2")]]


# -- the cause of today, and no mended one -------------------------------------------------------------------------------

PUT_AWAY = ("equipment.toml", 'title = "Preamp"\n', 'title = "Preamp"\naway = "in repair"\n')
REWIRED = ("cables.toml", LINES, LINES.replace("mic 1..8", "mic 8..1"))
PUT_BACK = (PUT_AWAY[0], PUT_AWAY[2], PUT_AWAY[1])


@pytest.mark.parametrize("place", ["live/line 1", "rec/line 1"])
def test_a_cause_that_was_mended_is_not_all_there_is(place: str) -> None:
    found = told(revisions(PUT_AWAY, REWIRED, PUT_BACK), place)
    (since,) = [one for one in found.since if one.kind == PATH]
    assert (since.since, since.until) == (2, 3)
    assert since.today is not None
    assert since.today.since == 1
    assert [mark.text for mark in since.today.marks] == ['to = "pre/mic 8..1"']
    assert "Live room box line 1 now reaches Recorder line 8" in " ".join(since.today.sentences)


def test_a_cause_that_stands_is_told_once() -> None:
    other = ("cables.toml", '"Installation pair"', '"Pair"')
    found = told(revisions(PUT_AWAY, other), "live/line 1")
    assert [one.today for one in found.since if one.kind == PATH] == [None]


def test_a_line_that_was_only_written_anew_is_no_other_cause() -> None:
    anew = (PUT_AWAY[0], 'away = "in repair"\n', 'away = "in repair" # until May\n')
    found = told(revisions(PUT_AWAY, anew), "live/line 1")
    assert [one.today for one in found.since if one.kind == PATH] == [None]
