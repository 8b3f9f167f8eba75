"""What in the text caused a change: differing facts, tied together to edits, and the edits that a change rests on.

An edit is a connected set of differing facts that share a key, a source statement on one side, or a jack or port. Whether
an edit alone makes the change is shown by replaying it (`replay`); without that the cause is `not reduced`.
"""

from collections import defaultdict
from collections.abc import Iterable
from functools import cached_property

from attrs import define, field, frozen

from routecode.change.claims import Claim
from routecode.change.fact import Fact
from routecode.change.frontier import Break
from routecode.change.matched import Matched
from routecode.change.view import View
from routecode.ground.place import At

Placed = tuple[str, At]
"""Side and place."""


@frozen(eq=False)
class Edit:
    """Facts that belong together; `number` is its place in canonical order (side, file, position in the file)."""

    number: int
    facts: tuple[Fact, ...]


@frozen(eq=False)
class Cause:
    """Edits, with the place of the nearest fact of each."""

    edits: frozenset[int]
    places: tuple[Placed, ...]


@define(slots=False)
class Causes:
    """All differing facts of two sides, by what they touch."""

    matched: Matched
    facts: list[Fact]
    _causes: dict[Claim, Cause] = field(factory=dict, init=False)

    @cached_property
    def edits(self) -> tuple[Edit, ...]:
        """The connected sets of facts, in canonical order."""
        sets = sorted(
            (sorted(group, key=_order) for group in _connected(self.facts)), key=lambda group: _order(group[0])
        )
        return tuple(Edit(number, tuple(group)) for number, group in enumerate(sets))

    @cached_property
    def edit_of(self) -> dict[int, int]:
        """`id` of a fact -> number of its edit."""
        return {id(fact): edit.number for edit in self.edits for fact in edit.facts}

    @cached_property
    def at_node(self) -> dict[int, list[Fact]]:
        """Shared node -> facts that touch it."""
        found: dict[int, list[Fact]] = defaultdict(list)
        for fact in self.facts:
            for node in set(fact.nodes):
                found[node].append(fact)
        return found

    def edits_of(self, setup: str | None) -> list[int]:
        """The edits with any fact that holds in a state."""
        return [edit.number for edit in self.edits if any(fact.setup in (None, setup) for fact in edit.facts)]

    def sort_of(self, edits: frozenset[int]) -> object:
        """What edits of one sort have in common: the kinds of their facts, on which sides they are, in which state."""
        return frozenset(self._sorts[edit] for edit in edits)

    @cached_property
    def _sorts(self) -> list[object]:
        return [
            frozenset((fact.kind, fact.before is None, fact.after is None, fact.setup) for fact in edit.facts)
            for edit in self.edits
        ]

    def of(self, claim: Claim, setup: str | None, before: View, after: View) -> Cause:
        """The edits nearest to where the ways of a claim (of this state) break off or begin."""
        cause = self._causes.get(claim)
        if cause is None:
            cause = self._causes[claim] = self._of(claim, setup, before, after)
        return cause

    def _of(self, claim: Claim, setup: str | None, before: View, after: View) -> Cause:
        found: dict[int, Fact] = {}
        for brk, view in [*((one, before) for one in claim.breaks), *((one, after) for one in claim.makes)]:
            for fact in self._near(brk, view, setup):
                edit = self.edit_of[id(fact)]
                if edit not in found or (found[edit].after_at is None and fact.after_at is not None):
                    found[edit] = fact
        if not found:
            found = self._touching(claim, setup, before, after)
        return Cause(frozenset(found), tuple(found[number].place for number in sorted(found)))

    def at(self, nodes: Iterable[int], setup: str | None) -> Cause:
        """The edits that touch some nodes."""
        facts = [fact for node in nodes for fact in self.at_node.get(node, ()) if fact.setup in (None, setup)]
        found: dict[int, Fact] = {}
        for fact in sorted(facts, key=_nearest):
            found.setdefault(self.edit_of[id(fact)], fact)
        return Cause(frozenset(found), tuple(found[number].place for number in sorted(found)))

    def _near(self, found: Break, view: View, setup: str | None) -> list[Fact]:
        ends = [node for node in (found.at, found.beyond) if node >= 0]
        if not ends:
            ends = [view.vertex_node(vertex) for vertex in found.edge]
        facts = [fact for node in ends for fact in self.at_node.get(node, ()) if fact.setup in (None, setup)]
        joint = [fact for fact in facts if all(end in fact.nodes for end in ends)]
        return _distinct(sorted(joint or facts, key=_nearest))

    def _touching(self, claim: Claim, setup: str | None, before: View, after: View) -> dict[int, Fact]:
        """Facts on the nets of the ends of a claim; where none is, every fact of the state."""
        channels = {channel for turn in claim.turns for channel in (*turn.sources, *turn.was, *turn.now)}
        nodes: set[int] = set()
        for view in (before, after):
            for channel in channels:
                node = self.matched.channel_node(channel)
                net = view.net(node)
                nodes.add(node)
                nodes.update(
                    view.matched.shared_node(view.side, other) for other in (net.nodes if net is not None else ())
                )
        facts = [fact for node in sorted(nodes) for fact in self.at_node.get(node, ()) if fact.setup in (None, setup)]
        facts = facts or [fact for fact in self.facts if fact.setup in (None, setup)]
        found: dict[int, Fact] = {}
        for fact in sorted(facts, key=_nearest):
            found.setdefault(self.edit_of[id(fact)], fact)
        return found


def _distinct(facts: Iterable[Fact]) -> list[Fact]:
    return list({id(fact): fact for fact in facts}.values())


def _nearest(fact: Fact) -> tuple[object, ...]:
    """What a reader can still see comes first."""
    return (fact.after_at is None, *_order(fact))


def _order(fact: Fact) -> tuple[str, tuple[tuple[int, str], ...], str, str]:
    side, at = fact.place
    return (
        at.file,
        tuple((1, f"{step:09}") if isinstance(step, int) else (0, step) for step in at.path),
        side,
        repr((fact.kind, fact.key)),
    )


def _connected(facts: list[Fact]) -> list[list[Fact]]:
    """Facts joined by a shared node, key or statement, directly or through others."""
    parent = list(range(len(facts)))

    def root(number: int) -> int:
        while parent[number] != number:
            parent[number] = parent[parent[number]]
            number = parent[number]
        return number

    first: dict[object, int] = {}
    for number, fact in enumerate(facts):
        for mark in _marks(fact):
            other = first.setdefault(mark, number)
            parent[root(number)] = root(other)
    groups: dict[int, list[Fact]] = defaultdict(list)
    for number, fact in enumerate(facts):
        groups[root(number)].append(fact)
    return list(groups.values())


def _marks(fact: Fact) -> Iterable[object]:
    """What ties a fact to others. A switch or a whole unit touches many ports; its own name ties it."""
    if fact.kind in ("switch", "position"):
        yield fact.kind, fact.key[-2:]
    else:
        yield from fact.nodes
    for side, at in (("before", fact.before_at), ("after", fact.after_at)):
        if at is not None:
            yield side, statement(at)


def statement(at: At) -> tuple[object, ...]:
    """The table a key stands in."""
    path = at.path
    while path and not isinstance(path[-1], int) and len(path) > 2:
        path = path[:-1]
    return (at.file, *path)
