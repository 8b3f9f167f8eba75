"""What a change needs and what it sets free: plugs, parts of bays, and lengths of cable, of which those that fit are used again.

A cable stays where it still joins what it joined, is of the same type and is long enough. A cable that is taken out is free unless it is
left lying dead; laced into a loom of which something stays, it can be used within that loom only.
"""

from collections import Counter
from collections.abc import Callable, Collection, Iterable, Sequence
from typing import NamedTuple

from routecode.change.difference import Compared
from routecode.change.matched import AFTER, BEFORE
from routecode.circuit.plant import Plant
from routecode.ground.order import natural
from routecode.hands.cables import DEAD, MAKE, LaidCable, schedule
from routecode.hands.parts_counts import Counts, Seat, bay_counts, fixed_counts, plug_seats

Pair = frozenset[int]


class Again(NamedTuple):
    """A length of cable that is used again: as it was and as it is to be."""

    was: LaidCable
    now: LaidCable


class Turnover(NamedTuple):
    """What is needed and what is set free, plugs and parts of bays; the cables that come, and those of them made of others.

    `waiting`: cables that were to be made before and still are; they are not counted.
    """

    needs: Counts
    freed: Counts
    come: tuple[LaidCable, ...]
    gone: tuple[LaidCable, ...]
    again: tuple[Again, ...]
    waiting: int


def turnover(compared: Compared) -> Turnover:
    """The turnover of two circuits."""
    before, after = compared.before.plant, compared.after.plant
    types = compared.identity.others
    old = [cable._replace(type=types.get(("cable_type", cable.type or ""), cable.type)) for cable in schedule(before)]
    new = schedule(after)
    kept = _kept(compared, old, new)
    there = [cable for cable in old if cable.status not in (DEAD, MAKE)]
    waiting = {index for index, was in kept.items() if MAKE == old[was].status == new[index].status}
    stays = {was for index, was in kept.items() if old[was].status != MAKE}
    come = [
        cable
        for index, cable in enumerate(new)
        if cable.status != DEAD and index not in waiting and (index not in kept or old[kept[index]].status == MAKE)
    ]
    gone = [cable for index, cable in enumerate(old) if cable.status not in (DEAD, MAKE) and index not in stays]
    looms = {new[index].loom for index in kept} - {None}
    dead = {(cable.number, cable.type) for cable in new if cable.status == DEAD and cable.number is not None}
    free = [cable for cable in gone if (cable.number, cable.type) not in dead]
    free += [cable for cable in old if cable.status == DEAD and (cable.number, cable.type) not in dead]
    counted = [cable for index, cable in enumerate(new) if index not in waiting]
    needs, freed = _plugs(compared, there, counted)
    more, less = _bays(compared, before, after)
    return Turnover(needs + more, freed + less, tuple(come), tuple(gone), reuse(free, come, looms), len(waiting))


def reuse(
    free: Iterable[LaidCable], wanted: Iterable[LaidCable], staying: Collection[str | None] = ()
) -> tuple[Again, ...]:
    """The lengths that are used again so that as many metres as can be need not be bought.

    A length does where its type is the same and it is long enough; what is laced into a loom that stays does only within that loom.
    Cables are served longest first: what does for one does for every later one of its loom, and what is laced is given out before what
    is not, so nothing that could save more is given away.
    """
    lengths = sorted((cable for cable in free if cable.metres and cable.type), key=_longest_first, reverse=True)
    pools: dict[tuple[str | None, str | None], list[LaidCable]] = {}
    found = []
    for cable in sorted((cable for cable in wanted if cable.metres and cable.type), key=_longest_first):
        while lengths and (lengths[-1].metres or 0.0) >= (cable.metres or 0.0):
            length = lengths.pop()
            pools.setdefault((length.type, length.loom if length.loom in staying else None), []).append(length)
        for loom in dict.fromkeys((cable.loom, None)):
            if pool := pools.get((cable.type, loom)):
                found.append(Again(_taken(pool, cable), cable))
                break
    return tuple(sorted(found, key=lambda again: natural(again.now.number or again.now.ends[0])))


