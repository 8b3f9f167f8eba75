"""Natural order of names: `in 2` before `in 10`, for lists that people read. JSON sorts by code point instead."""

import re

_PARTS = re.compile(r"([0-9]+)")
_DIGITS = 18


def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """Key that sorts digits by value; ties (`01`, `1`) are broken by the text itself."""
    parts = _PARTS.split(text)
    key = tuple((_number(part) if part.isascii() and part.isdecimal() else (1, 0, part)) for part in parts if part)
    return (*key, (2, 0, text))


def _number(part: str) -> tuple[int, int, str]:
    """Digits by value; very many, which Python would not make a number of, by their count and then by themselves."""
    if len(part) <= _DIGITS:
        return (0, int(part), part)
    digits = part.lstrip("0")
    return (0, int(digits or "0"), part) if len(digits) <= _DIGITS else (0, 10**_DIGITS + len(digits), digits)
