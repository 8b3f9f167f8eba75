"""Levels: dBu, dBV, volts, full scale, headroom. Says nothing of what drives or loads."""

import re
from math import inf, log10, sqrt
from typing import NamedTuple

from routecode.physics.bounds import above_zero

DBU_VOLTS = sqrt(0.6)
"""0 dBu in volts: the voltage of 1 mW in 600 ohms (ITU-R BS.645, from memory; printed as 0.7746 V)."""
_WRITTEN = re.compile(r"(?P<amount>[+-]?[0-9]{1,6}(?:\.[0-9]{1,9})?) (?P<unit>dBu|dBV|V)")


def db_of_ratio(ratio: float) -> float:
    """A ratio of two voltages in dB: 20 log10(ratio); -inf for 0, ValueError below it."""
    return 20 * log10(ratio) if ratio != 0 else -inf


def ratio_of_db(db: float) -> float:
    """The ratio of two voltages that some dB are: 10^(dB / 20). OverflowError beyond 6,000 dB."""
    return float(10 ** (db / 20))


def volts_of_dbu(dbu: float) -> float:
    """A level in dBu as volts (rms): sqrt(0.6) V x 10^(dBu / 20) (L1, L3)."""
    return DBU_VOLTS * ratio_of_db(dbu)


def dbu_of_volts(volts: float) -> float:
    """Volts (rms) as dBu; -inf for 0, ValueError below it."""
    return db_of_ratio(volts / DBU_VOLTS)


def volts_of_dbv(dbv: float) -> float:
    """A level in dBV as volts (rms): 0 dBV is 1 V (L2, L5)."""
    return ratio_of_db(dbv)


def dbv_of_volts(volts: float) -> float:
    """Volts (rms) as dBV; -inf for 0, ValueError below it."""
    return db_of_ratio(volts)


def dbu_of_dbv(dbv: float) -> float:
    """A level in dBV as dBu: 2.2185 dB more (L4, L6)."""
    return dbv - db_of_ratio(DBU_VOLTS)


def dbu_from(amount: float, unit: str) -> float:
    """A level in dBu from a number and its unit: `dBu`, `dBV` or `V` (above 0). ValueError for any other unit."""
    if unit == "dBu":
        return amount
    if unit == "dBV":
        return dbu_of_dbv(amount)
    if unit == "V":
        above_zero(volts=amount)
        return dbu_of_volts(amount)
    raise ValueError(f"no unit of level: {unit}")


class Level(NamedTuple):
    """A level as it is written: a number and one of `dBu`, `dBV`, `V` (rms, above 0); `str` writes it so that it is read back."""

    amount: float
    unit: str

    @property
    def dbu(self) -> float:
        """This level in dBu."""
        return dbu_from(self.amount, self.unit)

    @property
    def dbv(self) -> float:
        """This level in dBV."""
        return self.amount if self.unit == "dBV" else self.dbu - dbu_of_dbv(0)

    @property
    def volts(self) -> float:
        """This level in volts (rms)."""
        return self.amount if self.unit == "V" else volts_of_dbu(self.dbu)

    def within(self, unit: str) -> "Level":
        """The same level in another unit. ValueError for what is no unit of level."""
        if unit not in ("dBu", "dBV", "V"):
            raise ValueError(f"no unit of level: {unit}")
        return Level({"dBu": self.dbu, "dBV": self.dbv}[unit] if unit != "V" else self.volts, unit)

    def __str__(self) -> str:
        number = f"{self.amount:.9f}".rstrip("0").rstrip(".")
        number = "0" if number == "-0" else number
        return f"{'+' if self.unit != 'V' and number[0] not in '-0' else ''}{number} {self.unit}"


def read_level(text: str) -> Level:
    """The level that a text such as `+4 dBu`, `-10 dBV` or `1.23 V` says. ValueError for anything else, a voltage of 0 or less too."""
    found = _WRITTEN.fullmatch(text)
    if found is None:
        raise ValueError(f"no level: {text!r}")
    level = Level(float(found["amount"]), found["unit"])
    if level.unit == "V":
        above_zero(volts=level.amount)
    return level


class Alignment(NamedTuple):
    """How a house lines up analogue and digital levels: this level in dBu is that level in dBFS, and who says so."""

    dbu: float
    dbfs: float
    source: str

    @property
    def full_scale_dbu(self) -> float:
        """The analogue level that is 0 dBFS."""
        return full_scale_dbu(self.dbu, self.dbfs)


ALIGNMENTS = {
    "ebu-r68": Alignment(0.0, -18.0, "EBU R68-2000: alignment level is -18 dBFS; 0 dBu in EBU practice (L7, L8)"),
    "smpte-rp155": Alignment(4.0, -20.0, "SMPTE RP 155 as quoted: -20 dBFS is +4 dBu (L9)"),
}
"""Practices of alignment by name."""


def full_scale_dbu(alignment_dbu: float, alignment_dbfs: float) -> float:
    """The level in dBu that is 0 dBFS, from a level that is known on both sides (L8, L9). ValueError for an alignment above full scale."""
    if not alignment_dbfs <= 0:
        raise ValueError(f"alignment_dbfs must be 0 or less, not {alignment_dbfs}")
    return alignment_dbu - alignment_dbfs


def dbfs(dbu: float, full_scale_dbu: float) -> float:
    """A level in dB relative to full scale, where full scale is a level in dBu (+18 in EBU R68, +24 in SMPTE RP 155)."""
    return dbu - full_scale_dbu


def headroom_db(most_dbu: float, nominal_dbu: float) -> float:
    """The headroom: how far the highest level lies above the nominal one (L16); below 0 where it is exceeded."""
    return most_dbu - nominal_dbu


LINE_FROM_DBU, SPEAKER_FROM_DBU = -20.0, 30.0
"""Where line level begins and ends: microphones up to -20 dBu, loudspeakers from +30 dBu (L12; a console's manual, address not given)."""


def class_of(dbu: float) -> str:
    """The class a level is in: `mic` up to -20 dBu, `line` between, `speaker-level` from +30 dBu (L12)."""
    if dbu <= LINE_FROM_DBU:
        return "mic"
    return "line" if dbu < SPEAKER_FROM_DBU else "speaker-level"
