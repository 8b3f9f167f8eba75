"""Ranges and lists of the wiring language, spread name by name.

Naive on purpose: it believes that the text is legal and reports no mistake of a user.
"""

from __future__ import annotations

import re
from typing import Any

from .readings import Reading, Wrong

RANGE = re.compile(r"(?P<stem>.*?)(?P<first>[0-9]+)\.\.(?P<last>[0-9]+)(?: step (?P<step>[0-9]+))?")
CHANNELS = re.compile(r"(?P<port>.*) ch (?P<numbers>[0-9]+(?:\.\.[0-9]+(?: step [0-9]+)?)?)")


def spread_text(text: str, reading: Reading) -> list[str]:
    """The names one text stands for: `mic 3..1` gives `mic 3`, `mic 2`, `mic 1`."""
    match = RANGE.fullmatch(text)
    if match is None:
        return [text]
    first, last, step = int(match["first"]), int(match["last"]), int(match["step"] or 1)
    numbers = list(range(first, last + 1, step)) if first <= last else list(range(first, last - 1, -step))
    if Wrong.STEP_IGNORED in reading:
        numbers = [first + i if first <= last else first - i for i in range(len(numbers))]
    if Wrong.DOWNWARDS_IGNORED in reading:
        numbers.sort()
    padded = len(match["first"]) == len(match["last"]) and Wrong.PADDING_LOST not in reading
    width = len(match["first"]) if padded else 1
    return [f"{match['stem']}{number:0{width}d}" for number in numbers]


def spread(value: Any, reading: Reading) -> list[str]:
    """The names that a text, an integer, or a list of them stands for, joined in order."""
    if isinstance(value, list):
        return [name for part in value for name in spread(part, reading)]
    return spread_text(value, reading) if isinstance(value, str) else [str(value)]


def spread_channels(text: str, reading: Reading) -> list[tuple[str, int | None]]:
    """The (port, channel) pairs of one text; channel None where the text names none."""
    match = CHANNELS.fullmatch(text)
    if match is None:
        return [(name, None) for name in spread_text(text, reading)]
    return [(match["port"], int(number)) for number in spread_text(match["numbers"], reading)]
