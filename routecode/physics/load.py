"""Sources and what loads them: bridging loss, splits, imbalance, loudspeaker lines."""

from math import inf, log10

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
