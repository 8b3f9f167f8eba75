"""Names that probably read otherwise: of what has no partner, the pairs that agree so well that a person would take them for one thing.

A guess says so wherever it is told, and can be switched off. It never hides a difference: the raw sets under a guessed map hold all that
differs. What is declared or proved stands before it (`identity`, `partners`).

The measure is a share from 0 to 1: of the ports of both (name, direction, family, channels; of a bay its columns with their normals), and of the
ends of their cables (own port or jack, and the other end as it reads after), twice what both have over what each has, added up; of setups the
cords. Two things are taken for one where both shares are half or more, their mean is 0.7 or more, and neither has another partner that comes
within 0.15. The same title adds 0.1 where these shares are there; a title never decides.
"""

from collections.abc import Callable, Collection, Iterable, Mapping
from typing import NamedTuple

from routecode.change.identity import PROBABLE, Identity, add_ports, add_renamed
from routecode.change.partners import Prover, common, identify
from routecode.circuit.parts import Kit, PlacedBay, PlacedSetup, PlacedUnit
from routecode.circuit.plant import Plant
from routecode.language.table import Table

LEAST, LEAST_EACH, MARGIN, TITLE = 0.7, 0.5, 0.15, 0.1
MOST = 200
"""Things without a partner on a side, above which nothing is guessed: two studios that have little in common."""


class Seen(NamedTuple):
    """What is compared of a thing: two sets, and how it is written."""

    parts: frozenset[object]
    ends: frozenset[object]
    written: Table


def identity_of(before: Plant, after: Plant, *, guessing: bool = True) -> Identity:
    """Which names of the before side read otherwise: declared, proved and, with `guessing`, probable."""
    identity = identify(before, after)
    if guessing:
        guess(before, after, identity)
        identity.sort()
    return identity


def guess(before: Plant, after: Plant, identity: Identity) -> None:
    """Add the probable partners of units, bays, setups and ports to an identity that holds what is declared and proved."""
    prover = Prover(before, after, identity, PROBABLE)
    while sum(_things(prover, kind) for kind in ("unit", "bay")):
        prover.equipment()
    prover.ports()
    for old, new in common(before.units, after.units, identity.units):
        _ports(old, new, identity)
    prover.setups()
    olds, news = _without_partner(before.setups, after.setups, identity.setups)
    sides = (before.setups, after.setups)
    _pair("setup", _setups(prover, before, olds), _setups(prover, after, news), sides, identity)


def _things(prover: Prover, kind: str) -> int:
    olds, news = prover.alone(kind)
    see = _unit if kind == "unit" else _bay
    before, after = prover.before, prover.after
    sides = (before.units, after.units) if kind == "unit" else (before.bays, after.bays)
    return _pair(kind, _seen(prover, before, olds, see), _seen(prover, after, news, see), sides, prover.identity)


def _elsewhere(one: Seen, partner: str, names: Collection[str]) -> bool:
    """Whether the text says that it was another thing of that side than this partner."""
    was = one.written.was
    return was is not None and was != partner and was in names


def _pair(
    kind: str,
    olds: Mapping[str, Seen],
    news: Mapping[str, Seen],
    sides: tuple[Collection[str], ...],
    identity: Identity,
) -> int:
    """Add the pairs that agree best; how many there are. `sides`: all names of the kind before and after."""
    if not olds or not news or max(len(olds), len(news)) > MOST:
        return 0
    scores = {(old, new): _agreement(one, other) for old, one in olds.items() for new, other in news.items()}
    found = 0
    here, there = sides
    for (old, new), score in sorted(scores.items()):
        rivals = [other for ends, other in scores.items() if ends != (old, new) and (ends[0] == old or ends[1] == new)]
        contradicted = _elsewhere(olds[old], new, there) or _elsewhere(news[new], old, here)
        if score >= LEAST and not contradicted and all(score - rival >= MARGIN for rival in rivals):
            add_renamed(identity, kind, old, new, PROBABLE)
            found += 1
    return found


def _agreement(one: Seen, other: Seen) -> float:
    """The share of what two things have in common; 0 where either kind of it agrees less than half."""
    parts, ends = _share(one.parts, other.parts), _share(one.ends, other.ends)
    if parts < LEAST_EACH or ends < LEAST_EACH:
        return 0.0
    title = one.written.title
    return (parts + ends) / 2 + (TITLE if title is not None and title == other.written.title else 0.0)


def _share(one: frozenset[object], other: frozenset[object]) -> float:
    return 2 * len(one & other) / (len(one) + len(other)) if one or other else 0.0


# -- what is seen of a thing ---------------------------------------------------------------------------------------------


def _seen(
    prover: Prover, plant: Plant, names: Iterable[str], see: Callable[[Prover, Plant, str], Seen]
) -> dict[str, Seen]:
    return {name: see(prover, plant, name) for name in names}


