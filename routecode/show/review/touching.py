"""Which places a sentence is of: the ports and jacks on its ways, and the joints between them, by the names that pictures use.

What is pointed at on the page lights these. It is a help for the eye and no answer: where a change has very many ways, the
first ones are followed (MOST_SOURCES).
"""

import itertools
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping

from attrs import define, field

from routecode.change.changes import Change
from routecode.change.delta import StateDelta
from routecode.change.difference import Difference
from routecode.change.matched import AFTER, BEFORE
from routecode.change.needs import NeedChange
from routecode.change.records import Listed
from routecode.change.view import View, nodes_between
from routecode.ground.finding import Finding
from routecode.show.drawing.compare import renamed

MOST_SOURCES = 200
"""Sources of one change whose ways are followed."""


@define
class Touched:
    """Names of ports and jacks, pairs of them that are joined (sorted), and ids of units that are meant as a whole."""

    names: set[str] = field(factory=set)
    joints: set[tuple[str, str]] = field(factory=set)
    units: set[str] = field(factory=set)


class Toucher:
    """Finds the places of changes, needs, findings and jacks of one difference."""

    def __init__(self, difference: Difference) -> None:
        self.difference = difference
        self.matched = difference.matched
        self.called: Mapping[str, str] = renamed(difference.before, difference.after, guessing=difference.guessing)
        self._between: dict[tuple[str, str | None, int, int], list[int]] = {}

    def change(self, change: Change, setup: str | None) -> Touched:
        """The places of a change in a state that shows it."""
        delta = self._delta(setup)
        found = Touched()
        if change.kind == "moved":
            self._named(change.subjects, found)
        elif change.kind == "setup":
            self._cords(delta, found)
        else:
            for view, pairs in ((delta.before, _was(change)), (delta.after, _now(change))):
                if view is not None:
                    self._ways(view, pairs, found)
                    self._circles(view, change, found)
        for claim in change.claims:
            ends = (node for one in (*claim.breaks, *claim.makes) for node in (one.at, one.beyond) if node >= 0)
            self._nodes(ends, found)
        return found

    def needs(self, needs: Iterable[NeedChange]) -> Touched:
        """The places of needs: their ways where there are any, else the places they name."""
        found = Touched()
        for need in needs:
            delta = self._delta(need.setup)
            self._nodes((self.matched.channel_node(step) for step in need.steps), found)
            view = delta.after if need.after else delta.before
            if view is not None:
                for near, far in itertools.pairwise(need.steps):
                    self._way(view, (2 * near, 2 * near + 1), (2 * far,), found)
        return found

    def finding(self, finding: Finding, side: str) -> Touched:
        """The places that a finding names."""
        found = Touched()
        names = finding.at if side == AFTER else tuple(map(self._as_drawn, finding.at))
        self._named(names, found)
        return found

    def listed(self, line: Listed) -> Touched:
        """The cables, or the units and bays, of a line of a list."""
        found = Touched(units=set(line.units))
        for near, far in line.joints:
            self._nodes((near, far), found)
            self._joint(near, far, found)
        return found

    def nodes(self, nodes: Iterable[int]) -> Touched:
        """Some ports and jacks by their shared numbers."""
        found = Touched()
        self._nodes(nodes, found)
        return found

    # -- names ----------------------------------------------------------------------------------------------------------

    def names_of(self, node: int) -> Iterator[str]:
        """What a shared port or jack is called in pictures: as either side says it, in units and bays called as they are after."""
        after, before = self.matched.own_node(AFTER, node), self.matched.own_node(BEFORE, node)
        if after >= 0 and self._has_name(after, AFTER):
            yield self.matched.after.name(after)
        if before >= 0 and self._has_name(before, BEFORE):
            yield self._as_drawn(self.matched.before.name(before))

    def _has_name(self, own: int, side: str) -> bool:
        return own < self.matched.plant(side).hubs

    def _as_drawn(self, name: str) -> str:
        block, slash, rest = name.partition("/")
        return f"{self.called.get(block, block)}{slash}{rest}"

    def _nodes(self, nodes: Iterable[int], found: Touched) -> None:
        for node in nodes:
            found.names.update(self.names_of(node))

    def _named(self, names: Iterable[str], found: Touched) -> None:
        for name in names:
            stem, mark, number = name.rpartition(" ch ")
            if "/" in name:
                found.names.add(stem if mark and number.isdecimal() else name)
            else:
                found.units.add(name)

    # -- ways -----------------------------------------------------------------------------------------------------------

    def _delta(self, setup: str | None) -> StateDelta:
        return next(delta for delta in self.difference.states if delta.setup == setup)

    def _ways(self, view: View, pairs: Mapping[int, set[int]], found: Touched) -> None:
        for source in sorted(pairs)[:MOST_SOURCES]:
            self._way(view, (2 * source + 1,), tuple(2 * target for target in sorted(pairs[source])), found)

    def _way(self, view: View, starts: tuple[int, ...], stops: tuple[int, ...], found: Touched) -> None:
        """All edges on ways from some vertices to others."""
        below = set().union(*(view.below(vertex) for vertex in starts))
        above = set().union(*(view.above(vertex) for vertex in stops if vertex in below))
        self._edges(view, below & above, found)

    def _circles(self, view: View, change: Change, found: Touched) -> None:
        """The loops of a feedback, and the outputs that meet at an input."""
        for claim in change.claims:
            side = 0 if view.side == BEFORE else 1
            for turn in claim.turns:
                ends = turn.was if side == 0 else turn.now
                if claim.kind == "feedback":
                    self._edges(view, {vertex for end in ends for vertex in (2 * end, 2 * end + 1)}, found)
                for driver in claim.drivers[side]:
                    self._edges(view, {2 * driver + 1, *(2 * end for end in ends)}, found)

    def _edges(self, view: View, vertices: set[int], found: Touched) -> None:
        for near in sorted(vertices):
            for far in view.down(near):
                if far in vertices:
                    self._edge(view, near, far, found)

    def _edge(self, view: View, near: int, far: int, found: Touched) -> None:
        a, b = view.vertex_node(near), view.vertex_node(far)
        self._nodes((a, b), found)
        if near % 2:
            key = (view.side, view.setup, a, b)
            if key not in self._between:
                self._between[key] = nodes_between(view, a, b)
            self._way_of_nodes(self._between[key], found)

    def _way_of_nodes(self, way: list[int], found: Touched) -> None:
        self._nodes(way, found)
        named = [node for node in way if any(True for _ in self.names_of(node))]
        for near, far in itertools.pairwise(named):
            self._joint(near, far, found)

    def _joint(self, near: int, far: int, found: Touched) -> None:
        for one, other in itertools.product(self.names_of(near), self.names_of(far)):
            found.joints.add((one, other) if one <= other else (other, one))

    def _cords(self, delta: StateDelta, found: Touched) -> None:
        for view in (delta.before, delta.after):
            if view is None:
                continue
            for cord in view.state.cords:
                ends = [self.matched.shared_node(view.side, end.node) for end in (cord.a, cord.b) if end.node >= 0]
                self._nodes(ends, found)
                if len(ends) == 2:
                    self._joint(ends[0], ends[1], found)


def _was(change: Change) -> dict[int, set[int]]:
    pairs = {(pair.source, pair.target) for pair in change.lost}
    pairs |= {
        (source, end) for claim in change.claims for turn in claim.turns for source in turn.sources for end in turn.was
    }
    return _by_source(pairs)


def _now(change: Change) -> dict[int, set[int]]:
    pairs = {(pair.source, pair.target) for pair in change.gained}
    pairs |= {
        (source, end) for claim in change.claims for turn in claim.turns for source in turn.sources for end in turn.now
    }
    return _by_source(pairs)


def _by_source(pairs: Iterable[tuple[int, int]]) -> dict[int, set[int]]:
    found: dict[int, set[int]] = defaultdict(set)
    for source, target in pairs:
        found[source].add(target)
    return found