def _taken(pool: list[LaidCable], cable: LaidCable) -> LaidCable:
    """Take the length out that changes least; of those alike the shortest."""
    last = range(len(pool) - 1, max(-1, len(pool) - 1 - _LOOKED_AT), -1)
    return pool.pop(min(last, key=lambda index: (*_apart(pool[index], cable), pool[index].metres or 0.0, -index)))


_LOOKED_AT = 500
"""How many of the shortest lengths are compared: it keeps ten thousand cables from being compared with ten thousand."""


def _apart(length: LaidCable, cable: LaidCable) -> tuple[bool, bool, bool]:
    """What speaks against a length that does: another number, no end where it was, another loom."""
    ends_stay = not {end for end in length.ends if "/" in end}.isdisjoint(cable.ends)
    return length.number != cable.number, not ends_stay, length.loom != cable.loom


def _longest_first(cable: LaidCable) -> tuple[object, ...]:
    return (-(cable.metres or 0.0), natural(cable.number or ""), cable.ends)


# -- which cables stay ---------------------------------------------------------------------------------------------------


def _kept(compared: Compared, old: Sequence[LaidCable], new: Sequence[LaidCable]) -> dict[int, int]:
    """Cables after -> the cable before that stays as it: the one it shares most circuits with, each once."""
    now = {pair: index for index, cable in enumerate(new) for pair in _pairs(compared, AFTER, cable)}
    shared: Counter[tuple[int, int]] = Counter()
    for index, cable in enumerate(old):
        for pair in _pairs(compared, BEFORE, cable):
            there = frozenset(compared.moves.now(pair))
            found = now.get(there, now.get(pair))
            if found is not None and _stays(cable, new[found]):
                shared[found, index] += 1
    kept: dict[int, int] = {}
    taken: set[int] = set()
    for (after, before), _ in sorted(shared.items(), key=lambda item: (-item[1], item[0])):
        if after not in kept and before not in taken:
            kept[after] = before
            taken.add(before)
    return kept


def _pairs(compared: Compared, side: str, cable: LaidCable) -> list[Pair]:
    node = compared.matched.shared_node
    return [frozenset((node(side, circuit.from_.node), node(side, circuit.to.node))) for circuit in cable.circuits]


def _stays(was: LaidCable, now: LaidCable) -> bool:
    """Whether a cable can stay as it is: what is not said on one side speaks for it."""
    alike = None in (was.type, now.type) or was.type == now.type
    return alike and (was.metres is None or now.metres is None or was.metres >= now.metres)


# -- plugs and bays ------------------------------------------------------------------------------------------------------


def _plugs(compared: Compared, old: Iterable[LaidCable], new: Iterable[LaidCable]) -> tuple[Counts, Counts]:
    """Plugs that are new in their place, and plugs whose place is gone."""
    read = compared.identity.read
    was = {_read(seat, read) for seat, _ in plug_seats(compared.before.plant, old)}
    now = {seat for seat, _ in plug_seats(compared.after.plant, new)}
    return Counter(seat.item for seat in now - was), Counter(seat.item for seat in was - now)


def _read(seat: Seat, read: Callable[[str], str]) -> Seat:
    """A seat of the before side in names as they read after."""
    return seat._replace(owner=read(seat.owner), place=read(seat.place) if "/" in seat.place else seat.place)


def _bays(compared: Compared, before: Plant, after: Plant) -> tuple[Counts, Counts]:
    """Rear connectors, link plugs and dummy plugs that come and go, bay by bay."""
    needs: Counts = Counter()
    freed: Counts = Counter()
    names = {compared.identity.bays.get(name, name): bay for name, bay in before.bays.items()}
    for name in sorted(names.keys() | after.bays.keys()):
        was = bay_counts(before, names[name]) if name in names else Counter()
        now = bay_counts(after, after.bays[name]) if name in after.bays else Counter()
        needs.update(now - was)
        freed.update(was - now)
    dummies = fixed_counts(before, ()), fixed_counts(after, ())
    for item in sorted(dummies[0].keys() | dummies[1].keys()):
        if item.kind == "dummy-plug":
            change = dummies[1][item] - dummies[0][item]
            (needs if change > 0 else freed)[item] += abs(change)
    return needs, freed
