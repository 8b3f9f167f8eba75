"""Legs of lines: what is told where one is lost, grounded or exchanged. The circuits are judged by conductor (common practice, no source)."""

import pytest

from routecode.ground.finding import Finding, Severity
from tests.rules.studios import rules_of, told

LINE = """
[unit.m]
title = "M"
rack = "left"
[[unit.m.port]]
name = "a"
direction = "out"
signal = "line"
{gives}
[unit.p]
title = "P"
rack = "left"
[[unit.p.port]]
name = "b"
direction = "in"
signal = "line"
{takes}
[[cable]]
from = "m/a"
to = "p/b"
{cable}
"""


def line(gives: str, takes: str, cable: str = "") -> list[Finding]:
    return told(LINE.format(gives=gives.replace(";", "\n"), takes=takes.replace(";", "\n"), cable=cable))


def only(found: list[Finding]) -> Finding:
    (one,) = found
    return one


PLAIN, BALANCED = "balanced = false", "balanced = true"
SYMMETRIC, FLOATING, WOUND, IMPEDANCE = (
    f'balanced = true; drive = "{word}"' for word in ("symmetric", "floating", "transformer", "impedance")
)
REVERSED, OPEN = 'polarity = "reversed"', 'cold = "open"'


# -- exchanged ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("gives", [WOUND, FLOATING])
def test_one_unbalanced_end_is_not_shorted_by_an_exchange(gives: str) -> None:
    assert rules_of(line(PLAIN, BALANCED, REVERSED)) == {"polarity-reversed"}
    assert rules_of(line(gives, PLAIN, REVERSED)) == {"polarity-reversed"}


def test_two_unbalanced_ends_are_and_so_is_an_output_with_its_cold_leg_at_ground() -> None:
    for gives in (PLAIN, IMPEDANCE):
        assert "reversed-unbalanced" in rules_of(line(gives, PLAIN, REVERSED)), gives
    assert rules_of(line(PLAIN, PLAIN, REVERSED + '\nshield = "from"')) == {"polarity-reversed"}  # no common ground


def test_a_cord_counts_and_two_exchanges_are_none() -> None:
    text = """
    [unit.m]
    rack = "left"
    [[unit.m.port]]
    name = "a"
    direction = "out"
    signal = "line"
    balanced = false
    [unit.p]
    rack = "left"
    [[unit.p.port]]
    name = "b"
    direction = "in"
    signal = "line"
    balanced = false
    [bay.n]
    rack = "left"
    columns = 1
    [[bay.n.column]]
    at = 1
    top = "m/a"
    bottom = "p/b"
    [setup.x]
    [[setup.x.cord]]
    from = "n/top 1"
    to = "n/bottom 1"
    polarity = "reversed"
    """
    found = [one for one in told(text) if one.rule == "reversed-unbalanced"]
    assert [(one.at, one.setup, one.severity) for one in found] == [
        (("m/a",), "x", Severity.ERROR),
        (("p/b",), "x", Severity.ERROR),
    ]
    back = text.replace('top = "m/a"', "") + '[[cable]]\nfrom = "m/a"\nto = "n/top 1"\npolarity = "reversed"\n'
    assert "reversed-unbalanced" not in rules_of(told(back))


# -- lost ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("gives", "takes", "cable", "words", "do"),
    [
        (SYMMETRIC, BALANCED, OPEN, "half of the signal (6 dB)", "at both ends"),
        (WOUND, BALANCED, OPEN, "That output floats", "at both ends"),
        (FLOATING, BALANCED, OPEN, "That output floats", "at both ends"),
        (IMPEDANCE, BALANCED, OPEN, "floats", "at both ends"),
        (BALANCED, BALANCED, OPEN, "nearly all where it floats", "at both ends"),
        (WOUND, PLAIN, OPEN, "That output floats", "at the unbalanced end"),
        (FLOATING, PLAIN, OPEN, "That output floats", "at the unbalanced end"),
        (PLAIN, BALANCED, OPEN, "hum comes in", "Join the cold leg to the shield at the source"),  # check value C2
        (PLAIN, PLAIN, OPEN + '\nshield = "from"', "so is the shield", "the cold leg or the shield"),
    ],
)
def test_a_lost_leg_says_what_it_costs_and_what_helps(gives: str, takes: str, cable: str, words: str, do: str) -> None:
    one = only(line(gives, takes, cable))
    assert (one.rule, one.at) == ("leg-lost", ("p/b",))
    assert words in one.why
    assert do in one.do


