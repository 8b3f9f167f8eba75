"""Natural order of names: `in 2` before `in 10`, for lists that people read. JSON sorts by code point instead."""

import re

_PARTS = re.compile(r"([0-9]+)")


def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """Key that sorts digits by value; ties (`01`, `1`) are broken by the text itself."""
    parts = _PARTS.split(text)
    key = tuple((0, int(part), part) if part.isascii() and part.isdecimal() else (1, 0, part) for part in parts if part)
    return (*key, (2, 0, text))
