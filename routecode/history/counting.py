"""What differs between two revisions, counted and put into one line: paths over all states, needs, findings, and what is touched.

A path is counted once however many states lose it. Setups that are new or gone are told as such: their paths are not counted. What a
change is, and how it is said, is decided in `change`.
"""

from collections import Counter
from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import Any

from routecode.change.changes import HARMS, LOSS, Change, changes_of, order_of
from routecode.change.claims import GONE
from routecode.change.counts import Counts
from routecode.change.delta import BOTH, Measure, StateDelta
from routecode.change.difference import IDENTICAL, TEXT_ONLY, Difference
from routecode.change.needs import need_sentences
from routecode.circuit.plant import Plant
from routecode.ground.finding import Finding, Severity
from routecode.ground.order import natural
from routecode.studio.opened import Opened

ONLY_TEXT = "Only text: the wiring is the same."
MOST_SAID = 3
"""Sentences that are kept of an entry."""
MOST_FOUND = 5
"""Findings that are kept in words."""
SORTS = ("room", "unit", "bay", "setup")
PAIRED = ("lost", "gained", "redirected", "exchanged", "split", "rerouted")
"""Kinds that are told by how many paths they are of; the others by how many changes."""
Pairs = set[tuple[int, int]]


def first_of(after: Opened) -> dict[str, Any]:
    """What a revision holds that has none before it, as fields of an entry."""
    circuit = after.circuit
    assert circuit is not None
    plant, paths = circuit.plant, circuit.flow(None).count()
    told = [_counted(len(plant.units), "unit"), _counted(len(plant.bays), "bay"), _counted(paths, "path")]
    findings = _findings(after.report.findings)
    bad = sum(findings[0].values()) - findings[0]["note"]
    meaning = f"Begins with {told[0]}, {told[1]} and {told[2]}." + (f" {_counted(bad, 'finding')}." if bad else "")
    return {
        "meaning": meaning,
        "new": findings,
        "rooms": _sorted(plant.studio.room),
        "units": _sorted(plant.units),
        "bays": _sorted(plant.bays),
        "setups": _sorted(plant.setups),
    }


def count(before: Opened, after: Opened) -> dict[str, Any]:
    """What differs, as fields of an entry."""
    return _Counting(Light(before, after)).fields()


class Uncounted(Counts):
    """Counts nothing: how many paths were compared is not told here, and costs more than all the rest."""

    def of(self, setup: str | None) -> int:  # noqa: ARG002 (the signature is that of the base)
        """Always 0."""
        return 0


class Light(Difference):
    """The same difference without what a history does not tell: how many paths were compared, and the proofs of the causes."""

    @cached_property
    def states(self) -> tuple[StateDelta, ...]:
        """The raw sets, as ever; `compared` is too low."""
        measure = Measure(self.before, self.after, self.matched, self.facts)
        measure.counts = Uncounted(self.after)
        return tuple(measure.states())

    @cached_property
    def changes(self) -> dict[str | None, tuple[Change, ...]]:
        """The changes of every state; their causes are not reduced."""
        moved = self.moves
        found = {delta.setup: changes_of(delta, self.causes, self.words, moved, _as_it_is) for delta in self.states}
        for setup, more in self.figured.items():
            if more:
                found[setup] = tuple(sorted((*found[setup], *more), key=order_of))
        return found


def _as_it_is(change: Change, _setup: str | None) -> Change:
    return change


