"""Loads, headroom and the numbers that are told of them."""

import pytest

from routecode.ground.finding import Finding, Severity
from routecode.rules.quantities import number, ohms
from tests.rules.studios import rules_of, told

LINE = """
{types}
[unit.m]
title = "M"
rack = "left"
[[unit.m.port]]
name = "a"
direction = "out"
signal = "{signal}"
{gives}
[unit.p]
title = "P"
rack = "left"
[[unit.p.port]]
name = "b"
direction = "{direction}"
signal = "{far}"
{takes}
[[cable]]
from = "m/a"
to = "p/b"
{cable}
"""


def line(
    gives: str, takes: str = "", cable: str = "", *, signal: str = "line", far: str = "", direction: str = "in", types: str = ""
) -> list[Finding]:  # fmt: skip
    text = LINE.format(
        types=types,
        signal=signal,
        far=far or signal,
        direction=direction,
        gives=gives.replace(";", "\n"),
        takes=takes.replace(";", "\n"),
        cable=cable.replace(";", "\n"),
    )
    return told(text)


def only(found: list[Finding]) -> Finding:
    (one,) = found
    return one


# -- what is a load -----------------------------------------------------------------------------------------------------

VALVE = "needs_load = true"
SELECTOR = """
[unit.amp]
rack = "left"
[[unit.amp.port]]
name = "out"
direction = "out"
signal = "speaker-level"
needs_load = true
[unit.w]
rack = "left"
[[unit.w.port]]
name = "i"
direction = "{into}"
signal = "speaker-level"
[[unit.w.port]]
name = "o 1..2"
direction = "{out}"
signal = "speaker-level"
[[unit.w.switch]]
name = "s"
positions = ["A", "off", "B"]
[[unit.w.inside]]
from = "i"
to = "o 1"
kind = "{kind}"
control = "{control}"
when = "s = A"
[[unit.w.inside]]
from = "i"
to = "o 2"
kind = "{kind}"
control = "{control}"
when = "s = B"
[unit.q]
room = "control"
[[unit.q.port]]
name = "c 1..2"
direction = "in"
signal = "speaker-level"
[[cable]]
from = "amp/out"
to = "w/i"
[[cable]]
from = "w/o 1..2"
to = "q/c 1..2"
[setup.off]
[[setup.off.set]]
switch = "w/s"
to = "off"
[setup.b]
[[setup.b.set]]
switch = "w/s"
to = "B"
"""


@pytest.mark.parametrize(
    ("into", "out", "kind", "control"),
    [("either", "either", "hardwired", "none"), ("in", "out", "active", "level"), ("either", "either", "transformer", "none")],
)  # fmt: skip
def test_a_selector_at_off_is_no_load(into: str, out: str, kind: str, control: str) -> None:
    found = told(SELECTOR.format(into=into, out=out, kind=kind, control=control), rule="amplifier-without-load")
    assert [(one.at, one.setup) for one in found] == [(("amp/out",), "off")]


@pytest.mark.parametrize(
    ("takes", "far", "direction", "load"),
    [
        ("", "speaker-level", "in", True),
        ("ohms = 8", "speaker-level", "in", True),
        ("ohms = 8", "speaker-level", "either", True),  # a load box with a passive socket
        ("ohms = 10000", "speaker-level", "in", False),
        ("", "speaker-level", "either", False),
        ("ohms = 10000", "line", "in", False),
        ("", "line", "in", False),
    ],
)
def test_what_is_a_load(takes: str, far: str, direction: str, load: bool) -> None:
    found = line(VALVE, takes, signal="speaker-level", far=far, direction=direction)
    assert ("amplifier-without-load" in rules_of(found)) == (not load)


# -- cables of loudspeakers ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("gauge", "load", "feet"),
    [(22, 4, 6), (18, 4, 16), (16, 8, 48), (14, 6, 60), (12, 8, 120), (10, 2, 50)],
)
def test_the_published_lengths_are_the_most(gauge: int, load: int, feet: int) -> None:
    """K11: table of lengths for 5 % of the load, one way, in feet (page on speaker cables); its cells are 4.76 to 5.11 %."""
    found = [
        line(
            "ohms = 0.1", f"ohms = {load}", f'type = "x"; metres = {feet * 0.3048 * share}', signal="speaker-level",
            types=f"[cable_type.x]\nawg = {gauge}",
        )
        for share in (0.95, 1.08)
    ]  # fmt: skip
    assert found[0] == []
    one = only(found[1])
    assert (one.rule, one.severity, one.at) == ("speaker-cable-thin", Severity.NOTE, ("p/b",))


def test_an_amplifier_sees_its_cable() -> None:
    types = "[cable_type.x]\nawg = 24"
    gives = "ohms = 0.1; min_ohms = 8"
    assert rules_of(line(gives, "ohms = 7.9", signal="speaker-level")) == {"amplifier-load-low"}
    assert line(gives, "ohms = 7.9", 'type = "x"; metres = 1', signal="speaker-level", types=types) == []


# -- headroom -----------------------------------------------------------------------------------------------------------


def test_an_output_that_clips_first_is_told_at_the_output_once() -> None:
    gives = 'level = "+4 dBu"; max_level = "+10 dBu"; ohms = 100'
    one = only(line(gives, 'max_level = "+24 dBu"; ohms = 10000'))
    assert (one.rule, one.at, one.text) == ("headroom-low", ("m/a",), "M a has 6.0 dB of headroom.")
    assert one.why == "M a has a nominal level of +4.0 dBu, and its maximum is +10.0 dBu."


def test_what_is_printed_and_what_is_asked_agree() -> None:
    takes = 'max_level = "{}"; ohms = 10000'
    gives = 'level = "+4 dBu"; ohms = 100'
    at_ten = only(line(gives, takes.format("+13.9 dBu")))  # 9.986 dB
    assert (at_ten.rule, at_ten.text) == ("headroom-narrow", "P b has 10.0 dB of headroom.")
    assert only(line(gives, takes.format("+13.8 dBu"))).rule == "headroom-low"
    assert line(gives, takes.format("+17.9 dBu")) == []


# -- numbers ------------------------------------------------------------------------------------------------------------


def test_a_small_share_is_not_nothing() -> None:
    one = only([one for one in line("ohms = 10000", "ohms = 8") if one.rule == "load-heavy"])
    assert one.text == "M a is loaded with 0.0008 times its impedance."
    assert one.why == "10,000 ohms into 8 ohms cost 61.9 dB."


def test_the_two_numbers_of_a_corner_make_the_corner() -> None:
    """1 / (2 pi R C): 166.7 ohms and 30 nF make 31.8 kHz."""
    found = line(
        "ohms = 200", "ohms = 1000", 'type = "x"; metres = 300', signal="mic", types="[cable_type.x]\npf_per_metre = 100"
    )  # fmt: skip
    one = only([one for one in found if one.rule == "corner-low"])
    assert one.why == "167 ohms (the source with its load beside it) and 30,000 pF make a corner of 31.8 kHz."


def test_numbers_are_written_as_people_write_them() -> None:
    found = [number(amount) for amount in (0.00008, 0.125, 4, 12.42, 99.96, 166.67, 15000, 1e12, float("inf"))]
    assert found == ["0.00008", "0.125", "4", "12.4", "100", "167", "15,000", "1,000,000,000,000", "infinite"]
    assert (ohms(1), ohms(8)) == ("1 ohm", "8 ohms")
