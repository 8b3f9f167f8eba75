"""What the legs of a line let through, by what drives it and how its cable is made.

A symmetric output has half of its voltage on each leg, a floating one all of it between its legs and none against ground, an
impedance-balanced one all of it on hot (circuit theory; the words are common practice, no source).
"""

from math import log10

import pytest

from routecode.hands import tests as sheet
from tests.figures.lines_as_text import TEXT, line
from tests.physics.spice import need_ngspice, run
from tests.show.studios import circuit_of, opened

LOADED = -0.0864  # 100 ohm into 10 kohm (check values, 10.1)
HALF = -6.0206 + 0.0864 - 0.0433  # half the voltage, behind half the impedance: 50 ohm into 10 kohm
OPEN_HALF = -6.0206  # the same at a balanced input that holds its other leg at ground: 50 ohm into 5 kohm
OUT, IN = 'level = "+4 dBu"; ohms = 100; ', 'level = "+4 dBu"; ohms = 10000; '


def _drive(word: str) -> str:
    if word == "unbalanced":
        return OUT + "balanced = false"
    return OUT + "balanced = true" + ("" if word == "not said" else f'; drive = "{word}"')


@pytest.mark.parametrize(
    ("drive", "cold", "arrives"),
    [
        ("symmetric", "open", HALF),
        ("symmetric", "shield-at-to", HALF),
        ("symmetric", "", HALF),
        ("floating", "shield-at-to", 0.0),
        ("floating", "", 0.0),
        ("floating", "open", None),
        ("transformer", "shield-at-from", 0.0),
        ("transformer", "open", None),
        ("impedance", "open", 0.0),
        ("impedance", "", 0.0),
        ("unbalanced", "open", 0.0),
    ],
)
def test_into_an_unbalanced_input(drive: str, cold: str, arrives: float | None) -> None:
    hop = line(_drive(drive), IN + "balanced = false", f'cold = "{cold}"' if cold else "")
    if arrives is None:
        assert hop.arriving is None
        assert hop.loss is None
        assert hop.headroom is None or hop.headroom.default
        return
    assert hop.arriving is not None
    assert hop.loss is not None
    assert hop.arriving.amount == pytest.approx(4 + LOADED + arrives, abs=0.001)
    assert hop.loss.amount == pytest.approx(LOADED + arrives, abs=0.001)
    assert not hop.arriving.default


@pytest.mark.parametrize(
    ("drive", "cold", "arrives"),
    [
        ("symmetric", "", 0.0),
        ("symmetric", "open", OPEN_HALF),
        ("symmetric", "shield-at-from", HALF),
        ("floating", "", 0.0),
        ("floating", "shield-at-to", 0.0),
        ("floating", "open", None),
        ("transformer", "open", None),
        ("impedance", "shield-at-to", 0.0),
        ("impedance", "open", None),
        ("unbalanced", "shield-at-from", 0.0),
        ("unbalanced", "shield-at-to", 0.0),  # 3 joined to 1 (check value C2), at the far plug
        ("unbalanced", "open", None),
        ("not said", "", 0.0),
        ("not said", "open", None),
    ],
)
def test_into_a_balanced_input(drive: str, cold: str, arrives: float | None) -> None:
    hop = line(_drive(drive), IN + "balanced = true", f'cold = "{cold}"' if cold else "")
    if arrives is None:
        assert hop.arriving is None
        assert hop.legs == "one leg"
        return
    assert hop.arriving is not None
    assert hop.arriving.amount == pytest.approx(4 + LOADED + arrives, abs=0.001)


def test_what_is_not_said_of_the_output_is_usual() -> None:
    hop = line(_drive("not said"), IN + "balanced = false")
    assert hop.arriving is not None
    assert hop.arriving.amount == pytest.approx(4 + LOADED, abs=0.001)
    assert hop.arriving.default
    assert hop.less == pytest.approx(6.0206, abs=0.001)
    left_open = line(_drive("not said"), IN + "balanced = false", 'cold = "open"')
    assert left_open.arriving is not None
    assert left_open.arriving.amount == pytest.approx(4 + LOADED + OPEN_HALF, abs=0.001)
    assert left_open.arriving.default


