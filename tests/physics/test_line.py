"""Mismatch against scikit-rf, an outside library for high-frequency networks, over random impedances and the usual lines."""

from random import Random

import numpy
import pytest
import skrf

from routecode.physics import line

RNG = Random(7)
CASES = [(RNG.uniform(5, 1000), RNG.choice((50.0, 75.0, 110.0))) for _ in range(60)]
CASES += [(55.0, 110.0), (37.5, 75.0), (88.0, 110.0), (132.0, 110.0), (60.0, 110.0)]


def network(ohms: float, line_ohms: float) -> skrf.Network:
    """A one-port of this impedance, seen from a line."""
    frequency = skrf.Frequency(1, 1, 1, unit="MHz")
    return skrf.Network(frequency=frequency, z=numpy.array([[[ohms]]]), z0=line_ohms)


@pytest.mark.parametrize(("ohms", "line_ohms"), CASES)
def test_reflection_return_loss_and_standing_waves(ohms: float, line_ohms: float) -> None:
    theirs = network(ohms, line_ohms)
    assert line.reflection(ohms, line_ohms) == pytest.approx(float(theirs.s[0, 0, 0].real), rel=1e-6, abs=1e-9)
    assert line.return_loss_db(ohms, line_ohms) == pytest.approx(-float(theirs.s_db[0, 0, 0]), rel=1e-6, abs=1e-6)
    assert line.standing_wave_ratio(ohms, line_ohms) == pytest.approx(float(theirs.s_vswr[0, 0, 0]), rel=1e-6)


def test_the_ends_of_the_scale() -> None:
    assert line.return_loss_db(110, 110) == float("inf")
    assert line.standing_wave_ratio(0, 110) == float("inf")


@pytest.mark.parametrize(
    ("rate", "channels"), [(44_100, 8), (48_000, 8), (88_200, 4), (96_000, 4), (176_400, 2), (192_000, 2), (384_000, 0)]
)
def test_channels_of_an_optical_link(rate: int, channels: int) -> None:
    assert line.optical_channels(rate) == channels


@pytest.mark.parametrize(("rate", "channels"), [(44_100, 64), (48_000, 64), (96_000, 32), (192_000, 16), (384_000, 0)])
def test_channels_of_a_madi_link(rate: int, channels: int) -> None:
    """AES10: 64 at 48 kHz, half of them at 96 kHz; 16 at 192 kHz is the same again, from memory."""
    assert line.madi_channels(rate) == channels


def test_an_aes3_line_gets_shorter_with_its_rate() -> None:
    assert line.longest_metres("aes3", 48_000) == 100
    assert line.longest_metres("aes3", 96_000) == pytest.approx(52.08, abs=0.01)
    assert line.longest_metres("gpio") is None
