"""Balance: how much of a hum between two grounds becomes signal where the two legs are not alike. Impedances only, no levels of signals.

Only the balance of the common-mode impedances of driver, line and receiver counts, not the symmetry of the signal (annex of
IEC 60268-3 as quoted in print).
"""

from routecode.physics.bounds import above_zero, from_to, not_negative
from routecode.physics.levels import db_of_ratio, dbu_of_volts
from routecode.physics.load import divider


def rejection_db(common_ohms: float, source_ohms: float, more_ohms: float) -> float:
    """Common-mode rejection that an imbalance leaves, in dB; infinite for two legs alike.

    `common_ohms` (above 0): common-mode input impedance of each leg; `source_ohms` and `source_ohms + more_ohms` (0 or more): what the
    legs come from. The bridge Zc / (Zc + R1) - Zc / (Zc + R2) (standard result; near 20 log10(Zc / dR), section 10.2).
    """
    above_zero(common_ohms=common_ohms)
    not_negative(source_ohms=source_ohms, more_ohms=more_ohms)
    first, second = (divider(ohms, common_ohms) for ohms in (source_ohms, source_ohms + more_ohms))
    return -db_of_ratio(first - second)


def near_rejection_db(common_ohms: float, more_ohms: float) -> float:
    """The usual approximation of it, for imbalances much smaller than the input: 20 log10(Zc / dR). Both above 0."""
    above_zero(common_ohms=common_ohms, more_ohms=more_ohms)
    return db_of_ratio(common_ohms / more_ohms)


def worst_rejection_db(
    common_ohms: float, source_ohms: float, *, common_tolerance: float = 0.0, source_tolerance: float = 0.0
) -> float:
    """The least rejection that tolerances leave, in dB: one leg with the source high and the input low, the other the other way round.

    Ohms above 0; tolerances are shares of each leg's value, 0 up to (and not) 1. Infinite where both are 0.
    """
    above_zero(common_ohms=common_ohms, source_ohms=source_ohms)
    for name, share in (("common_tolerance", common_tolerance), ("source_tolerance", source_tolerance)):
        if not 0 <= share < 1:
            raise ValueError(f"{name} must be from 0 up to 1, not {share}")
    best = divider(source_ohms * (1 - source_tolerance), common_ohms * (1 + common_tolerance))
    worst = divider(source_ohms * (1 + source_tolerance), common_ohms * (1 - common_tolerance))
    return -db_of_ratio(best - worst)


def tolerance_rejection_db(tolerance: float) -> float:
    """Rejection of a stage whose resistors match within a tolerance (0.01 for 1 %): 20 log10(1 / tolerance), as printed for 1 and 5 %."""
    from_to(0, 1, tolerance=tolerance)
    return -db_of_ratio(tolerance)


def needed_rejection_db(ground_volts: float, wanted_dbu: float) -> float:
    """The rejection that brings a voltage (above 0) between two grounds down to a level in dBu (F8)."""
    above_zero(ground_volts=ground_volts)
    return dbu_of_volts(ground_volts) - wanted_dbu
