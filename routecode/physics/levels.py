"""Levels: dBu, dBV, volts, full scale."""

from math import inf, log10, sqrt

DBU_VOLTS = sqrt(0.6)
"""0 dBu in volts: the voltage of 1 mW in 600 ohms (ITU-R BS.645, from memory; printed as 0.7746 V)."""


def db_of_ratio(ratio: float) -> float:
    """A ratio of two voltages in dB: 20 log10(ratio); -inf for none at all."""
    return 20 * log10(ratio) if ratio != 0 else -inf


HALF_DB = db_of_ratio(0.5)
"""What one of two legs that are driven alike against ground is less than the two together: half the voltage, -6.02 dB."""


def ratio_of_db(db: float) -> float:
    """The ratio of two voltages that some dB are."""
    return float(10 ** (db / 20))


def volts_of_dbu(dbu: float) -> float:
    """A level in dBu as volts (rms): sqrt(0.6) V x 10^(dBu / 20)."""
    return DBU_VOLTS * ratio_of_db(dbu)


def dbu_of_volts(volts: float) -> float:
    """Volts (rms, above 0) as dBu."""
    return db_of_ratio(volts / DBU_VOLTS)


def volts_of_dbv(dbv: float) -> float:
    """A level in dBV as volts (rms): 0 dBV is 1 V."""
    return ratio_of_db(dbv)


def dbu_from(amount: float, unit: str) -> float:
    """A level in dBu from a number and its unit: `dBu`, `dBV` or `V` (above 0). ValueError for any other unit."""
    if unit == "dBu":
        return amount
    if unit == "dBV":
        return amount - db_of_ratio(DBU_VOLTS)
    if unit == "V":
        return dbu_of_volts(amount)
    raise ValueError(f"no unit of level: {unit}")


def dbfs(dbu: float, full_scale_dbu: float) -> float:
    """A level in dB relative to full scale, where full scale is a level in dBu (+18 in EBU R68, +24 in SMPTE RP 155)."""
    return dbu - full_scale_dbu
