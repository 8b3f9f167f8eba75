"""Figures that moved, as a diff tells them: by a decibel and more, on written figures only, and read backwards the same."""

import pytest

from routecode.change.changes import Change
from routecode.change.difference import SAME_ENDS, TEXT_ONLY, Difference
from tests.change.kind_cases import FIGURED, POWERED, WEAKER
from tests.change.wiring import changed
from tests.show.studios import opened

METER = """
[unit.meter]
title = "Meter"
[[unit.meter.port]]
name = "in"
direction = "in"
signal = "mic"
ohms = {ohms}
[[unit.booth.port]]
name = "3"
direction = "out"
signal = "mic"
"""
SPLIT = changed(FIGURED + METER.format(ohms=300), ('to = "pre-b/mic 1"', 'to = [["pre-b/mic 1"], ["meter/in"]]'))


def difference(before: str, after: str) -> Difference:
    return Difference(opened({"studio.toml": before}), opened({"studio.toml": after}))


def told(before: str, after: str, kind: str, setup: str | None = None) -> list[Change]:
    return [change for change in difference(before, after).changes[setup] if change.kind == kind]


def test_a_second_load_is_told_as_a_level_that_moved() -> None:
    (one,) = told(FIGURED + METER.format(ohms=300), SPLIT, "altered")
    # 150 ohm into 300 ohm (and 150 kohm beside it): -3.53 dB, divider of the check values 10.1
    assert one.sentence.startswith(
        "Narration booth 1 still reaches Preamp B, 4 dB weaker. Before: -50.0 dBu. Now: -53.5 dBu."
    )
    assert one.harm == "note"
    assert one.cause


def test_read_backwards_it_is_stronger() -> None:
    there, back = told(FIGURED, WEAKER, "altered"), told(WEAKER, FIGURED, "altered")
    assert [one.id for one in there] == [one.id for one in back]
    assert (
        back[0].sentence
        == "Narration booth 1 still reaches Preamp B, 6 dB stronger. Before: -56.0 dBu. Now: -50.0 dBu."
    )


@pytest.mark.parametrize(("level", "count"), [("-50.9 dBu", 0), ("-51.0 dBu", 1)])
def test_less_than_a_decibel_is_not_told(level: str, count: int) -> None:
    assert len(told(FIGURED, changed(FIGURED, ("-50 dBu", level)), "altered")) == count


def test_a_level_on_usual_figures_is_not_told() -> None:
    usual = changed(FIGURED, ("ohms = 150\n", ""))
    assert told(usual, changed(usual, ("-50 dBu", "-60 dBu")), "altered") == []


def test_a_figure_alone_makes_the_result_more_than_text() -> None:
    assert difference(FIGURED, WEAKER).result == SAME_ENDS
    assert difference(FIGURED, POWERED).result == SAME_ENDS
    assert difference(FIGURED, FIGURED + "# a comment\n").result == TEXT_ONLY


def test_another_cable_type_or_length_moves_no_level() -> None:
    cable = changed(FIGURED, ('to = "pre-b/mic 1"', 'to = "pre-b/mic 1"\nmetres = 5'))
    assert told(FIGURED, cable, "altered") == []


def test_phantom_power_in_a_setup_only() -> None:
    before = FIGURED + '[setup.take]\ntitle = "Take"\n'
    after = FIGURED + '[setup.take]\ntitle = "Take"\nphantom_on = "pre-b/mic 1"\n'
    assert told(before, after, "phantom") == []
    (one,) = told(before, after, "phantom", "take")
    assert (one.sense, one.harm) == ("new", "risk")


def test_phantom_power_that_is_needed_is_a_gain_and_says_why_it_goes() -> None:
    needs = changed(FIGURED, ("ohms = 150\n", 'ohms = 150\nphantom = "needs"\n'))
    powered = changed(needs, ('title = "Preamp B"', 'title = "Preamp B"\nphantom_on = "mic 1"'))
    (one,) = told(needs, powered, "phantom")
    assert one.harm == "gain"
    lifted = changed(powered, ('to = "pre-b/mic 1"', 'to = "pre-b/mic 1"\nshield = "to"'))
    (gone,) = told(powered, lifted, "phantom")
    assert gone.sentence == "Narration booth 1 no longer gets phantom power: a leg or the shield is open on the way."
    assert gone.harm == "risk"


def test_what_is_not_wired_any_more_is_lost_and_not_told_twice() -> None:
    gone = POWERED[: POWERED.index("[[cable]]")]
    assert told(POWERED, gone, "phantom") == []
    assert [one.kind for one in difference(POWERED, gone).changes[None]] == ["lost"]
