"""Cables: capacitance and the corner it makes, resistance from gauge and area, wavelength."""

from math import inf, log10, pi

COPPER = 0.017241
"""Resistivity of annealed copper at 20 C in ohm mm^2 / m (IEC 60028)."""
COPPER_PER_KELVIN = 0.00393
"""Its temperature coefficient at 20 C (IEC 60028)."""
LIGHT = 299_792_458.0
"""Speed of light in m/s."""


def corner_hz(ohms: float, farads: float) -> float:
    """The frequency at which a resistance and a capacitance lose 3 dB: 1 / (2 pi R C); infinite where either is 0."""
    seconds = 2 * pi * ohms * farads
    return 1 / seconds if seconds else inf


def loss_db(hertz: float, corner: float) -> float:
    """What a first-order low-pass loses at a frequency, in dB (0 or less): -10 log10(1 + (f / fc)^2)."""
    return 0.0 - 10 * log10(1 + (hertz / corner) ** 2)


def farads_of(metres: float, picofarads_per_metre: float) -> float:
    """The capacitance of a cable."""
    return metres * picofarads_per_metre * 1e-12


def awg_millimetres(gauge: int) -> float:
    """The diameter of a wire of an American gauge, in mm: 0.127 x 92^((36 - n) / 39) (ASTM B258)."""
    return float(0.127 * 92 ** ((36 - gauge) / 39))


def awg_mm2(gauge: int) -> float:
    """The area of a wire of an American gauge, in mm^2."""
    return pi / 4 * awg_millimetres(gauge) ** 2


def copper_ohms(metres: float, mm2: float, celsius: float = 20.0) -> float:
    """The resistance of a copper wire: resistivity x length / area, corrected for its temperature."""
    return COPPER * metres / mm2 * (1 + COPPER_PER_KELVIN * (celsius - 20))


def leg_ohms_per_metre(ohms_per_km: float | None, awg: int | None, mm2: float | None) -> float:
    """The resistance of one leg, in ohms per metre: as given, else of copper of its gauge (ASTM B258) or area; 0 where nothing is said."""
    if ohms_per_km is not None:
        return ohms_per_km / 1000
    if awg is None and mm2 is None:
        return 0.0
    return copper_ohms(1.0, mm2 if mm2 is not None else awg_mm2(awg or 0))


def line_matters_beyond(hertz: float, velocity: float) -> float:
    """The length in metres from which a cable is a transmission line: a tenth of a wavelength (`velocity`: share of light's)."""
    return LIGHT * velocity / hertz / 10


def farads_per_metre(line_ohms: float, velocity: float) -> float:
    """The capacitance of a line per metre, from its impedance and velocity factor: 1 / (Z0 v)."""
    return 1 / (line_ohms * velocity * LIGHT)