def _unit(prover: Prover, plant: Plant, name: str) -> Seen:
    unit: PlacedUnit = plant.units[name]
    parts = frozenset((one.name, one.direction, one.family, one.channels) for one in unit.kit.sockets)
    ends = {(plant.socket(node).name, end) for node in unit for end in prover.ends(plant, node)}
    return Seen(parts, _known(ends), unit.written)


def _bay(prover: Prover, plant: Plant, name: str) -> Seen:
    bay: PlacedBay = plant.bays[name]
    jacks = range(bay.first, bay.first + bay.rows * bay.columns)
    normals = bay.normals if bay.rows == 2 else [""] * (bay.columns + 1)
    parts = frozenset((bay.rows, bay.plugs, number, normals[number]) for number in range(1, bay.columns + 1))
    ends = {(bay.place(node), end) for node in jacks for end in prover.ends(plant, node)}
    return Seen(parts, _known(ends), bay.written)


def _known(ends: Iterable[tuple[object, str]]) -> frozenset[object]:
    """Nothing where every cable leads to what has no partner either: two strangers are no proof of each other."""
    listed = frozenset(ends)
    return listed if any(not end.startswith("?") for _, end in listed) else frozenset()


def _setups(prover: Prover, plant: Plant, names: Iterable[str]) -> dict[str, Seen]:
    found = {}
    for name in names:
        setup: PlacedSetup = plant.setups[name]
        cords = frozenset(
            frozenset((prover.read(plant, cord.a.node), prover.read(plant, cord.b.node)))
            for cord in setup.cords
            if min(cord.a.node, cord.b.node) >= 0
        )
        found[name] = Seen(cords, cords, setup.written)
    return found


def _without_partner(
    before: Mapping[str, object], after: Mapping[str, object], known: Mapping[str, str]
) -> tuple[list[str], list[str]]:
    taken = set(known.values())
    olds = [name for name in before if name not in after and name not in known]
    return olds, [name for name in after if name not in before and name not in taken]


# -- ports ---------------------------------------------------------------------------------------------------------------


def _ports(old: PlacedUnit, new: PlacedUnit, identity: Identity) -> None:
    """A port that is gone and one that came, of one unit: alike, the only ones so, with the same insides or called as their neighbours."""
    if old.kit is new.kit or old.kit.index.keys() == new.kit.index.keys():
        return
    known = identity.ports.get(new.id, {})
    olds, news = _without_partner(old.kit.index, new.kit.index, known)
    stems = {(_stem(a), _stem(b)) for a, b in known.items() if _number(a) == _number(b)}
    turns = {one: other for one, other in stems if sum(pair[0] == one or pair[1] == other for pair in stems) == 1}
    found = {
        name: other
        for name in olds
        if (other := turns.get(_stem(name), "\0") + _number(name)) in news and _alike(old.kit, name, new.kit, other)
    }
    marks = [
        _marks(kit, set(names) - set(done), names_as)
        for kit, names, done, names_as in (
            (old.kit, olds, found, {**known, **found}),
            (new.kit, news, found.values(), {}),
        )
    ]
    found |= {
        one[0]: marks[1][mark][0] for mark, one in marks[0].items() if len(one) == 1 == len(marks[1].get(mark, ()))
    }
    add_ports(
        identity, old, new, {name: other for name, other in found.items() if not _said(old, name, new, other)}, PROBABLE
    )


def _said(old: PlacedUnit, name: str, new: PlacedUnit, other: str) -> bool:
    """Whether the text says of either port what it was called: then it was not this."""
    return any(unit.kit.sockets[unit.kit.index[port]].written.was for unit, port in ((old, name), (new, other)))


def _stem(name: str) -> str:
    return name.rstrip("0123456789")


def _number(name: str) -> str:
    return name[len(_stem(name)) :]


def _alike(kit: Kit, name: str, other_kit: Kit, other: str) -> bool:
    one, two = kit.sockets[kit.index[name]], other_kit.sockets[other_kit.index[other]]
    return (one.direction, one.family, one.channels) == (two.direction, two.family, two.channels)


def _marks(kit: Kit, wanted: set[str], names: Mapping[str, str]) -> dict[object, list[str]]:
    """What is alike of ports -> their names: direction, family, channels, and what the insides at them lead to or from."""
    insides: dict[int, set[object]] = {}
    for branch in kit.branches:
        ends = (branch.source, branch.target, "to"), (branch.target, branch.source, "from")
        for here, there, way in ends:
            name = kit.sockets[there].name
            if name not in wanted:
                insides.setdefault(here, set()).add((names.get(name, name), way))
    found: dict[object, list[str]] = {}
    for name in sorted(wanted):
        index = kit.index[name]
        socket = kit.sockets[index]
        if index in insides:
            mark = (socket.direction, socket.family, socket.channels, frozenset(insides[index]))
            found.setdefault(mark, []).append(name)
    return found