class _Counting:
    def __init__(self, difference: Difference) -> None:
        self.difference = difference
        self.changes = list(told_changes(difference))
        self.needs = difference.needs
        self.asked = asked_otherwise(difference)
        self.new, self.gone = _findings(difference.findings_new), _findings(difference.findings_gone)

    def fields(self) -> dict[str, Any]:
        """The fields of the entry."""
        paths = self._paths()
        others = Counter((one.kind, one.sense or "") for one in self.changes if one.kind not in PAIRED)
        failing, met = sum(one.fails for one in self.needs), sum(one.mended for one in self.needs)
        said = self._said()
        quiet = self.difference.result in (IDENTICAL, TEXT_ONLY)
        only_text = quiet and not said and not any((*self.new[0].values(), *self.gone[0].values()))
        lost = {pair[:2] for one in self.changes if one.kind != "setup" for pair in one.lost}
        gained = {pair[:2] for one in self.changes if one.kind != "setup" for pair in one.gained}
        return {
            "result": self.difference.result,
            "lost": len(lost),
            "gained": len(gained),
            "rerouted": paths["rerouted"],
            "others": tuple(sorted((kind, sense, number) for (kind, sense), number in others.items())),
            "failing": failing,
            "met": met,
            "new": self.new,
            "gone": self.gone,
            "meaning": ONLY_TEXT if only_text else self._meaning(paths, others, failing, met),
            "said": tuple(said[:MOST_SAID]),
            "loses": failing > 0 or any(one.harm == LOSS for one in self.changes),
            "only_text": only_text,
            "renamed": tuple(each[:3] for each in self.difference.renamed if each.kind in SORTS),
            **self._touched(),
        }

    def _paths(self) -> dict[str, int]:
        """How many paths each kind is of; a split that is gone has lost them."""
        found: dict[str, Pairs] = {kind: set() for kind in PAIRED}
        for one in self.changes:
            if one.kind == "rerouted":
                turns = (turn for claim in one.claims for turn in claim.turns)
                found[one.kind].update((start, end) for turn in turns for start in turn.sources for end in turn.now)
            elif one.kind in PAIRED:
                kind = "lost" if one.kind == "split" and one.sense == GONE else one.kind
                found[kind].update(pair[:2] for pair in (one.gained or one.lost))
        return {kind: len(pairs) for kind, pairs in found.items()}

    def _said(self) -> list[str]:
        """What matters most in words: needs that fail, changes from the worst, guesses, cabling, equipment, jacks."""
        difference = self.difference
        heads = [one.sentence for one in self.changes if one.under is None]
        needs = need_sentences([need for need in self.needs if need.after is False], difference.words)
        lists = (difference.guessed, difference.equipment, difference.cabling)
        said = [*needs, *heads, *(line for lines in lists for line in lines)]
        if not said:
            said = [f"{row.jacks}: {row.now}. Before: {row.was}." for row in difference.jacks]
        return list(dict.fromkeys([*(said or difference.besides()), *self.asked]))

    def _meaning(self, paths: dict[str, int], others: Counter[tuple[str, str]], failing: int, met: int) -> str:
        told = [f"{number:,} {kind}" for kind, number in paths.items() if number]
        if told:
            first, _, rest = told[0].partition(" ")
            told[0] = f"{first} path{'s' if first != '1' else ''} {rest}"
        told += [_other(kind, sense, number) for (kind, sense), number in sorted(others.items())]
        parts = [", ".join(told) if told else "no path changed"]
        parts += [f"{_counted(failing, 'need')} now fail{'s' if failing == 1 else ''}"] if failing else []
        parts += [f"{_counted(met, 'need')} met again"] if met else []
        parts += list(self._asked_told())
        parts += list(self._findings_told())
        text = "; ".join(parts)
        return f"{text[:1].upper()}{text[1:]}."

    def _asked_told(self) -> Iterator[str]:
        """`2 needs new, 1 need gone`: of setups that were there and are there; those that fail are told as such."""
        asked = self.difference.asked
        counts = ((sum(one.after is True for one in asked), "new"), (sum(one.gone for one in asked), "gone"))
        each = [f"{_counted(number, 'need')} {word}" for number, word in counts if number]
        if each:
            yield ", ".join(each)

    def _findings_told(self) -> Iterator[str]:
        """`1 hazard new, 2 warnings gone`; notes are not told here."""
        each = [
            f"{_counted(counts[level.value], level.value)} {word}"
            for (counts, _), word in ((self.new, "new"), (self.gone, "gone"))
            for level in Severity
            if level is not Severity.NOTE and counts[level.value]
        ]
        if each:
            yield ", ".join(each)

    # -- what is touched ------------------------------------------------------------------------------------------------

    def _touched(self) -> dict[str, tuple[str, ...]]:
        difference, identity = self.difference, self.difference.identity
        names = set(self._names())
        setups = set(self._setups())
        backs = {new: old for olds in (identity.units, identity.bays) for old, new in olds.items()}
        names |= {backs[name] for name in names if name in backs}
        setups |= {old for old, new in identity.setups.items() if new in setups}
        plants = (difference.matched.before, difference.matched.after)
        return {
            "rooms": _sorted({room for plant in plants for name in names for room in room_of(plant, name)}),
            "units": _sorted({name for plant in plants for name in names if name in plant.units}),
            "bays": _sorted({name for plant in plants for name in names if name in plant.bays}),
            "setups": _sorted(setups),
        }

    def _names(self) -> Iterator[str]:
        """Ids of units and bays, as they read after."""
        difference = self.difference
        for one in self.changes:
            yield from one.names
        for fact in difference.facts:
            yield from (self._head(node) for node in fact.nodes if self._named(node))
            yield from (fact.key[:1] if fact.kind in ("unit", "bay") else ())
        for listed in (*difference.things, *difference.cables):
            yield from listed.units
            yield from (self._head(node) for joint in listed.joints for node in joint)
        for finding in (*difference.findings_new, *difference.findings_gone):
            yield from (difference.identity.read(name).partition("/")[0] for name in finding.at)
        yield from (one.after.partition("/")[0] for one in difference.renamed)

    def _head(self, node: int) -> str:
        """The unit or bay of a port or jack."""
        return self.difference.matched.node_name(node).partition("/")[0]

    def _named(self, node: int) -> bool:
        return self.difference.matched.is_port(node) or self.difference.matched.is_jack(node)

    def _setups(self) -> Iterator[str]:
        """Setups that differ themselves, or in which something is told that is not true unpatched."""
        difference = self.difference
        fixed = {(one.id, one.sentence) for one in difference.changes[None]}
        for delta in difference.states:
            if delta.setup is None:
                continue
            own = any((one.id, one.sentence) not in fixed for one in difference.changes[delta.setup])
            if own or delta.presence != BOTH or any(fact.setup == delta.setup for fact in difference.facts):
                yield delta.setup
        yield from (need.setup for need in (*self.needs, *difference.asked))
        for finding in (*difference.findings_new, *difference.findings_gone):
            if finding.setup is not None:
                yield difference.identity.setups.get(finding.setup, finding.setup)


