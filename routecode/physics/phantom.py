"""Phantom power (IEC 61938): what is left at a microphone, and what flows when something is wrong.

A supply is a voltage behind one resistor for each leg; the shield is the way back.
"""

from collections.abc import Iterable, Sequence
from math import ceil, floor
from typing import NamedTuple


class Supply(NamedTuple):
    """A kind of phantom power: volts, ohms in each leg, tolerances, and the most a microphone may draw in amperes."""

    volts: float
    volts_tolerance: float
    ohms: float
    ohms_tolerance: float
    most: float


SUPPLIES = {
    "P48": Supply(48.0, 4.0, 6800.0, 0.1, 0.010),
    "P24": Supply(24.0, 4.0, 1200.0, 0.1, 0.010),
    "P12": Supply(12.0, 1.0, 680.0, 0.1, 0.015),
}
"""By name, as IEC 61938 is summarised in print: 48 +-4, 24 +-4, 12 +-1 V; 6.8 k, 1.2 k, 680 ohms +-10 %; 10, 10, 15 mA."""
MATCH = 0.004
"""How far the two resistors of a supply may differ: 0.4 % (as above)."""


def volts_left(volts: float, ohms: float, amperes: float, *, supplies: int = 1, legs: int = 2) -> float:
    """The voltage at a microphone that draws a current: V - I R / (legs x supplies); below 0 means that it cannot draw as much."""
    return volts - amperes * ohms / (legs * supplies)


def joined_volts(feeds: Iterable[tuple[float, float]], amperes: float = 0.0) -> float:
    """The voltage of several feeds (volts, ohms each) on one line that `amperes` are drawn from (Millman's theorem).

    A feed whose resistors are held at 0 V is one of 0 volts. ZeroDivisionError with no feeds.
    """
    both = [(volts / ohms, 1 / ohms) for volts, ohms in feeds]
    return (sum(each[0] for each in both) - amperes) / sum(each[1] for each in both)


def left(
    supplies: Sequence[Supply], amperes: float, *, legs: int = 2, grounded: Sequence[Supply] = ()
) -> tuple[float, float]:
    """The least and the most voltage left where `amperes` are drawn, at the ends of the tolerances of voltages and resistors.

    `grounded` are supplies that are off and may hold their resistors at 0 V: so the least; the most is with them disconnected.
    Below 0 means that they cannot give as much.
    """
    low = [(one.volts - one.volts_tolerance, one) for one in supplies] + [(0.0, one) for one in grounded]
    high = [(one.volts + one.volts_tolerance, one) for one in supplies]
    return _extreme(low, amperes, legs, 1), _extreme(high, amperes, legs, -1)


def _extreme(feeds: Sequence[tuple[float, Supply]], amperes: float, legs: int, sign: int) -> float:
    """The least (1) or most (-1) voltage over the tolerances of the resistors.

    At the least, feeds above it have their highest resistors and feeds below it their lowest; which these are is found step by step.
    """
    found = joined_volts([(volts, one.ohms / legs) for volts, one in feeds], amperes)
    while True:
        sides = [(volts, one, sign if volts > found else -sign) for volts, one in feeds]
        volts = joined_volts(
            [(volts, one.ohms * (1 + side * one.ohms_tolerance) / legs) for volts, one, side in sides], amperes
        )
        if (found - volts) * sign <= 0:
            return found
        found = volts


def back_amperes(feeds: Iterable[tuple[float, float]]) -> float:
    """The current that flows back into the lower of several feeds (volts, ohms each) on one line with nothing connected.

    Of two it is (V1 - V2) / (R1 + R2).
    """
    known = list(feeds)
    volts = joined_volts(known)
    return sum((volts - each) / ohms for each, ohms in known if each < volts)


def outward(low: float, high: float, digits: int = 0) -> tuple[float, float]:
    """A range rounded so that it holds what it held: the low end down, the high end up, neither below 0."""
    scale = 10**digits
    down, up = floor(round(low * scale, 6)) / scale, ceil(round(high * scale, 6)) / scale
    return max(down, 0.0), max(up, 0.0)


def shorted_amperes(volts: float, ohms: float, *, legs: int = 1, supplies: int = 1) -> float:
    """The current into a short of one leg or both to the shield: legs x supplies x V / R."""
    return legs * supplies * volts / ohms


def mismatch_volts(ohms: float, amperes: float, match: float = MATCH) -> float:
    """The voltage between the legs where the resistors differ, at a current shared by both: (I / 2) x m x R."""
    return amperes / 2 * match * ohms


def most_watts(volts: float, ohms: float) -> float:
    """The most power a microphone can take, at half the voltage: V^2 / (2 R)."""
    return volts**2 / (2 * ohms)
