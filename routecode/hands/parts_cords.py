"""Whether the cords and adapters owned cover every setup, in number and in reach. One setup is patched at a time.

The reach that a cord needs is known between jacks of one bay with a pitch, and of two bays of one rack that say their height units;
elsewhere it is not, and that is said. Slack at both plugs is common practice, without a source.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from math import ceil, hypot
from typing import NamedTuple

from routecode.circuit.plant import PlacedBay, PlacedCord, PlacedSetup, Plant
from routecode.ground.order import natural
from routecode.hands.cables_ends import mate
from routecode.language.written import CordType

UNIT_MM = 44.45
"""One rack unit (IEC 60297-3-100)."""

SLACK = 0.15
"""Metres that a cord needs beyond the straight line, to bend at its plugs; common practice, no source."""


class Wanted(NamedTuple):
    """A cord of a setup: the plugs at its ends (sorted), the reach it needs (None: not known), the kind it names, its adapter."""

    ends: tuple[str, ...]
    reach: float | None
    named: str | None
    adapter: str | None


class Short(NamedTuple):
    """Cords that are missing in a setup: their plugs, how many, the reach needed at least (None: not known), why.

    `why`: `none` (no such cord is owned), `number` (too few), `reach` (those left do not reach), `own` (how many there are is not said).
    """

    ends: tuple[str, ...]
    number: int
    reach: float | None
    why: str


class Covered(NamedTuple):
    """One setup: how many cords it takes, what is missing, adapters missing, cords of which the reach is not known."""

    setup: str
    cords: int
    short: tuple[Short, ...]
    adapters: tuple[tuple[str, int], ...]
    unmeasured: int


def covered(plant: Plant) -> tuple[Covered, ...]:
    """Every setup that takes cords, in the order of ids."""
    return tuple(_covered(plant, setup) for setup in plant.setups.values() if setup.cords)


def most_missing(setups: Iterable[Covered]) -> dict[tuple[str, ...], int]:
    """Cords to buy so that every setup is covered, by their plugs: what the setup lacks that lacks most."""
    most: Counter[tuple[str, ...]] = Counter()
    for setup in setups:
        own: Counter[tuple[str, ...]] = Counter()
        for short in setup.short:
            own[short.ends] += short.number if short.why != "own" else 0
        most |= own
    return dict(sorted(most.items()))


def longest_missing(setups: Iterable[Covered]) -> dict[tuple[str, ...], float]:
    """By their plugs the reach that cords to buy must have (metres), where those owned are too short in some setup."""
    longest: dict[tuple[str, ...], float] = {}
    for setup in setups:
        for short in setup.short:
            if short.reach is not None:
                longest[short.ends] = max(longest.get(short.ends, 0.0), short.reach)
    return longest


def up_to_cm(metres: float) -> float:
    """A length to be told: in whole centimetres, and never less than it is."""
    return ceil(round(metres * 100, 6)) / 100


def most_adapters(setups: Iterable[Covered]) -> dict[str, int]:
    """Adapters to buy so that every setup is covered."""
    most: Counter[str] = Counter()
    for setup in setups:
        most |= Counter(dict(setup.adapters))
    return dict(sorted(most.items()))


def used_adapters(plant: Plant) -> Counter[str]:
    """Adapters in use at once, by name: in the setup that takes most of each."""
    most: Counter[str] = Counter()
    for setup in plant.setups.values():
        most |= Counter(cord.adapter for cord in wanted(plant, setup) if cord.adapter)
    return most


# -- what a setup wants --------------------------------------------------------------------------------------------------


def wanted(plant: Plant, setup: PlacedSetup) -> Iterator[Wanted]:
    """Its cords; a Y-cord once, with all its ends."""
    legs: dict[int, list[PlacedCord]] = {}
    for cord in setup.cords:
        if len(cord.written.to) > 1:
            legs.setdefault(id(cord.written), []).append(cord)
        else:
            yield _wanted(plant, [cord])
    for several in legs.values():
        yield _wanted(plant, several)


def _wanted(plant: Plant, legs: list[PlacedCord]) -> Wanted:
    first = legs[0]
    ends = [_plug(plant, first.a.node), *(_plug(plant, leg.b.node) for leg in legs)]
    reaches = [_reach(plant, leg.a.node, leg.b.node) for leg in legs]
    known = [reach for reach in reaches if reach is not None]
    reach = max(known) if len(known) == len(reaches) else None
    return Wanted(tuple(sorted(ends)), reach, first.written.cord, first.written.adapter)


def _plug(plant: Plant, node: int) -> str:
    """The plug that goes into a jack or a port; `?` where it is not said or not known which jack is meant."""
    if node < 0:
        return "?"
    if plant.is_jack(node):
        return mate(plant.bay_of(node).written.contact or "?")[0]
    return mate(plant.socket(node).written.connector or "?")[0]


def _reach(plant: Plant, a: int, b: int) -> float | None:
    """Metres that a cord needs between two jacks, slack included; None where it cannot be told."""
    if a < 0 or b < 0 or not (plant.is_jack(a) and plant.is_jack(b)):
        return None
    one, other = plant.bay_of(a), plant.bay_of(b)
    across = _from_left(one, a), _from_left(other, b)
    if one is not other and not _one_rack(one, other):
        return None
    if across[0] is None or across[1] is None:
        return None
    up = (other.written.at_u or 0) - (one.written.at_u or 0) if one is not other else 0
    return hypot(across[0] - across[1], up * UNIT_MM) / 1000 + SLACK


def _one_rack(one: PlacedBay, other: PlacedBay) -> bool:
    there = one.written.rack is not None and one.written.rack == other.written.rack
    return there and one.written.at_u is not None and other.written.at_u is not None


def _from_left(bay: PlacedBay, node: int) -> float | None:
    """Millimetres from the left end of the strip to the middle of a jack."""
    if bay.written.pitch_mm is None:
        return None
    column = bay.place(node)[1]
    gaps = sum(gap.mm or 0.0 for gap in bay.written.gaps if (gap.after or 0) < column)
    return (bay.written.start_mm or 0.0) + (column - 1) * bay.written.pitch_mm + gaps


# -- what is owned -------------------------------------------------------------------------------------------------------


def _covered(plant: Plant, setup: PlacedSetup) -> Covered:
    cords = list(wanted(plant, setup))
    types = plant.studio.cord_type
    left = {name: kind.own for name, kind in types.items()}
    short: Counter[tuple[tuple[str, ...], float | None, str]] = Counter()
    for cord in sorted(cords, key=_hardest):
        why = _take(cord, types, left)
        if why:
            short[cord.ends, cord.reach if why == "reach" else None, why] += 1
    shorts = tuple(Short(ends, count, reach, why) for (ends, reach, why), count in sorted(short.items(), key=_told))
    lacking = _lacking_adapters(plant, cords)
    return Covered(setup.id, len(cords), shorts, lacking, sum(cord.reach is None for cord in cords))


def _hardest(cord: Wanted) -> tuple[bool, bool, float, tuple[str, ...]]:
    """Cords that name their kind first, then by reach, longest first: whoever is served later can take more kinds."""
    return (cord.named is None, cord.reach is None, -(cord.reach or 0.0), cord.ends)


def _told(item: tuple[tuple[tuple[str, ...], float | None, str], int]) -> tuple[object, ...]:
    (ends, reach, why), _ = item
    return (ends, why, reach or 0.0)


def ends_of(kind: CordType) -> tuple[str, ...]:
    """The plugs of a kind of cord, sorted."""
    return tuple(sorted(kind.ends * 2 if len(kind.ends) == 1 else kind.ends))


def _take(cord: Wanted, types: Mapping[str, CordType], left: dict[str, int | None]) -> str:
    """Take a cord from those left, the shortest that does; empty, or why there is none."""
    fitting = [name for name, kind in types.items() if ends_of(kind) == cord.ends]
    if cord.named is not None and cord.named in types:
        fitting = [cord.named]
    reaching = [name for name in fitting if _reaches(types[name], cord.reach)]
    for name in sorted(reaching, key=lambda name: (types[name].metres or float("inf"), natural(name))):
        count = left[name]
        if count:
            left[name] = count - 1
            return ""
    if any(left[name] is None for name in reaching):
        return "own"
    if not types:
        return "own"
    if not fitting:
        return "none"
    return "reach" if any(left[name] for name in fitting) or not reaching else "number"


def _reaches(kind: CordType, reach: float | None) -> bool:
    return reach is None or kind.metres is None or kind.metres >= reach


def _lacking_adapters(plant: Plant, cords: list[Wanted]) -> tuple[tuple[str, int], ...]:
    used = Counter(cord.adapter for cord in cords if cord.adapter)
    lacking = []
    for name, count in sorted(used.items()):
        kind = plant.studio.adapter.get(name)
        own = kind.own if kind is not None else 0 if plant.studio.adapter else None
        if own is not None and count > own:
            lacking.append((name, count - own))
    return tuple(lacking)
