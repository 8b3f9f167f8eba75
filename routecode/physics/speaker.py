"""Loudspeakers and headphones: what an amplifier is loaded with, what the line takes, damping. Impedances as nominal, no frequency.

Figures are design aids: amplifiers off before a line is touched, and mains by licensed people under the local code.
"""

from math import floor, inf
from typing import NamedTuple

from routecode.physics.bounds import above_zero, not_negative
from routecode.physics.levels import db_of_ratio
from routecode.physics.load import divider, parallel, power_db

SHARE = 0.05
"""The most a line may have of its loudspeaker's impedance: 5 % (K11, printed rule)."""
DAMPING = 25.0
"""The least damping factor of a good installation, line included (K12, printed rule)."""


class SpeakerLine(NamedTuple):
    """Power from the amplifier and in the load in watts, and what the line costs in dB (0 or less)."""

    given_watts: float
    taken_watts: float
    loss_db: float


def speaker_line(volts: float, loop_ohms: float, load_ohms: float) -> SpeakerLine:
    """A loudspeaker (above 0 ohms) behind the resistance of its line, there and back (0 or more) (K13, F7)."""
    not_negative(loop_ohms=loop_ohms)
    above_zero(load_ohms=load_ohms)
    amperes = volts / (loop_ohms + load_ohms)
    return SpeakerLine(volts * amperes, amperes**2 * load_ohms, db_of_ratio(divider(loop_ohms, load_ohms)))


def loop_ohms(metres: float, ohms_per_km: float) -> float:
    """The resistance of a line there and back, from its length one way and the resistance of one wire."""
    not_negative(metres=metres, ohms_per_km=ohms_per_km)
    return 2 * metres * ohms_per_km / 1000


def longest_metres(load_ohms: float, ohms_per_km: float, share: float = SHARE) -> float:
    """The longest line one way whose resistance there and back is at most a share of the load (K11)."""
    above_zero(load_ohms=load_ohms, ohms_per_km=ohms_per_km, share=share)
    return share * load_ohms / (2 * ohms_per_km / 1000)


def damping_factor(load_ohms: float, source_ohms: float, loop_ohms: float = 0.0) -> float:
    """The damping factor at the loudspeaker: its impedance over that of amplifier and line (K12); infinite where both are 0."""
    above_zero(load_ohms=load_ohms)
    not_negative(source_ohms=source_ohms, loop_ohms=loop_ohms)
    before = source_ohms + loop_ohms
    return load_ohms / before if before else inf


def damping_loss_db(factor: float) -> float:
    """What a damping factor (above 0) says of the level, in dB (0 or less): the load against load and what is before it (K12)."""
    above_zero(factor=factor)
    return db_of_ratio(divider(1 / factor, 1))


def most_beside(each_ohms: float, least_ohms: float) -> int:
    """How many equal loudspeakers side by side an amplifier takes that may be loaded with `least_ohms`; both above 0."""
    above_zero(each_ohms=each_ohms, least_ohms=least_ohms)
    return floor(each_ohms / least_ohms * (1 + 1e-9))


def headphone_watts(volts: float, source_ohms: float, ohms: float, count: int = 1) -> float:
    """The power in each of some equal headphones side by side on one output (`volts` with nothing connected), one ear of each."""
    above_zero(ohms=ohms, count=count)
    return (volts * divider(source_ohms, parallel(*[ohms] * count))) ** 2 / ohms


def headphone_spl_db(watts: float, spl_db_at_milliwatt: float) -> float:
    """The sound pressure level of a headphone at a power, from its sensitivity in dB SPL at 1 mW (definition, from memory); -inf for 0."""
    return spl_db_at_milliwatt + power_db(watts / 0.001)
