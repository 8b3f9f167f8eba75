"""Shorts, open ends and ideal sources: what a studio may say, so what the formulas must answer. The limits of each formula; no source needed."""

from math import inf

import pytest

from routecode.physics import cable, levels, load


def test_a_short_takes_all_and_an_open_end_nothing() -> None:
    assert load.parallel(0, 600) == 0
    assert load.parallel() == load.parallel(inf) == inf
    assert load.parallel(600, inf) == pytest.approx(600)
    assert load.divider(100, 0) == 0
    assert load.bridging_db(100, 0) == -inf
    assert load.bridging_db(100, inf) == 0


@pytest.mark.parametrize("ohms", [0, 1e-9, 600, inf])
def test_a_source_of_no_ohms_holds_its_voltage(ohms: float) -> None:
    assert load.bridging_db(0, ohms) == 0


def test_nothing_is_lost_below_an_infinite_corner() -> None:
    assert cable.corner_hz(0, 1e-9) == cable.corner_hz(100, 0) == inf
    assert str(cable.loss_db(20_000, inf)) == "0.0"


def test_levels_far_beyond_any_studio_are_numbers() -> None:
    assert levels.dbu_from(100_000, "dBV") == pytest.approx(100_002.2185, abs=1e-3)
    assert levels.dbu_of_volts(0) == -inf


def test_impedances_below_nothing_are_refused() -> None:
    for bad in (-1.0, float("nan")):
        with pytest.raises(ValueError, match="0 or more"):
            load.parallel(600, bad)
