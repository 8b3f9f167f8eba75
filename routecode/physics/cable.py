"""Cables: capacitance and the corner it makes, resistance from gauge and area, wavelength. Low-pass of the first order only."""

from math import inf, log10, pi, sqrt

from routecode.physics.bounds import above_zero, from_to, not_negative
from routecode.physics.load import parallel

COPPER = 0.017241
"""Resistivity of annealed copper at 20 C in ohm mm^2 / m (IEC 60028)."""
COPPER_PER_KELVIN = 0.00393
"""Its temperature coefficient at 20 C (IEC 60028)."""
LIGHT = 299_792_458.0
"""Speed of light in m/s."""


def corner_hz(ohms: float, farads: float) -> float:
    """The frequency at which a resistance and a capacitance (0 or more) lose 3 dB: 1 / (2 pi R C); infinite where either is 0 (W3 to W6)."""
    not_negative(ohms=ohms, farads=farads)
    seconds = 2 * pi * ohms * farads
    return 1 / seconds if seconds else inf


def line_corner_hz(
    source_ohms: float, load_ohms: float, metres: float, picofarads_per_metre: float, input_picofarads: float = 0.0
) -> float:
    """The corner of a cable between a source and a load: both side by side against the cable and what the input adds (W1, W2)."""
    not_negative(input_picofarads=input_picofarads)
    farads = farads_of(metres, picofarads_per_metre) + input_picofarads * 1e-12
    return corner_hz(parallel(source_ohms, load_ohms), farads)


def loss_db(hertz: float, corner: float) -> float:
    """What a first-order low-pass loses at a frequency, in dB (0 or less): -10 log10(1 + (f / fc)^2) (W7)."""
    not_negative(hertz=hertz)
    above_zero(corner=corner)
    return 0.0 - 10 * log10(1 + (hertz / corner) ** 2)


def corner_for(hertz: float, loss: float) -> float:
    """The corner at which no more than a loss in dB (below 0) is left at a frequency: the inverse of `loss_db` (W8)."""
    above_zero(hertz=hertz, loss=-loss)
    return hertz / sqrt(10 ** (-loss / 10) - 1)


def most_farads(ohms: float, hertz: float, loss: float) -> float:
    """The most capacitance that a resistance (above 0) may have beside it for no more than a loss in dB (below 0) at a frequency (W8)."""
    above_zero(ohms=ohms)
    return 1 / (2 * pi * ohms * corner_for(hertz, loss))


def resonance_hz(henries: float, farads: float) -> float:
    """Where a pickup's coil resonates with its cable: 1 / (2 pi sqrt(L C)), both above 0; there a corner of the first order says too little."""
    above_zero(henries=henries, farads=farads)
    return 1 / (2 * pi * sqrt(henries * farads))


def farads_of(metres: float, picofarads_per_metre: float) -> float:
    """The capacitance of a cable."""
    not_negative(metres=metres, picofarads_per_metre=picofarads_per_metre)
    return metres * picofarads_per_metre * 1e-12


def awg_millimetres(gauge: int) -> float:
    """The diameter of a wire of an American gauge (-3, which is 4/0, to 50), in mm: 0.127 x 92^((36 - n) / 39) (ASTM B258)."""
    from_to(-3, 50, gauge=gauge)
    return float(0.127 * 92 ** ((36 - gauge) / 39))


def awg_mm2(gauge: int) -> float:
    """The area of a wire of an American gauge, in mm^2."""
    return pi / 4 * awg_millimetres(gauge) ** 2


def copper_ohms(metres: float, mm2: float, celsius: float = 20.0) -> float:
    """The resistance of a copper wire: resistivity x length / area (above 0), corrected for its temperature (-100 to 200 C)."""
    not_negative(metres=metres)
    above_zero(mm2=mm2)
    from_to(-100, 200, celsius=celsius)
    return COPPER * metres / mm2 * (1 + COPPER_PER_KELVIN * (celsius - 20))


def awg_ohms(metres: float, gauge: int, celsius: float = 20.0) -> float:
    """The resistance of a solid copper wire of an American gauge."""
    return copper_ohms(metres, awg_mm2(gauge), celsius)


def line_matters_beyond(hertz: float, velocity: float) -> float:
    """The length in metres from which a cable is a transmission line: a tenth of a wavelength (`velocity`: share of light's, up to 1)."""
    above_zero(hertz=hertz, velocity=velocity)
    from_to(0, 1, velocity=velocity)
    return LIGHT * velocity / hertz / 10


def farads_per_metre(line_ohms: float, velocity: float) -> float:
    """The capacitance of a line per metre, from its impedance (above 0) and velocity factor (above 0, up to 1): 1 / (Z0 v) (K4, K5)."""
    above_zero(line_ohms=line_ohms, velocity=velocity)
    from_to(0, 1, velocity=velocity)
    return 1 / (line_ohms * velocity * LIGHT)
