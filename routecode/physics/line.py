"""Digital lines: reflection, terminations, channels and lengths by kind and rate."""

from math import log10

from routecode.physics.levels import db_of_ratio
from routecode.physics.load import divider, parallel


def reflection(ohms: float, line_ohms: float) -> float:
    """The reflection coefficient of a load on a line, from -1 to 1: (Z - Z0) / (Z + Z0)."""
    return (ohms - line_ohms) / (ohms + line_ohms)


def return_loss_db(ohms: float, line_ohms: float) -> float:
    """The return loss in dB, more is better: -20 log10 |rho|; infinite for a perfect match."""
    rho = abs(reflection(ohms, line_ohms))
    return float("inf") if rho == 0 else -20 * log10(rho)


def standing_wave_ratio(ohms: float, line_ohms: float) -> float:
    """The voltage standing wave ratio: (1 + |rho|) / (1 - |rho|); infinite for an open or shorted end."""
    rho = abs(reflection(ohms, line_ohms))
    return float("inf") if rho == 1 else (1 + rho) / (1 - rho)


def terminated_db(line_ohms: float, *ends: float) -> float:
    """The level of a matched source into some terminations side by side, against one right termination, in dB."""
    return db_of_ratio(divider(line_ohms, parallel(*ends)) / 0.5)


def optical_channels(sample_rate: int, at_base: int = 8) -> int:
    """The channels of an eight-channel optical link by sample rate: 8 to 48 kHz, 4 to 96, 2 to 192 (sample multiplexing), then 0."""
    for rate, share in ((48_000, 1), (96_000, 2), (192_000, 4)):
        if sample_rate <= rate:
            return at_base // share
    return 0


def madi_channels(sample_rate: int) -> int:
    """The channels of a MADI link by sample rate: 64 to 48 kHz, 32 to 96 (AES10), 16 to 192 (halved again: from memory), then 0."""
    return optical_channels(sample_rate, 64)


def unit_interval_seconds(sample_rate: float) -> float:
    """The unit interval of AES3: 1 / (128 fs) (IEC 60958-4-4, 3.1)."""
    return 1 / (128 * sample_rate)


LONGEST = {
    "aes3": (100.0, "IEC 60958-4-4: 100 m without equalisation, up to 50 kHz"),
    "aes3id": (1000.0, "audio engineering handbook, chapter 18"),
    "spdif": (10.0, "about 10 m, rule of thumb"),
    "optical8": (10.0, "plastic fibre: about 10 m"),
    "madi": (100.0, "AES10: coaxial cable of 50 to 100 m"),
    "midi": (15.24, "MIDI 1.0: 50 feet"),
    "network": (100.0, "TIA-568, ISO/IEC 11801: a channel of 100 m"),
}
"""Kind of signal -> the longest line in metres, and who says so."""


def longest_metres(kind: str, sample_rate: int | None = None) -> float | None:
    """The longest line of a kind; an AES3 line gets shorter as its rate rises above 50 kHz, in proportion (our reading of the limit)."""
    if kind not in LONGEST:
        return None
    metres = LONGEST[kind][0]
    if kind == "aes3" and sample_rate is not None and sample_rate > 50_000:
        return metres * 50_000 / sample_rate
    return metres
