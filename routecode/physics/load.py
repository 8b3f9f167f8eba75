"""Sources and what loads them: bridging loss, splits, the resistance of lines, imbalance, loudspeaker lines."""

from collections.abc import Iterable, Mapping
from heapq import heapify, heappop, heappush
from math import inf, log10
from typing import NamedTuple

from routecode.physics.levels import db_of_ratio


def parallel(*ohms: float) -> float:
    """Impedances side by side, in ohms: 1 / sum(1 / Z). 0 with a short among them, infinite where none takes anything. ValueError below 0."""
    if not all(each >= 0 for each in ohms):
        raise ValueError(f"ohms must be 0 or more: {ohms}")
    if 0 in ohms:
        return 0.0
    siemens = sum(1 / each for each in ohms)
    return 1 / siemens if siemens else inf


def divider(source_ohms: float, load_ohms: float) -> float:
    """The share of a source's voltage that arrives at a load: Z_load / (Z_load + Z_source), from 0 to 1; a source of 0 ohms holds all of it."""
    if source_ohms == 0 or load_ohms == inf:
        return 1.0
    return load_ohms / (load_ohms + source_ohms)


def bridging_db(source_ohms: float, *load_ohms: float) -> float:
    """What loads side by side cost a source, in dB (0 or less)."""
    return db_of_ratio(divider(source_ohms, parallel(*load_ohms)))


def power_watts(volts: float, ohms: float) -> float:
    """The power in a resistance: V^2 / R."""
    return volts**2 / ohms


def power_db(ratio: float) -> float:
    """A ratio of two powers (above 0) in dB: 10 log10(ratio)."""
    return 10 * log10(ratio)


def speaker_line(volts: float, loop_ohms: float, load_ohms: float) -> tuple[float, float, float]:
    """Power from the amplifier and in the load in watts, and what the line costs in dB (of power in the load, as voltage)."""
    amperes = volts / (loop_ohms + load_ohms)
    return volts * amperes, amperes**2 * load_ohms, db_of_ratio(divider(loop_ohms, load_ohms))


class Spread(NamedTuple):
    """What a source sees of a net of resistances, in ohms, and the share of the voltage at its own place that each place has."""

    ohms: float
    shares: dict[int, float]


def spread(start: int, joints: Iterable[tuple[int, int, float]], loads: Mapping[int, float]) -> Spread:
    """A net of resistances seen from `start`: `joints` are (place, place, ohms above 0), `loads` ohms above 0 from a place to ground.

    Places are taken away one after another, the least joined first, each replaced by what it is to its neighbours (star to mesh, from
    memory; a tree stays a tree). ValueError for ohms of 0 or less.
    """
    near: dict[int, dict[int, float]] = {start: {}}
    for a, b, ohms in joints:
        for one, other in ((a, b), (b, a)):
            beside = near.setdefault(one, {})
            beside[other] = beside.get(other, 0.0) + _siemens(ohms)
    ground = {place: _siemens(ohms) for place, ohms in loads.items()}
    taken = []
    waiting = [(len(beside), place) for place, beside in near.items() if place != start]
    heapify(waiting)
    while waiting:
        degree, place = heappop(waiting)
        if degree != len(near[place]):
            heappush(waiting, (len(near[place]), place))
            continue
        beside = near.pop(place)
        taken.append((place, beside, _take_away(place, beside, near, ground)))
    shares = {start: 1.0}
    for place, beside, whole in reversed(taken):
        shares[place] = sum(each * shares[other] for other, each in beside.items()) / whole if whole else 0.0
    return Spread(1 / ground[start] if ground.get(start) else inf, shares)


def _take_away(
    place: int, beside: dict[int, float], near: dict[int, dict[int, float]], ground: dict[int, float]
) -> float:
    """Give what a place is to its neighbours; all the siemens at it."""
    own = ground.pop(place, 0.0)
    whole = own + sum(beside.values())
    for other, each in beside.items():
        near[other].pop(place)
        ground[other] = ground.get(other, 0.0) + each * own / whole
        for third, more in beside.items():
            if third != other:
                near[other][third] = near[other].get(third, 0.0) + each * more / whole
    return whole


def _siemens(ohms: float) -> float:
    if ohms <= 0:
        raise ValueError(f"ohms must be above 0: {ohms}")
    return 1 / ohms


def rejection_db(common_ohms: float, source_ohms: float, more_ohms: float) -> float:
    """Common-mode rejection that an imbalance leaves, in dB.

    `common_ohms`: common-mode input impedance of each leg; `source_ohms` and `source_ohms + more_ohms`: what the two legs come from. The
    bridge Zc / (Zc + R1) - Zc / (Zc + R2) (standard result; near 20 log10(Zc / dR)).
    """
    first, second = (divider(ohms, common_ohms) for ohms in (source_ohms, source_ohms + more_ohms))
    return -db_of_ratio(first - second)


def tolerance_rejection_db(tolerance: float) -> float:
    """Rejection of a stage whose resistors match within a tolerance (0.01 for 1 %): 20 log10(1 / tolerance), as printed for 1 and 5 %."""
    return db_of_ratio(1 / tolerance)
