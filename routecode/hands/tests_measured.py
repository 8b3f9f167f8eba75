"""What people measure, as they write it: a number with a decimal point or comma, and a unit of voltage or none. Judges nothing."""

import re
from math import inf

from routecode.physics.levels import dbu_from

LEVEL_UNITS, VOLT_UNITS = ("dBu", "dBV", "V", "mV"), ("V", "mV")
_WRITTEN = re.compile(
    r"(?P<sign>[+\-\u2212\u2013]?) ?(?P<number>[0-9]{1,9}(?:[.,][0-9]{0,9})?|[.,][0-9]{1,9})(?: ?(?P<unit>[A-Za-z]{1,10}))?"
)
_ANY_CASE = {"dbu": "dBu", "v": "V"}
"""Units that cannot be taken for another one: a small v behind dB once was what dBu is now, and MV are no mV."""


def units_for(unit: str) -> tuple[str, ...]:
    """The units that are taken where a test wants `unit`."""
    return LEVEL_UNITS if unit == "dBu" else VOLT_UNITS


def measured(text: str, unit: str) -> float | None:
    """A result in the unit of its test (`dBu` or `V`); no unit behind it is that one. None where it is no number, or of a unit that is not taken.

    A level of 0 V is -inf dBu; a level of less than that is none.
    """
    found = _WRITTEN.fullmatch(" ".join(text.split()))
    if found is None:
        return None
    number = float(found["number"].replace(",", ".")) * (-1 if found["sign"] not in ("", "+") else 1)
    said = found["unit"] or unit
    said = _ANY_CASE.get(said.lower(), said)
    if said not in units_for(unit):
        return None
    if said == "mV":
        number, said = number / 1000, "V"
    if unit == said:
        return number
    if said == "V" and number <= 0:
        return -inf if number == 0 else None
    return dbu_from(number, said)
