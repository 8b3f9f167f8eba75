"""What both sides did to the same path, jack or unit since they parted: each side's own change, in the words of `change`."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from attrs import frozen

from routecode.change.besides import besides
from routecode.change.changes import Change
from routecode.change.fact import Fact
from routecode.ground.order import natural
from routecode.history.branches_kinds import BOTH, JACK, PATH, UNIT
from routecode.history.branches_sides import Reading

_WHOLE = ("unit", "bay", "port", "inside", "switch", "position")
"""Kinds of fact that are of a unit or bay and not of a jack or port."""
_QUIET = ("moved", "setup")
"""Kinds of change that are of no path."""


@frozen
class Shared:
    """What both sides touched: `names` (channels, jacks and ports, or units and bays); what each side did; whether it is the same."""

    kind: str
    names: tuple[str, ...]
    ours: tuple[str, ...]
    theirs: tuple[str, ...]
    setups: tuple[str | None, ...] = ()

    @property
    def alike(self) -> bool:
        """Whether both sides did the same."""
        return self.ours == self.theirs


def shared(ours: Reading, theirs: Reading) -> list[Shared]:
    """All of it, in the order of telling."""
    found = [*_paths(ours, theirs), *_jacks(ours, theirs), *_units(ours, theirs)]
    return sorted(found, key=lambda each: (BOTH.index(each.kind), natural(each.names[0]), each.ours, each.theirs))


# -- paths ---------------------------------------------------------------------------------------------------------------


class _Touched(NamedTuple):
    """A change with the ends it touches: (`from` or `to`, channel)."""

    change: Change
    ends: frozenset[tuple[str, str]]


def _paths(ours: Reading, theirs: Reading) -> Iterator[Shared]:
    """Pairs of changes, one of each side, that touch the path from one source or to one destination."""
    found: dict[tuple[str, str], list[tuple[str | None, frozenset[str]]]] = defaultdict(list)
    for setup in sorted(ours.shared & theirs.shared, key=lambda name: name or ""):
        at: dict[tuple[str, str], list[Change]] = defaultdict(list)
        for touched in _touched(theirs, setup):
            for end in touched.ends:
                at[end].append(touched.change)
        for mine in _touched(ours, setup):
            for its in {id(change): change for end in mine.ends for change in at.get(end, ())}.values():
                ends = frozenset(channel for way, channel in mine.ends if its in at.get((way, channel), ()))
                found[mine.change.sentence, its.sentence].append((setup, ends))
    for (one, other), rows in found.items():
        names = frozenset().union(*(ends for _, ends in rows))
        yield Shared(PATH, tuple(sorted(names, key=natural)), (one,), (other,), tuple(setup for setup, _ in rows))


def _touched(reading: Reading, setup: str | None) -> Iterator[_Touched]:
    place = reading.names.places
    for _, change, lost, gained in reading.told(setup):
        if change.kind in _QUIET:
            continue
        pairs = lost | gained
        ends = {(way, name) for pair in pairs for way, name in zip(("from", "to"), pair, strict=True)}
        if not pairs:
            ends = {("from", place(name)) for name in change.subjects} | {
                ("to", place(name)) for name in change.channels
            }
        yield _Touched(change, frozenset(ends))


# -- jacks and units -----------------------------------------------------------------------------------------------------


def _jacks(ours: Reading, theirs: Reading) -> Iterator[Shared]:
    """Jacks and ports at which both sides changed a cable, normal, mult, cord, plug or route; those of the same edits together."""
    here, there = _facts_at(ours), _facts_at(theirs)
    groups: dict[tuple[int, int], list[str]] = defaultdict(list)
    for name in here.keys() & there.keys():
        edits = (
            reading.difference.causes.edit_of[id(facts[name][0])] for reading, facts in ((ours, here), (theirs, there))
        )
        one, other = edits
        groups[one, other].append(name)
    for names in groups.values():
        said = (
            _said(reading, (fact for name in names for fact in facts[name]))
            for reading, facts in ((ours, here), (theirs, there))
        )
        one_said, other_said = said
        yield Shared(JACK, tuple(sorted(names, key=natural)), one_said, other_said)


def _facts_at(reading: Reading) -> dict[str, list[Fact]]:
    found: dict[str, list[Fact]] = defaultdict(list)
    matched = reading.difference.matched
    for fact in reading.difference.facts:
        if fact.kind not in _WHOLE:
            for node in set(fact.nodes):
                if matched.is_port(node) or matched.is_jack(node):
                    found[reading.node(node)].append(fact)
    return found


def _units(ours: Reading, theirs: Reading) -> Iterator[Shared]:
    """Units and bays that both sides changed themselves: added, moved, renamed, or with other ports, insides or switches."""
    here, there = _of_units(ours), _of_units(theirs)
    for name in sorted(here.keys() & there.keys(), key=natural):
        yield Shared(UNIT, (name,), here[name], there[name])


def _of_units(reading: Reading) -> dict[str, tuple[str, ...]]:
    place, difference = reading.names.places, reading.difference
    facts: dict[str, list[Fact]] = defaultdict(list)
    said: dict[str, list[str]] = defaultdict(list)
    for fact in difference.facts:
        if fact.kind in _WHOLE:
            facts[place(fact.key[-2] if fact.kind == "position" else fact.key[0])].append(fact)
    for listed in difference.things:
        for unit in listed.units:
            said[place(unit)].append(listed.text)
    for name, found in facts.items():
        said[name] += _said(reading, (fact for fact in found if fact.kind not in ("unit", "bay") or not said.get(name)))
    return {name: tuple(dict.fromkeys(texts)) for name, texts in said.items() if texts}


def _said(reading: Reading, facts: Iterable[Fact]) -> tuple[str, ...]:
    distinct = {id(fact): fact for fact in facts}.values()
    return tuple(besides(distinct, reading.difference.words, every=True))
