"""Chains of passive parts between a source and a load: pads, transformers, long wires. What the source looks like behind them.

Thevenin's theorem, part by part (standard result); a transformer of a turns ratio n is ideal: n times the voltage, n^2 times the
impedance. Resistances only; for what frequency does to them see `cable`.
"""

from collections.abc import Iterable
from math import inf
from typing import NamedTuple

from routecode.physics.bounds import above_zero, not_negative
from routecode.physics.load import divider, parallel


class Series(NamedTuple):
    """Ohms in the way, both legs together."""

    ohms: float


class Shunt(NamedTuple):
    """Ohms across the line."""

    ohms: float


class Turns(NamedTuple):
    """An ideal transformer that makes `ratio` volts of one (from the source's side)."""

    ratio: float


Part = Series | Shunt | Turns


class Behind(NamedTuple):
    """A source as seen behind a chain: the share of its voltage with nothing connected, and its ohms."""

    share: float
    ohms: float


def behind(source_ohms: float, parts: Iterable[Part]) -> Behind:
    """What a source becomes behind some passive parts, taken in order from the source. Ohms 0 or more, ratios above 0."""
    not_negative(source_ohms=source_ohms)
    share, ohms = 1.0, source_ohms
    for part in parts:
        match part:
            case Series(more):
                not_negative(series_ohms=more)
                ohms += more
            case Shunt(across):
                share, ohms = share * divider(ohms, across), parallel(ohms, across)
            case Turns(ratio):
                above_zero(ratio=ratio)
                share, ohms = share * ratio, ohms * ratio**2
    return Behind(share, ohms)


def presented_ohms(load_ohms: float, parts: Iterable[Part]) -> float:
    """What a load behind some passive parts (in order from the source) presents to the source, in ohms."""
    not_negative(load_ohms=load_ohms)
    ohms = load_ohms
    for part in reversed(tuple(parts)):
        match part:
            case Series(more):
                not_negative(series_ohms=more)
                ohms += more
            case Shunt(across):
                ohms = parallel(ohms, across)
            case Turns(ratio):
                above_zero(ratio=ratio)
                ohms = ohms / ratio**2 if ohms != inf else inf
    return ohms


def arriving_share(source_ohms: float, parts: Iterable[Part], *load_ohms: float) -> float:
    """The share of a source's voltage that arrives at loads side by side behind a chain."""
    found = behind(source_ohms, parts)
    return found.share * divider(found.ohms, parallel(*load_ohms))
