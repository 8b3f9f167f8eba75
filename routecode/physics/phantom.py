"""Phantom power (IEC 61938): what is left at a microphone, and what flows when something is wrong. Direct current only.

A supply is a voltage behind one resistor for each leg; the shield is the way back. Volts, ohms and amperes; resistors above 0, currents
0 or more.
"""

from typing import NamedTuple

from routecode.physics.bounds import above_zero, not_negative


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
"""By name, as IEC 61938 is summarised in print: 48 +-4, 24 +-4, 12 +-1 V; 6.8 k, 1.2 k, 680 ohms +-10 %; 10, 10, 15 mA (P1 to P5)."""
MATCH = 0.004
"""How far the two resistors of a supply may differ: 0.4 % (P4)."""


class Feed(NamedTuple):
    """One resistor that ends on a leg: the voltage behind it (0 for a grounded feed) and its ohms."""

    volts: float
    ohms: float


def volts_left(volts: float, ohms: float, amperes: float, *, supplies: int = 1, legs: int = 2) -> float:
    """The voltage at a microphone that draws a current: V - I R / (legs x supplies); below 0 means that it cannot draw as much (P14)."""
    not_negative(volts=volts, ohms=ohms, amperes=amperes)
    above_zero(supplies=supplies, legs=legs)
    return volts - amperes * ohms / (legs * supplies)


def ends(supply: Supply) -> tuple[Feed, Feed]:
    """The weakest and the strongest feed of a supply: low voltage behind a high resistor, and the other way round."""
    low, high = supply.volts - supply.volts_tolerance, supply.volts + supply.volts_tolerance
    return Feed(low, supply.ohms * (1 + supply.ohms_tolerance)), Feed(high, supply.ohms * (1 - supply.ohms_tolerance))


def left(supply: Supply, amperes: float, *, supplies: int = 1, legs: int = 2) -> tuple[float, float]:
    """The least and the most voltage left at a microphone, at the ends of the tolerances of voltage and resistors."""
    least, most = (volts_left(*feed, amperes, supplies=supplies, legs=legs) for feed in ends(supply))
    return least, most


def joined_volts(amperes: float, *feeds: Feed) -> float:
    """The voltage where any feeds meet and a current is drawn: (sum V / R - I) / sum 1 / R (Millman's theorem, standard result).

    All feeds of one leg for what is on that leg; those of both legs for a microphone that draws from both. Below 0: it cannot draw as
    much. ValueError without any feed.
    """
    if not feeds:
        raise ValueError("feeds must be one at least")
    not_negative(amperes=amperes)
    above_zero(ohms=min(feed.ohms for feed in feeds))
    return (sum(feed.volts / feed.ohms for feed in feeds) - amperes) / sum(1 / feed.ohms for feed in feeds)


def shorted_amperes(volts: float, ohms: float, *, legs: int = 1, supplies: int = 1) -> float:
    """The current into a short of one leg or both to the shield: legs x supplies x V / R (P9 to P12)."""
    above_zero(ohms=ohms, legs=legs, supplies=supplies)
    return legs * supplies * volts / ohms


def shorted(supply: Supply, *, legs: int = 1, supplies: int = 1) -> tuple[float, float]:
    """The least and the most current into a short, at the ends of the tolerances."""
    least, most = (shorted_amperes(*feed, legs=legs, supplies=supplies) for feed in ends(supply))
    return least, most


def coil_amperes(volts: float, ohms: float, coil_ohms: float = 0.0) -> float:
    """The current through a transformer, coil or ribbon between the legs while one leg is shorted: V / (R + coil) (P13)."""
    above_zero(ohms=ohms)
    not_negative(coil_ohms=coil_ohms)
    return volts / (ohms + coil_ohms)


def circulating_amperes(volts: float, other_volts: float, ohms: float) -> float:
    """The current between two supplies on one line, over both their pairs of resistors: (V1 - V2) / R (P15)."""
    above_zero(ohms=ohms)
    return abs(volts - other_volts) / ohms


def with_grounded_feed(volts: float, ohms: float, amperes: float) -> float:
    """The voltage at a microphone on two inputs side by side, one on, the other off with its feed at 0 V: half of both V and R (P16)."""
    not_negative(ohms=ohms, amperes=amperes)
    return volts / 2 - amperes * ohms / 4


def mismatch_volts(ohms: float, amperes: float, match: float = MATCH) -> float:
    """The voltage between the legs where the resistors differ by a share, at a current shared by both: (I / 2) x m x R (P17)."""
    not_negative(ohms=ohms, amperes=amperes, match=match)
    return amperes / 2 * match * ohms


def leg_amperes(hot_ohms: float, cold_ohms: float, amperes: float, coil_ohms: float = 0.0) -> tuple[float, float]:
    """How a current drawn at the middle of a coil between the legs divides over hot and cold (current divider, standard result).

    `coil_ohms`: the whole coil, half of it in each leg. Half the difference of the two magnetises the transformer.
    """
    above_zero(hot_ohms=hot_ohms, cold_ohms=cold_ohms)
    not_negative(amperes=amperes, coil_ohms=coil_ohms)
    hot = amperes * (cold_ohms + coil_ohms / 2) / (hot_ohms + cold_ohms + coil_ohms)
    return hot, amperes - hot


def cable_drop_volts(amperes: float, leg_ohms: float, shield_ohms: float) -> float:
    """What a cable takes of it: the current through both legs side by side and back through the shield (P20)."""
    not_negative(amperes=amperes, leg_ohms=leg_ohms, shield_ohms=shield_ohms)
    return amperes * (leg_ohms / 2 + shield_ohms)


def most_watts(volts: float, ohms: float) -> float:
    """The most power a microphone can take, at half the voltage: V^2 / (2 R) (T2)."""
    above_zero(ohms=ohms)
    return volts**2 / (2 * ohms)
