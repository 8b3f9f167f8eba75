"""Phantom power (IEC 61938): what is left at a microphone, and what flows when something is wrong.

A supply is a voltage behind one resistor for each leg; the shield is the way back.
"""

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


def left(supply: Supply, amperes: float, *, supplies: int = 1, legs: int = 2) -> tuple[float, float]:
    """The least and the most voltage left at a microphone, at the ends of the tolerances of voltage and resistors."""
    low, high = supply.volts - supply.volts_tolerance, supply.volts + supply.volts_tolerance
    more, less = supply.ohms * (1 + supply.ohms_tolerance), supply.ohms * (1 - supply.ohms_tolerance)
    return (
        volts_left(low, more, amperes, supplies=supplies, legs=legs),
        volts_left(high, less, amperes, supplies=supplies, legs=legs),
    )


def shorted_amperes(volts: float, ohms: float, *, legs: int = 1, supplies: int = 1) -> float:
    """The current into a short of one leg or both to the shield: legs x supplies x V / R."""
    return legs * supplies * volts / ohms


def circulating_amperes(volts: float, other_volts: float, ohms: float) -> float:
    """The current between two supplies on one line, over both their pairs of resistors: (V1 - V2) / R."""
    return abs(volts - other_volts) / ohms


def with_grounded_feed(volts: float, ohms: float, amperes: float) -> float:
    """The voltage at a microphone on two inputs side by side, one on, the other off with its feed at 0 V: half the voltage, half the resistance."""
    return volts / 2 - amperes * ohms / 4


def mismatch_volts(ohms: float, amperes: float, match: float = MATCH) -> float:
    """The voltage between the legs where the resistors differ, at a current shared by both: (I / 2) x m x R."""
    return amperes / 2 * match * ohms


def most_watts(volts: float, ohms: float) -> float:
    """The most power a microphone can take, at half the voltage: V^2 / (2 R)."""
    return volts**2 / (2 * ohms)
