"""Digital interfaces: channels by sample rate, rates on the wire, timing, voltages. Formats only, nothing of what a studio has."""

from typing import NamedTuple

from routecode.physics.bounds import above_zero

_SHARES = ((48_000, 1), (96_000, 2), (192_000, 4))
"""Sample rates up to which a link carries its channels, half of them, a quarter (sample multiplexing)."""
SLOTS, SUBFRAMES, UNITS_PER_SLOT, FRAMES_PER_BLOCK = 64, 2, 2, 192
"""AES3: slots of a frame, its subframes, unit intervals in a slot (biphase mark), frames of a block (IEC 60958)."""
JITTER_UNITS = 0.025
"""The most intrinsic jitter of AES3, in unit intervals (IEC 60958-4-4, 5.1.2)."""
MIDI_BAUD, MIDI_BITS = 31_250, 10
"""MIDI: rate on the wire (within 1 %), and bits of a byte with start and stop (M6)."""


def _share(sample_rate: float, channels: int) -> int:
    above_zero(sample_rate=sample_rate)
    return next((channels // share for rate, share in _SHARES if sample_rate <= rate), 0)


def optical_channels(sample_rate: int, at_base: int = 8) -> int:
    """The channels of an eight-channel optical link by sample rate: 8 to 48 kHz, 4 to 96, 2 to 192 (sample multiplexing), then 0."""
    return _share(sample_rate, at_base)


def madi_channels(sample_rate: int, at_base: int = 64) -> int:
    """The channels of AES10 by sample rate: 64 (56 in its older form) to 48 kHz, half to 96, a quarter to 192, then 0."""
    return _share(sample_rate, at_base)


def bits_per_second(sample_rate: float) -> float:
    """The data rate of AES3: 64 fs."""
    above_zero(sample_rate=sample_rate)
    return SLOTS * sample_rate


def cells_per_second(sample_rate: float) -> float:
    """The cell rate of AES3 on the wire: 128 fs, as each bit is two cells of biphase mark code."""
    return bits_per_second(sample_rate) * UNITS_PER_SLOT


def unit_interval_seconds(sample_rate: float) -> float:
    """The unit interval of AES3: 1 / (128 fs) (IEC 60958-4-4, 3.1)."""
    return 1 / cells_per_second(sample_rate)


def most_jitter_seconds(sample_rate: float) -> float:
    """The most intrinsic jitter of AES3 in seconds: 0.025 unit intervals."""
    return JITTER_UNITS * unit_interval_seconds(sample_rate)


def blocks_per_second(sample_rate: float) -> float:
    """Blocks of channel status in a second: fs / 192."""
    above_zero(sample_rate=sample_rate)
    return sample_rate / FRAMES_PER_BLOCK


def optical_bits_per_second(sample_rate: float) -> float:
    """The line rate of an eight-channel optical link up to 48 kHz: 256 fs (from memory)."""
    above_zero(sample_rate=sample_rate)
    return 256 * sample_rate


def bandwidth_hz(sample_rate: float) -> float:
    """What a sample rate can carry at the very most: fs / 2 (Nyquist)."""
    above_zero(sample_rate=sample_rate)
    return sample_rate / 2


def midi_byte_seconds() -> float:
    """How long a byte of MIDI takes: ten bits."""
    return MIDI_BITS / MIDI_BAUD


def midi_loop_amperes(volts: float, lamp_volts: float, gate_volts: float, ohms: float) -> float:
    """The current of a MIDI loop: what lamp and gate leave of the voltage, over the resistors in the way (Z13); `ohms` above 0."""
    above_zero(ohms=ohms)
    return (volts - lamp_volts - gate_volts) / ohms


class Interface(NamedTuple):
    """What an electrical interface is made for: ohms and their tolerance, volts from peak to peak that it gives, and that it needs."""

    ohms: float
    ohms_tolerance: float
    least_volts: float
    most_volts: float
    receiver_volts: float
    source: str


INTERFACES = {
    "aes3": Interface(110.0, 0.2, 2.0, 7.0, 0.2, "IEC 60958-4-4 (AES3) as printed; the 20 % from memory (Z7, Z8)"),
    "aes3id": Interface(75.0, 0.0, 0.8, 1.2, 0.32, "AES-3id as printed: 1.0 V, at most 1.2 V (Z9)"),
    "spdif": Interface(75.0, 0.2, 0.4, 0.6, 0.2, "IEC 60958-3 as printed: 0.5 V within 20 % (Z10)"),
}
"""By kind of signal; word clock has 75 ohms and no volts that are standardised (Z11)."""
WORD_CLOCK_OHMS = 75.0
"""Word clock: source, cable and the one terminator at the end (AES11, annex B, as common practice; Z11, Z12)."""
