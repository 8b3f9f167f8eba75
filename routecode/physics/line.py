"""Digital lines: reflection, terminations, and how long a line may be. For rates and channels see `digital`."""

from math import inf, log10
from typing import NamedTuple

from routecode.physics.bounds import above_zero, not_negative
from routecode.physics.digital import optical_channels as optical_channels  # the rules take it from here
from routecode.physics.levels import db_of_ratio
from routecode.physics.load import divider, parallel


def reflection(ohms: float, line_ohms: float) -> float:
    """The reflection coefficient of a load (0 or more; infinite: open) on a line (above 0), from -1 to 1: (Z - Z0) / (Z + Z0) (Z14)."""
    not_negative(ohms=ohms)
    above_zero(line_ohms=line_ohms)
    return 1.0 if ohms == inf else (ohms - line_ohms) / (ohms + line_ohms)


def return_loss_db(ohms: float, line_ohms: float) -> float:
    """The return loss in dB, more is better: -20 log10 |rho|; infinite for a perfect match (Z15)."""
    rho = abs(reflection(ohms, line_ohms))
    return inf if rho == 0 else 0.0 - 20 * log10(rho)


def standing_wave_ratio(ohms: float, line_ohms: float) -> float:
    """The voltage standing wave ratio: (1 + |rho|) / (1 - |rho|); infinite for an open or shorted end (Z16)."""
    rho = abs(reflection(ohms, line_ohms))
    return inf if rho == 1 else (1 + rho) / (1 - rho)


def mismatch_loss_db(ohms: float, line_ohms: float) -> float:
    """What a load gets of the power that a matched one would get, in dB (0 or less): 10 log10(1 - rho^2) (standard result)."""
    kept = 1 - reflection(ohms, line_ohms) ** 2
    return 10 * log10(kept) if kept > 0 else -inf


def terminated_db(line_ohms: float, *ends: float) -> float:
    """The level of a matched source into some terminations side by side, against one right termination, in dB; +6 without any (N3)."""
    above_zero(line_ohms=line_ohms)
    return db_of_ratio(divider(line_ohms, parallel(*ends)) / 0.5)


class Receivers(NamedTuple):
    """Receivers side by side at the end of a line: their ohms together, the reflection, the return loss and the level in dB."""

    ohms: float
    reflection: float
    return_loss_db: float
    level_db: float


def receivers(line_ohms: float, count: int = 2) -> Receivers:
    """What several terminated receivers do to a line that is made for one: AES3 on 110 ohms, coaxial lines on 75 (F11)."""
    above_zero(line_ohms=line_ohms, count=count)
    ohms = parallel(*[line_ohms] * count)
    return Receivers(
        ohms,
        reflection(ohms, line_ohms),
        return_loss_db(ohms, line_ohms),
        terminated_db(line_ohms, *[line_ohms] * count),
    )


LONGEST = {
    "aes3": (100.0, "IEC 60958-4-4: 100 m without equalisation, up to 50 kHz"),
    "aes3id": (1000.0, "audio engineering handbook, chapter 18"),
    "spdif": (10.0, "about 10 m, rule of thumb"),
    "optical8": (10.0, "plastic fibre: about 10 m"),
    "madi": (100.0, "AES10: coaxial cable of 50 to 100 m"),
    "midi": (15.24, "MIDI 1.0: 50 feet"),
    "network": (100.0, "TIA-568, ISO/IEC 11801: a channel of 100 m"),
}
"""Kind of signal -> the longest line in metres, and who says so (M1 to M8)."""
LONGEST_OTHERWISE = {
    "madi-fibre": (2000.0, "AES10: fibre up to 2 km"),
    "network-permanent": (90.0, "TIA-568, ISO/IEC 11801: permanent link of 90 m"),
    "instrument": (6.0, "common practice, no source"),
    "unbalanced-line": (10.0, "common practice, no source"),
}
"""Parts and other media of the same, and analogue lines that are short by custom (M7 to M9); balanced lines by their corner."""


def longest_metres(kind: str, sample_rate: int | None = None) -> float | None:
    """The longest line of a kind; an AES3 line gets shorter as its rate rises above 50 kHz, in proportion (our reading of the limit)."""
    if kind not in LONGEST:
        return None
    metres = LONGEST[kind][0]
    if kind == "aes3" and sample_rate is not None and sample_rate > 50_000:
        return metres * 50_000 / sample_rate
    return metres
