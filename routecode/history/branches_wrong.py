"""What is wrong with the joined wiring though the text joins: what neither side did, and what undoes the work of one.

Read from two comparisons, of each side with the joined wiring, so that it is said in the words of `change`. A path that one side
took away on purpose is not told; a path that both sides have, or that one side made, and that joining loses, is.
"""

from collections import defaultdict
from collections.abc import Iterator
from typing import NamedTuple

from attrs import frozen

from routecode.change.matched import AFTER
from routecode.change.needs import NeedChange, told_needs
from routecode.ground.finding import Finding, Severity
from routecode.ground.order import natural
from routecode.ground.place import At
from routecode.history.branches_kinds import (
    BACK,
    FOUND,
    GAINED,
    JOINED,
    LOST,
    NEED,
    OURS,
    THEIRS,
    TIED,
    TWICE,
    UNDONE,
    WRONG,
)
from routecode.history.branches_sides import Ends, Moved, Reading, Told

_TWICE = ("jack-wired-twice", "port-wired-twice", "cord-into-occupied", "cable-number-twice", "jack-reserved")
_TIED = ("outputs-tied", "inputs-joined", "output-meets-place")
_NEEDS = ("need-unmet", "need-never", "need-only")
"""Rules that say of a need what is told of it already."""

_SHOWN = 4
"""Paths that are named one by one."""
Place = tuple[str, At]
"""Whose text (`ours`, `theirs`, `joined`), and where in it."""


@frozen
class Wrong:
    """One thing that is wrong: `setups` are the states it is true of, `paths` the paths it is about, `side` whose work is undone."""

    kind: str
    text: str
    setups: tuple[str | None, ...] = ()
    paths: tuple[Ends, ...] = ()
    side: str | None = None
    finding: Finding | None = None
    places: tuple[Place, ...] = ()


class Onto(NamedTuple):
    """Both sides: what each did since they parted, and how the joined wiring differs from it."""

    ours: Reading
    theirs: Reading
    from_ours: Reading
    from_theirs: Reading


def wrongs(onto: Onto) -> list[Wrong]:
    """All of them, in the order of telling."""
    found = [*_findings(onto), *_needs(onto), *_paths(onto)]
    return sorted(found, key=lambda each: (WRONG.index(each.kind), each.side or "", natural(each.text)))


def notes(onto: Onto) -> int:
    """How many notes are new to both sides: they are counted and no fault."""
    return sum(1 for finding in _new(onto) if finding.severity is Severity.NOTE)


# -- findings and needs --------------------------------------------------------------------------------------------------


def _new(onto: Onto) -> list[Finding]:
    """Findings of the joined wiring that neither side has."""
    here, there = (_by_identity(reading) for reading in (onto.from_ours, onto.from_theirs))
    return [here[key] for key in here if key in there]


def _by_identity(reading: Reading) -> dict[object, Finding]:
    place, setup = reading.names
    return {
        (finding.rule, tuple(sorted(map(place, finding.at))), setup(finding.setup)): finding
        for finding in reading.difference.findings_new
    }


def _findings(onto: Onto) -> Iterator[Wrong]:
    same: dict[tuple[str, str], list[Finding]] = defaultdict(list)
    for finding in _new(onto):
        if finding.severity is not Severity.NOTE and finding.rule not in _NEEDS:
            same[finding.rule, finding.text].append(finding)
    for (rule, text), findings in same.items():
        kind = TWICE if rule in _TWICE else TIED if rule in _TIED else FOUND
        first = findings[0]
        places = [(JOINED, at) for at in (first.place, *(at for _, at in first.also)) if at is not None]
        setups = tuple(onto.from_ours.names.setups(finding.setup) for finding in findings)
        yield Wrong(kind, text, setups, finding=first, places=tuple(places))


def _needs(onto: Onto) -> Iterator[Wrong]:
    """Needs that fail now and failed on neither side."""
    there = {_need_key(need, onto.from_theirs) for need in onto.from_theirs.difference.needs if need.fails}
    reading = onto.from_ours
    failing = [need for need in reading.difference.needs if need.fails and _need_key(need, reading) in there]
    for text, needs in told_needs(failing, reading.difference.words):
        setups = tuple(sorted({reading.names.setups(need.setup) or "" for need in needs}))
        paths = tuple(sorted({(reading.channel(need.steps[0]), reading.channel(need.steps[-1])) for need in needs}))
        yield Wrong(NEED, text, setups, paths, places=tuple((JOINED, need.place) for need in needs))


def _need_key(need: NeedChange, reading: Reading) -> object:
    return (reading.names.setups(need.setup), tuple(map(reading.channel, need.steps)), need.never, need.only)


# -- paths ---------------------------------------------------------------------------------------------------------------


class _Odd(NamedTuple):
    """A path that is not as either side has it, in one state."""

    kind: str
    side: str | None
    ends: Ends


