"""Quantities as text, such as `"+4 dBu"`: a number, a space and a unit, where the unit changes the meaning."""

import re

MOST_DB = 200.0
"""No level of a studio is further from 0 dBu or 0 dBV (common practice, no source): the highest in the tables are some +40 dBu."""
_QUANTITY = re.compile(r"(?P<number>[+-]?[0-9]{1,6}(?:\.[0-9]{1,9})?) (?P<unit>[A-Za-z]{1,10})")
_LOOSE = re.compile(r"\s*([+\-\u2212\u2013]?)\s*([0-9]+(?:[.,][0-9]+)?)\s*([A-Za-z]+)\s*")


def read_quantity(text: str, units: tuple[str, ...]) -> tuple[float, str] | None:
    """The number and the unit of a text such as `+4 dBu`; None where it is none, a voltage of 0 or less, or a level that cannot be."""
    found = _QUANTITY.fullmatch(text)
    if found is None or found["unit"] not in units:
        return None
    number, unit = float(found["number"]), found["unit"]
    return (number, unit) if (number > 0 if unit == "V" else abs(number) <= MOST_DB) else None


def wrong_quantity(text: str, units: tuple[str, ...]) -> tuple[str, str] | None:
    """What a text must be, and what to do, where it is no quantity; None where it is one."""
    if read_quantity(text, units) is not None:
        return None
    found = _QUANTITY.fullmatch(text)
    if found is not None and found["unit"] == "V" and "V" in units:
        return "must be more than 0 V", 'Write the voltage between the two legs, such as "0.775 V".'
    if found is not None and found["unit"] in units:
        return f"must lie between -{MOST_DB:g} and +{MOST_DB:g} {found['unit']}", example(units)
    return must_be(units), _meant(text, units) or example(units)


def must_be(units: tuple[str, ...]) -> str:
    """What a value must be."""
    return f"must be a text of a number, a space and a unit ({', '.join(units)})"


def example(units: tuple[str, ...]) -> str:
    """One in the first unit, as a sentence."""
    sample = {"V": "1.23", "dBV": "-10"}.get(units[0], "+4")
    return f'For example "{sample} {units[0]}".'


def _meant(value: str, units: tuple[str, ...]) -> str:
    """The quantity a loosely written one was meant to be, as a question."""
    found = _LOOSE.fullmatch(value[:100])
    if not found:
        return ""
    number = found[2].replace(",", ".")
    unit = next((unit for unit in units if unit.casefold() == found[3].casefold()), None)
    if unit is None and found[3].casefold() == "mv" and "V" in units and len(number) < 12:
        number, unit = f"{float(number) / 1000:.9f}".rstrip("0").rstrip("."), "V"
    if unit is None:
        return ""
    sign = "-" if found[1] in ("\u2212", "\u2013") else found[1]
    meant = f"{sign}{number} {unit}"
    return f"Did you mean `{meant}`?" if read_quantity(meant, units) else ""
