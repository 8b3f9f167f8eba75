"""What of a difference goes beyond what the studio allows to change. The words for it are in `show`.

Judged are the changes of every state and, whether or not they change a path, the facts of the wiring that differ. Text (titles,
numbers, lengths, places in racks, this table itself) is no wiring and is not judged. Both sides' tables hold where they
differ, so that a rewiring cannot widen its own permission.
"""

import hashlib
from collections.abc import Iterable, Iterator
from functools import cached_property
from itertools import chain

from attrs import frozen

from routecode.change.allowed_places import PLACE_KEYS, Places
from routecode.change.changes import HARMS, LOSS, Change
from routecode.change.delta import ADDED, BOTH, StateDelta
from routecode.change.difference import IDENTICAL, TEXT_ONLY, Compared
from routecode.change.fact import Fact
from routecode.change.matched import AFTER, BEFORE, Matched
from routecode.change.settings import settings
from routecode.circuit.parts import PlacedSetup
from routecode.ground.place import At
from routecode.language.allowed import Allowed, AllowedChange
from routecode.language.checks import UNPATCHED

PLACE, SETUPS, KINDS, WORST, LOSE, OTHERS = "place", "setups", "kinds", "worst", "lose", "others"
RULES = (PLACE, SETUPS, KINDS, WORST, LOSE, OTHERS)
"""What can be gone beyond: the keys of the table, those that name places as one."""


@frozen(eq=False)
class Beyond:
    """One change of one state, or one fact of the wiring, that a rule of the table of one side does not allow.

    `print` is the id of the change or the fingerprint of the fact; `at` is where the rule stands on that side.
    """

    rule: str
    side: str
    at: At
    setup: str | None
    print: str
    change: Change | None = None
    fact: Fact | None = None


@frozen
class Awaited:
    """A listed change that is not there."""

    side: str
    written: AllowedChange


@frozen(eq=False)
class Judged:
    """What went beyond, what was expected and is not there, and whether the table itself differs.

    `tables`: the tables that hold, by side; one where both are alike. `listed`: how many changes they list.
    """

    before: Allowed | None = None
    after: Allowed | None = None
    tables: tuple[tuple[str, Allowed], ...] = ()
    beyond: tuple[Beyond, ...] = ()
    awaited: tuple[Awaited, ...] = ()
    listed: int = 0

    @property
    def differs(self) -> bool:
        """Whether the two sides allow otherwise."""
        return self.before != self.after

    def shown(self, setup: str | None, one: bool) -> tuple[Beyond, ...]:
        """What goes beyond in all states; with `one` in the state `setup`, with the fixed wiring."""
        return tuple(
            each
            for each in self.beyond
            if not one or each.setup == setup or (each.setup is None and each.fact is not None)
        )


def judged(compared: Compared) -> Judged:
    """The difference laid against the tables of both sides."""
    before, after = (plant.studio.allowed for plant in (compared.matched.before, compared.matched.after))
    if (before is None and after is None) or compared.result == IDENTICAL:
        return Judged()
    tables = [(side, table) for side, table in ((BEFORE, before), (AFTER, after)) if table is not None]
    if before == after or (before is not None and after is None):
        tables = tables[-1:]
    judges = [_Judge(compared, side, table, before) for side, table in tables]
    awaited = () if compared.result == TEXT_ONLY else _awaited(compared, tables)
    listed = {change.id for _, table in tables for change in table.change}
    return Judged(
        before, after, tuple(tables), tuple(chain(*(judge.run() for judge in judges))), tuple(awaited), len(listed)
    )


def _awaited(compared: Compared, tables: list[tuple[str, Allowed]]) -> Iterator[Awaited]:
    told = {change.id for changes in compared.changes.values() for change in changes}
    for side, table in tables:
        for written in table.change:
            if written.id not in told:
                told.add(written.id or "")
                yield Awaited(side, written)


def wiring_of(compared: Compared) -> list[Fact]:
    """All facts that differ, those of setups that only one side has too."""
    return [*compared.facts, *chain(*(_alone(compared.matched, delta) for delta in compared.states))]


def _alone(matched: Matched, delta: StateDelta) -> Iterator[Fact]:
    """What a setup holds that only one side has."""
    view = delta.after if delta.presence == ADDED else delta.before
    if delta.presence == BOTH or view is None or view.state.placed is None or delta.setup is None:
        return
    empty = PlacedSetup(delta.setup, view.state.placed.written)
    old, new = (empty, view.state.placed) if delta.presence == ADDED else (view.state.placed, empty)
    yield from settings(matched, old, new)


