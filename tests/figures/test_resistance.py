"""The resistance of cables in levels and loads: published examples and ngspice, which has each conductor of its own."""

from math import log10
from random import Random

import pytest

from routecode.physics.cable import leg_ohms_per_metre
from routecode.physics.load import spread
from tests.figures.lines_as_text import line
from tests.physics.spice import need_ngspice, run


def test_a_published_loudspeaker_line() -> None:
    """K13: 160 ft of 10 AWG before 8 ohms cost 0.347 dB (forum thread on power loss in speaker cable).

    What it prints for the resistance is 2 % above that of the gauge.
    """
    hop = line(
        'level = "24.5 V"; ohms = 0.0001', "ohms = 8", 'type = "x"; metres = 48.768', signal="speaker-level",
        types="[cable_type.x]; awg = 10",
    )  # fmt: skip
    assert hop.loss is not None
    assert hop.load is not None
    assert hop.loss.amount == pytest.approx(-0.347, abs=0.01)
    assert hop.load.amount == pytest.approx(8.3264, abs=0.01)


@pytest.mark.parametrize(
    ("key", "ohms"), [("awg = 24", 84.21), ("ohms_per_km = 84.21", 84.21), ("mm2 = 0.2047", 84.21)]
)
def test_by_any_of_the_three_keys(key: str, ohms: float) -> None:
    """84.21 ohm/km of 24 AWG (ASTM B258 with IEC 60028); a loop of 50 m before 4 ohm behind 0.1 ohm, by hand."""
    hop = line(
        'level = "24.5 V"; ohms = 0.1', "ohms = 4", 'type = "x"; metres = 50', signal="speaker-level",
        types=f"[cable_type.x]; {key}",
    )  # fmt: skip
    assert hop.loss is not None
    assert hop.loss.amount == pytest.approx(20 * log10(4 / (4 + 0.1 + 2 * 0.05 * ohms)), abs=0.005)
    assert not hop.loss.default


def test_resistance_that_is_given_goes_before_gauge() -> None:
    assert leg_ohms_per_metre(90.0, 24, None) == 0.09
    assert leg_ohms_per_metre(None, None, None) == 0.0


def test_without_metres_nothing_is_taken() -> None:
    hop = line("ohms = 100", "ohms = 1000", 'type = "x"', types="[cable_type.x]; awg = 30")
    assert hop.load is not None
    assert hop.load.amount == 1000


def test_nets_of_resistances_with_loops_in_the_simulator() -> None:
    need_ngspice()
    rng = Random(1)
    for _ in range(12):
        places = range(rng.randint(2, 9))
        joints = [(place, rng.randrange(place), rng.uniform(0.1, 50)) for place in places if place]
        joints += [(0, place, rng.uniform(0.1, 50)) for place in places if place and rng.random() < 0.3]
        loads = {place: rng.uniform(4, 10_000) for place in places if rng.random() < 0.7} | {places[-1]: 8.0}
        found = spread(0, joints, loads)
        netlist = ["vs p0 0 dc 1"]
        netlist += [f"rj{number} p{a} p{b} {ohms!r}" for number, (a, b, ohms) in enumerate(joints)]
        netlist += [f"rl{place} p{place} 0 {ohms!r}" for place, ohms in loads.items()]
        current, *volts = run(netlist, ["op", "print i(vs)", *(f"print v(p{place})" for place in places)])
        assert found.ohms == pytest.approx(-1 / current, rel=1e-6)
        assert [found.shares[place] for place in places] == pytest.approx(volts, rel=1e-6)