def asked_otherwise(difference: Difference) -> list[str]:
    """What the studio asks of itself otherwise, in sentences: needs of setups that both sides have (but those that fail), and acceptances."""
    said = need_sentences([need for need in difference.asked if need.after is not False], difference.words)
    old, new = (plant.studio for plant in (difference.matched.before, difference.matched.after))
    accepted = [{(one.rule, one.at, one.setup, one.until) for one in studio.accept} for studio in (old, new)]
    if accepted[0] != accepted[1]:
        said.append(f"Accepted findings: {_more_and_fewer(*accepted)}.")
    return said


def _more_and_fewer(before: set[Any], after: set[Any]) -> str:
    told = [f"{len(found)} {word}" for found, word in ((after - before, "new"), (before - after, "gone")) if found]
    return " and ".join(told)


def told_changes(difference: Difference) -> Iterator[Change]:
    """Every change once over all states, worst first."""
    found: dict[tuple[str, str], Change] = {}
    for changes in difference.changes.values():
        for one in changes:
            found.setdefault((one.id, one.sentence), one)
    yield from sorted(found.values(), key=lambda one: HARMS.index(one.harm))


def room_of(plant: Plant, name: str) -> Iterator[str]:
    """The room that a unit or bay stands in, where it is said."""
    placed = plant.units.get(name) or plant.bays.get(name)
    if placed is None:
        return
    rack = plant.studio.rack.get(placed.written.rack or "")
    room = (rack.room if rack is not None else None) or placed.written.room
    if room is not None:
        yield room


def _findings(findings: Iterable[Finding]) -> tuple[dict[str, int], tuple[str, ...]]:
    """How many there are of each severity, and the worst few in words."""
    listed = sorted(findings, key=lambda one: (one.severity.rank, one.rule, one.at, one.setup or ""))
    counts = Counter(one.severity.value for one in listed)
    told = tuple(
        f"{one.severity.value}: {one.text}{f' (in setup {one.setup})' if one.setup else ''}"
        for one in listed[:MOST_FOUND]
        if one.severity is not Severity.NOTE
    )
    return {severity.value: counts[severity.value] for severity in Severity}, told


_WORDS = {
    "feedback": ("feedback", "feedbacks"),
    "tied": ("joint of two signals", "joints of two signals"),
    "altered": ("level altered", "levels altered"),
    "phantom": ("change of phantom power", "changes of phantom power"),
    "moved": ("move of columns", "moves of columns"),
    "setup": ("setup", "setups"),
}


def _other(kind: str, sense: str, number: int) -> str:
    """`1 setup new`, `2 levels altered`."""
    words = _WORDS.get(kind, (kind, kind))[number != 1]
    return f"{number} {words}{f' {sense}' if sense and kind not in ('altered', 'moved') else ''}"


def _counted(number: int, word: str) -> str:
    return f"{number:,} {word}{'' if number == 1 else 's'}"


def _sorted(names: Iterable[str]) -> tuple[str, ...]:
    return tuple(sorted(names, key=natural))