def fingerprint(fact: Fact, matched: Matched) -> str:
    """Twelve digits made of the names and values of a fact and of nothing else: they survive unrelated commits."""
    key = tuple(part for part in fact.key if isinstance(part, str))
    ends: list[str] = []
    if fact.kind in ("cable", "mult", "cord", "plug"):
        ends = sorted(matched.node_name(part) for part in fact.key if isinstance(part, int))
    elif fact.kind == "normal":
        ends = list(map(matched.node_name, fact.key))
    elif fact.kind == "route":
        ends = list(map(matched.channel_name, fact.key))
    else:
        key = fact.key
    parts = (fact.kind, key, tuple(ends), fact.before, fact.after, fact.setup)
    return hashlib.sha256(repr(parts).encode()).hexdigest()[:12]


class _Judge:
    """Judges by the table of one side."""

    def __init__(self, compared: Compared, side: str, table: Allowed, before: Allowed | None) -> None:
        self.compared = compared
        self.side = side
        self.table = table
        self.places = Places(compared.matched, side, table, before)
        self.listed = {change.id for change in table.change}
        names = compared.matched.identity.setups if side == BEFORE else {}
        self.setups = None if table.setups is None else {names.get(name, name) for name in table.setups}

    @cached_property
    def others(self) -> bool:
        """Whether what is not listed may come."""
        table = self.table
        if table.others is not None:
            return table.others
        lists = bool(table.change) or table.wiring is not None
        rules = (*(getattr(table, key) for key in PLACE_KEYS), table.setups, table.kinds, table.worst)
        return not lists or not table.lose or any(rule is not None for rule in rules)

    def run(self) -> Iterator[Beyond]:
        """All that is beyond, changes first."""
        for setup, changes in self.compared.changes.items():
            for change in changes:
                for rule in self._change(change, setup) if change.id not in self.listed else ():
                    yield Beyond(rule, self.side, self._at(rule), setup, change.id, change)
        known = set(self.table.wiring or ())
        for fact in wiring_of(self.compared):
            print_ = fingerprint(fact, self.compared.matched)
            if print_ not in known and not (self.table.wiring is None and self._expected(fact)):
                for rule in self._fact(fact):
                    yield Beyond(rule, self.side, self._at(rule), fact.setup, print_, fact=fact)

    def _at(self, rule: str) -> At:
        if rule == PLACE:
            return self.table.where(next(key for key in PLACE_KEYS if getattr(self.table, key) is not None))
        if rule == OTHERS and self.table.others is None:
            return self.table.place
        return self.table.where(rule)

    def _change(self, change: Change, setup: str | None) -> Iterator[str]:
        """The rules that a change of one state breaks."""
        table = self.table
        if not self.others:
            yield OTHERS
            return
        if not self.places.all and not self.places.change(change):
            yield PLACE
        if self.setups is not None and (setup or UNPATCHED) not in self.setups:
            yield SETUPS
        if table.kinds is not None and change.kind not in table.kinds:
            yield KINDS
        if table.worst is not None and HARMS.index(change.harm) < HARMS.index(table.worst):
            yield WORST
        if not table.lose and (change.harm == LOSS or any(not pair.idle for pair in change.lost)):
            yield LOSE

    def _fact(self, fact: Fact) -> Iterator[str]:
        """The rules that a fact of the wiring breaks, whatever it does to paths."""
        if not self.others:
            yield OTHERS
            return
        if not self.places.all and not self.places.fact(fact):
            yield PLACE
        if self.setups is not None and (fact.setup or UNPATCHED) not in self.setups:
            yield SETUPS

    def _expected(self, fact: Fact) -> bool:
        """Whether it is what makes a listed change; a table with fingerprints says so itself."""
        edit = self.compared.causes.edit_of.get(id(fact))
        return edit in self._edits if edit is not None else fact.setup in self._new_setups

    @cached_property
    def _edits(self) -> frozenset[int]:
        """The edits that cause listed changes."""
        return frozenset(chain(*(change.edits for change in self._expected_changes)))

    @cached_property
    def _new_setups(self) -> frozenset[str]:
        """Setups that only one side has, listed as such."""
        return frozenset(change.subjects[0] for change in self._expected_changes if change.kind == "setup")

    @property
    def _expected_changes(self) -> Iterable[Change]:
        every = chain(*self.compared.changes.values())
        return [change for change in every if change.id in self.listed]
