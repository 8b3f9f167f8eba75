"""A random studio while it is drawn up: its tables, and which ports and jacks are still free.

Also how names are put into words: as ranges up and down, with steps, or as lists.
"""

from __future__ import annotations

import re
from itertools import pairwise
from random import Random
from typing import Any

from attrs import Factory, define

Table = dict[str, Any]
NUMBERED = re.compile(r"(.*?)([0-9]+)", re.DOTALL)


@define
class Group:
    """Ports of one unit that stand side by side: `mic 1` to `mic 4`; `free` are those without a cable."""

    unit: str
    names: list[str]
    direction: str
    signal: str
    channels: int = 1
    hardwired: bool = False
    free: list[str] = Factory(list)

    def place(self, name: str) -> str:
        """The port in a reference."""
        return f"{self.unit}/{name}"


@define
class Draft:
    """What is drawn up so far."""

    rng: Random
    whole: Table = Factory(dict)
    groups: list[Group] = Factory(list)
    signal_of: dict[str, str] = Factory(dict)
    """The kind of signal of each port, and of each jack that is wired."""
    free_rears: list[str] = Factory(list)
    free_fronts: list[str] = Factory(list)
    likely: list[tuple[str, str]] = Factory(list)
    """Pairs of ports that a path may well join."""
    crosspoints: list[tuple[str, str]] = Factory(list)
    """The pairs of channels that a route may close or join."""
    numbers: int = 0

    def chance(self, probability: float) -> bool:
        """True with this probability."""
        return self.rng.random() < probability

    def entry(self, kind: str, ident: str, array: str, entry: Table) -> None:
        """One more entry of `[[kind.id.array]]`."""
        self.whole.setdefault(kind, {}).setdefault(ident, {}).setdefault(array, []).append(entry)

    def top(self, array: str, entry: Table) -> None:
        """One more entry of a top-level `[[array]]`."""
        self.whole.setdefault(array, []).append(entry)

    def cable_number(self, count: int) -> str:
        """A new number for as many cables: one for all, or a range."""
        first = self.numbers + 1
        self.numbers += count
        return f"L{first}" if count == 1 or self.chance(0.3) else f"L{first}..{first + count - 1}"


def as_range(names: list[str]) -> str | None:
    """The names as one range, or None where they do not make one."""
    parts = [NUMBERED.fullmatch(name) for name in names]
    found = [(m[1], m[2]) for m in parts if m is not None]
    if len(names) < 2 or len(found) < len(names) or len({stem for stem, _ in found}) > 1:
        return None
    numbers = [int(digits) for _, digits in found]
    step = numbers[1] - numbers[0]
    if step == 0 or any(b - a != step for a, b in pairwise(numbers)):
        return None
    first, last = found[0][1], found[-1][1]
    if len(first) != len(last) and (first[0] == "0" or last[0] == "0" or len({len(d) for _, d in found}) < 2):
        return None
    return f"{found[0][0]}{first}..{last}" + (f" step {abs(step)}" if abs(step) > 1 else "")


def words(rng: Random, names: list[str]) -> Any:
    """The names in any of the ways the language has: a text where one will do, else a list."""
    text = names[0] if len(names) == 1 else as_range(names)
    if text is not None and rng.random() < 0.9:
        return text
    if len(names) == 1:
        return [names[0]]
    cut = rng.randint(1, len(names) - 1)
    parts = [words(rng, names[:cut]), words(rng, names[cut:])]
    return [text for part in parts for text in (part if isinstance(part, list) else [part])]


def one_text(names: list[str]) -> str | None:
    """The names as one text, or None."""
    return names[0] if len(names) == 1 else as_range(names)


def some_of(rng: Random, names: list[str], most: int) -> list[str]:
    """A few neighbours of a list, now and then in another order."""
    count = min(len(names), rng.randint(1, most))
    start = rng.randint(0, len(names) - count)
    chosen = names[start : start + count]
    if rng.random() < 0.15:
        chosen.reverse()
    elif rng.random() < 0.1:
        rng.shuffle(chosen)
    return chosen