@pytest.mark.parametrize(
    ("gives", "takes", "cable"),
    [
        (SYMMETRIC, PLAIN, OPEN),
        (IMPEDANCE, PLAIN, OPEN),
        (BALANCED, PLAIN, OPEN),
        (FLOATING, PLAIN, 'cold = "shield-at-to"'),
        (WOUND, PLAIN, ""),
        (PLAIN, BALANCED, 'cold = "shield-at-from"'),
        (PLAIN, BALANCED, 'cold = "shield-at-from"\nshield = "from"'),
        (PLAIN, PLAIN, OPEN),
        (PLAIN, PLAIN, 'shield = "from"'),
    ],
)
def test_lines_that_are_made_as_they_are_made(gives: str, takes: str, cable: str) -> None:
    assert line(gives, takes, cable) == []


# -- grounded -----------------------------------------------------------------------------------------------------------


def test_what_grounds_is_named_with_its_verb() -> None:
    tied = 'cold = "shield-at-from"'
    assert only(line(SYMMETRIC, PLAIN)).text == "P b grounds the cold leg of M a."
    assert only(line(SYMMETRIC, PLAIN, tied)).text == "P b and the cable at M a ground the cold leg of M a."
    one = only(line(SYMMETRIC, BALANCED, tied))
    assert one.text == "The cable at M a grounds the cold leg of M a."
    assert "unbalanced end" not in one.do


@pytest.mark.parametrize("gives", [BALANCED, WOUND, FLOATING, IMPEDANCE])
def test_a_cable_that_gives_balance_away(gives: str) -> None:
    one = only(line(gives, BALANCED, 'cold = "shield-at-to"'))
    assert (one.rule, one.severity, one.at) == ("leg-tied", Severity.NOTE, ("p/b",))


def test_a_drive_of_a_leg_that_is_not_there() -> None:
    one = only(line('balanced = false; drive = "symmetric"', "level = '+4 dBu'"))
    assert (one.rule, one.at) == ("drive-without-legs", ("m/a",))
    assert one.place is not None
    assert one.place.path[-1] == "drive"


# -- levels -------------------------------------------------------------------------------------------------------------


def test_half_of_a_level_is_no_step() -> None:
    """+4 dBu on two legs is -2 dBu on one: 5.8 dB above -10 dBV (check values L5, L6), and 10.3 dB under +6 dBV."""
    found = line(
        SYMMETRIC + '; level = "+4 dBu"; ohms = 100',
        PLAIN + '; level = "-10 dBV"; max_level = "+6 dBV"; ohms = 10000',
        OPEN,
    )
    one = only(found)
    assert (one.rule, one.severity) == ("headroom-narrow", Severity.NOTE)
    assert "10.3 dB" in one.text


def test_no_warning_rests_on_how_an_output_may_drive_its_legs() -> None:
    takes = PLAIN + '; level = "-10 dBV"; ohms = 10000'
    assert line(BALANCED + '; level = "+4 dBu"; ohms = 100', takes) == []  # 5.7 to 11.7 dB
    assert rules_of(line(WOUND + '; level = "+4 dBu"; ohms = 100', takes)) == {"level-step"}
    assert rules_of(line(BALANCED + '; level = "+12 dBu"; ohms = 100', takes)) == {"level-step"}  # 13.7 dB at least