def test_an_unbalanced_line_needs_a_way_back() -> None:
    plain = OUT + "balanced = false"
    for cable, there in (
        ('cold = "open"', True),
        ('shield = "from"', True),
        ('shield = "from"; cold = "open"', False),
        ('shield = "to"; cold = "open"', False),
    ):
        hop = line(plain, IN + "balanced = false", cable)
        assert (hop.arriving is not None) == there, cable


def test_ports_that_say_nothing_of_legs_get_everything() -> None:
    hop = line(OUT, IN, 'cold = "open"')
    assert hop.arriving is not None
    assert hop.arriving.amount == pytest.approx(4 + LOADED, abs=0.001)
    assert not hop.arriving.default


VOLTS = 1.2277  # +4 dBu (check value L3)
SOURCES = {
    "symmetric": [f"vh s1 0 {VOLTS / 2}", "rh s1 hot 50", f"vc s2 0 {-VOLTS / 2}", "rc s2 cold 50"],
    "floating": [f"vh s1 s2 {VOLTS}", "rh s1 hot 50", "rc s2 cold 50", "rlh hot 0 1e9", "rlc cold 0 1e9"],
    "impedance": [f"vh s1 0 {VOLTS}", "rh s1 hot 50", "rc 0 cold 50"],
    "unbalanced": [f"vh s1 0 {VOLTS}", "rh s1 hot 100", "rc 0 cold 1e-4"],
}
INPUTS = {"false": ["rl hot in 10000", "ri in 0 1e-4"], "true": ["rl1 hot 0 5000", "rl2 in 0 5000"]}
"""Each conductor of its own: an unbalanced input is from hot to ground, a balanced one holds each leg at ground with half of its ohms."""


@pytest.mark.parametrize("takes", ["false", "true"])
@pytest.mark.parametrize("drive", ["symmetric", "floating", "impedance", "unbalanced"])
@pytest.mark.parametrize("cold", ["", "open", "shield-at-to"])
def test_conductor_by_conductor_in_the_simulator(drive: str, takes: str, cold: str) -> None:
    need_ngspice()
    hop = line(_drive(drive), IN + f"balanced = {takes}", f'cold = "{cold}"' if cold else "")
    cable = ["rk cold in 1e12" if cold == "open" else "rk cold in 1e-4"]
    cable += ["rt in 0 1e-4"] if cold == "shield-at-to" else []
    theirs = abs(run([*SOURCES[drive], *INPUTS[takes], *cable], ["op", "print v(hot,in)"])[0])
    if hop.arriving is not None:
        # 0.1 dB: the halves of an impedance-balanced output are taken whole
        assert 20 * log10(theirs / 0.774597) == pytest.approx(hop.arriving.amount, abs=0.1)
    elif drive == "floating":
        assert theirs < VOLTS / 100
    else:
        assert hop.legs == "one leg"


@pytest.mark.parametrize(
    ("drive", "low", "high"),
    [
        ("symmetric", 4 + HALF + LOADED - 1, 4 + HALF + LOADED + 1),
        ("not said", 4 + OPEN_HALF + LOADED - 3, 4 + LOADED + 3),
    ],
)
def test_the_test_sheet_asks_for_what_arrives(drive: str, low: float, high: float) -> None:
    gives, takes = (keys.replace(";", "\n") for keys in (_drive(drive), IN + "balanced = false"))
    text = TEXT.format(types="", signal="line", gives=gives, takes=takes, cable="")
    test = sheet.Tester(circuit_of(opened({"studio.toml": text}))).test("level", ("m/a", "p/b"))
    assert test is not None
    assert (test.low, test.high) == pytest.approx((low, high), abs=0.01)
