"""Sources and what loads them: loads side by side, what they cost, power. A short is 0 ohms, an open end infinitely many."""

from math import inf, log10

from routecode.physics.bounds import not_negative
from routecode.physics.levels import db_of_ratio


def parallel(*ohms: float) -> float:
    """Impedances side by side, in ohms, each 0 or more: 1 / sum(1 / Z) (F5, F6); 0 with a short among them, infinite with none at all."""
    if not all(each >= 0 for each in ohms):
        raise ValueError(f"ohms must be 0 or more, not {min(ohms)}")
    if 0 in ohms:
        return 0.0
    siemens = sum(1 / each for each in ohms)
    return 1 / siemens if siemens else inf


def divider(source_ohms: float, load_ohms: float) -> float:
    """The share of a source's voltage that arrives at a load: Z_load / (Z_load + Z_source), from 0 to 1.

    Both 0 or more. A source of 0 ohms holds its voltage whatever its load; an open end gets all of it.
    """
    not_negative(source_ohms=source_ohms, load_ohms=load_ohms)
    if source_ohms == 0 or load_ohms == inf:
        return 1.0
    return load_ohms / (load_ohms + source_ohms)


def bridging_db(source_ohms: float, *load_ohms: float) -> float:
    """What loads side by side (normals, mults, Y-cords) cost a source, in dB (0 or less); -inf into a short (Z1, Z2, section 10.1)."""
    return db_of_ratio(divider(source_ohms, parallel(*load_ohms)))


def further_db(source_ohms: float, load_ohms: float, further_ohms: float) -> float:
    """What one load more costs those that are there already, in dB (0 or less): the step that a cord into a mult makes."""
    before, after = divider(source_ohms, load_ohms), divider(source_ohms, parallel(load_ohms, further_ohms))
    return db_of_ratio(after / before) if before else 0.0


def power_watts(volts: float, ohms: float) -> float:
    """The power in a resistance (above 0): V^2 / R."""
    if not ohms > 0:
        raise ValueError(f"ohms must be above 0, not {ohms}")
    return volts**2 / ohms


def power_db(ratio: float) -> float:
    """A ratio of two powers in dB: 10 log10(ratio); -inf for 0, ValueError below it."""
    return 10 * log10(ratio) if ratio != 0 else -inf
