"""Numbers as people write them in sentences of rules. Computes nothing."""

from decimal import Decimal
from math import isinf


def ohms(amount: float) -> str:
    """An impedance in words: `8 ohms`, `0.125 ohms`, `10,000 ohms`."""
    return f"{number(amount)} ohm{'' if amount == 1 else 's'}"


def number(amount: float) -> str:
    """A positive number to three digits or to the whole number, with commas: `0.0008`, `4.2`, `12.4`, `15,000`."""
    if isinf(amount):
        return "infinite"
    if amount >= 100:
        return f"{amount:,.0f}"
    return f"{Decimal(f'{amount:.3g}'):f}"