class _Row(NamedTuple):
    """Odd paths of one state, with the change that tells them and whose comparison it is of."""

    setup: str | None
    ends: frozenset[Ends]
    told: Told
    whose: str


def _paths(onto: Onto) -> list[Wrong]:
    """Paths that joining loses or makes by itself, told by the changes that hold them.

    What is on neither side is left out where one comparison is silent about it since it follows from a path that it tells.
    """
    found: dict[tuple[str, str | None, str], list[_Row]] = defaultdict(list)
    for setup in sorted(onto.from_ours.shared | onto.from_theirs.shared, key=lambda name: name or ""):
        odd = _odd(onto, setup)
        if not odd:
            continue
        sides = [(OURS, onto.from_ours), (THEIRS, onto.from_theirs)]
        changes = {whose: reading.told(setup) for whose, reading in sides if setup in reading.shared}
        said = [frozenset().union(*(told.lost | told.gained for told in each)) for each in changes.values()]
        odd = [one for one in odd if one.side is not None or not any(_follows(one.ends, each) for each in said)]
        for whose, reading in sides:
            for told in changes.get(whose, ()):
                own = [one for one in odd if one.side in (None, whose) and one.ends in told.lost | told.gained]
                for kind, side, text, ends in _sentences(told, own, reading):
                    found[kind, side, text].append(_Row(setup, ends, told, whose))
                odd = [one for one in odd if one not in own]
    return [_wrong(key, rows) for key, rows in found.items()]


def _follows(ends: Ends, said: frozenset[Ends]) -> bool:
    """Whether a path is part of the way of one that is told, or goes on from it."""
    return ends not in said and any(one[0] == ends[0] or one[1] == ends[1] for one in said)


def _sentences(told: Told, odd: list[_Odd], reading: Reading) -> Iterator[tuple[str, str | None, str, frozenset[Ends]]]:
    """(kind, side, sentence, paths): the change's own sentence once where all of it is odd, else each kind with its paths."""
    groups: dict[tuple[str, str | None], set[Ends]] = defaultdict(set)
    for one in odd:
        groups[one.kind, one.side].add(one.ends)
    ends = frozenset(one.ends for one in odd)
    if groups and told.lost | told.gained <= ends:
        kind, side = min(groups, key=lambda group: (WRONG.index(group[0]), group[1] or ""))
        yield kind, side, told.change.sentence, ends
        return
    for (kind, side), some in groups.items():
        yield kind, side, _listed(told, some, kind, reading), frozenset(some)


def _wrong(key: tuple[str, str | None, str], rows: list[_Row]) -> Wrong:
    kind, side, text = key
    ends = tuple(sorted(frozenset().union(*(row.ends for row in rows))))
    cause = rows[0].told.change.cause
    places = tuple((JOINED if where == AFTER else rows[0].whose, at) for where, at in cause)
    return Wrong(kind, text, tuple(row.setup for row in rows), ends, side, None, places)


def _listed(told: Told, ends: set[Ends], kind: str, reading: Reading) -> str:
    """Some paths of a change, one by one."""
    verb = "no longer reaches" if kind in (LOST, UNDONE) else "now reaches"
    pairs = (*told.change.lost, *told.change.gained)
    numbers = {reading.channel(number): number for pair in pairs for number in pair[:2]}
    label = reading.difference.words.channel
    listed = sorted((f"{label(numbers[a]).text} {verb} {label(numbers[b]).text}" for a, b in sorted(ends)), key=natural)
    more = f"; and {len(listed) - _SHOWN} more" if len(listed) > _SHOWN else ""
    return f"{'; '.join(listed[:_SHOWN])}{more}."


def _odd(onto: Onto, setup: str | None) -> list[_Odd]:
    """The paths of one state that are not as a side made or left them."""
    here, there = setup in onto.from_ours.shared, setup in onto.from_theirs.shared
    if here and there:
        one, other = onto.from_ours.states[setup], onto.from_theirs.states[setup]
        found = [_Odd(LOST, None, ends) for ends in one.lost & other.lost]
        found += [_Odd(GAINED, None, ends) for ends in one.gained & other.gained]
        for side, work, mine, its in ((OURS, onto.ours, one, other), (THEIRS, onto.theirs, other, one)):
            did = work.states.get(setup, Moved(frozenset(), frozenset()))
            found += [_Odd(UNDONE, side, ends) for ends in (mine.lost - its.lost) & did.gained]
            found += [_Odd(BACK, side, ends) for ends in (mine.gained - its.gained) & did.lost]
        return found
    side, reading, others = (OURS, onto.from_ours, onto.theirs) if here else (THEIRS, onto.from_theirs, onto.ours)
    found = [_Odd(UNDONE, side, ends) for ends in reading.states[setup].lost - others.anywhere.lost]
    return found + [_Odd(GAINED, None, ends) for ends in reading.states[setup].gained - others.anywhere.gained]
