"""What of a source's level the legs let through to an input: both legs, one of them, or none with a way back. Knows no ohms.

What an output is and what hangs on its cold leg decides it:

- both legs driven against ground (`symmetric`): hot alone is half of it, behind half of its impedance, whether cold is grounded or open;
- `floating` and `transformer`: all of it where cold finds its way back, nothing where it does not;
- `impedance`: hot carries all of it;
- not said: anything among these, so that what is told is a usual figure: all of it where cold is grounded, half where it is open
  (cables are left open for the outputs that want it so).

A balanced input with an open cold leg is taken as one that holds that leg at ground, where the output is symmetric (common practice, no
source); a plain difference amplifier would lose another 6 dB. What such an input makes of an unbalanced or impedance-balanced output its
circuit decides: no figure. Ports that say nothing of their legs are taken to get everything. Where hot and cold are exchanged on the
way, only what is open on the same way could matter, and it is taken as if they were not.
"""

from math import inf
from typing import NamedTuple

from routecode.figures.conductors import COLD, SHIELD, Conductors
from routecode.physics.levels import HALF_DB

NO_RETURN, OPEN = "no return", "open"
"""Lost is everything: the way back of an output that floats; cold and shield both, so that nothing leads back."""
FLOATING_COLD, ONE_LEG, SOME_LEG = "floating cold", "one leg", "some leg"
"""Lost is the cold leg of an input, hot carrying all; one of two driven legs; it is not said which of these."""


class Arrival(NamedTuple):
    """What arrives against the level of the source, in dB: what is told (None: no figure), the most and the least there may be."""

    told: float | None
    most: float
    least: float
    lost: str = ""

    @property
    def sure(self) -> bool:
        """Whether what is told is all there can be."""
        return self.told == self.most == self.least


WHOLE = Arrival(0.0, 0.0, 0.0)
HALF = Arrival(HALF_DB, HALF_DB, HALF_DB)
WHOLE_OR_HALF = Arrival(0.0, 0.0, HALF_DB)
NOTHING = Arrival(None, -inf, -inf, NO_RETURN)
OPEN_CIRCUIT = Arrival(None, -inf, -inf, OPEN)


def arrival(legs: Conductors, driver: int, hearer: int, drive: str | None) -> Arrival:
    """What arrives at a port (node) of the net from the one that drives it; `drive`: how it drives its cold leg."""
    gives, takes = (legs.ports.of(node).balanced for node in (driver, hearer))
    if gives is None or takes is None or gives.default or takes.default:
        return WHOLE
    if not takes.yes:
        return _into_unbalanced(legs, driver, hearer, drive if gives.yes else "unbalanced")
    return _into_balanced(legs, driver, hearer, drive if gives.yes else "unbalanced")


def _into_unbalanced(legs: Conductors, driver: int, hearer: int, drive: str | None) -> Arrival:
    cold, shield = (legs.back_joins((driver, leg), (hearer, SHIELD)) for leg in (COLD, SHIELD))
    if drive in ("floating", "transformer"):
        return WHOLE if cold else NOTHING
    if not cold and not shield:
        return OPEN_CIRCUIT
    if drive in ("unbalanced", "impedance"):
        return WHOLE
    if drive == "symmetric":
        return HALF if shield else WHOLE_OR_HALF
    return WHOLE_OR_HALF if cold else Arrival(HALF_DB, 0.0, -inf)


def _into_balanced(legs: Conductors, driver: int, hearer: int, drive: str | None) -> Arrival:
    if legs.back_joins((driver, COLD), (hearer, COLD)):
        if drive not in ("symmetric", None) or not legs.back_joins((driver, COLD), (driver, SHIELD)):
            return WHOLE
        return HALF if drive == "symmetric" else WHOLE_OR_HALF
    if drive in ("floating", "transformer"):
        return NOTHING
    if drive == "symmetric":
        return Arrival(HALF_DB, HALF_DB, 2 * HALF_DB, ONE_LEG)
    return Arrival(None, 0.0, -inf, SOME_LEG if drive is None else FLOATING_COLD)
