"""Canonical names as people say them: titles instead of ids, ranges folded: `Hall wall box lines 1-8`."""

from collections.abc import Iterable

from routecode.circuit.plant import Plant
from routecode.ground.order import natural
from routecode.ground.reading import numbered
from routecode.language.ranges import fold


def place(plant: Plant, name: str) -> str:
    """One canonical name: `Preamp A out 1`, `North bay bottom 3`."""
    head, _, rest = name.partition("/")
    return f"{title(plant, head)} {rest}"


def title(plant: Plant, head: str) -> str:
    """What people call a unit or bay."""
    found = plant.units.get(head) or plant.bays.get(head)
    return head if found is None else found.title


def places(plant: Plant, names: Iterable[str]) -> str:
    """Several canonical names, folded, one unit after another: `Hall lines 1-8; Booth lines 1-2, talkback`."""
    by_head: dict[str, list[str]] = {}
    for name in sorted(set(names), key=natural):
        head, _, rest = name.partition("/")
        by_head.setdefault(head, []).append(rest)
    if len(by_head) == 1:
        return "".join(f"{title(plant, head)} {joined(ports(rests))}" for head, rests in by_head.items())
    return "; ".join(f"{title(plant, head)} {', '.join(ports(rests))}" for head, rests in by_head.items())


def ports(rests: Iterable[str]) -> list[str]:
    """Names of ports or jacks of one unit or bay, folded: `lines 1-8`, `talkback`."""
    return [numbered(text) for text in fold(rests)]


def joined(words: Iterable[str]) -> str:
    """`a`, `a and b`, `a, b and c`."""
    listed = list(words)
    return listed[0] if len(listed) == 1 else f"{', '.join(listed[:-1])} and {listed[-1]}" if listed else ""


def counted(count: int, word: str) -> str:
    """`1 cable`, `3 cables`."""
    return f"{count:,} {word}" if count == 1 else f"{count:,} {word}s"
