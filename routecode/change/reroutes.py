"""Paths whose ends stay joined and whose way differs: what they pass on one side only.

A way is everything that lies on any way from source to destination; where there are many ways, all count. Nothing here
touches the raw paths: both sides have them.
"""

import itertools
from collections import defaultdict
from collections.abc import Iterable, Iterator

from routecode.change.claims import Claim, Passing, Turn
from routecode.change.delta import Pair, StateDelta
from routecode.change.frontier import Edge, Frontier
from routecode.change.matched import AFTER, BEFORE
from routecode.change.moves import Moves
from routecode.change.view import SeenFeed, View, nodes_between

MOST = 1_000_000
"""Paths looked at one by one in a state; where more may have changed their way, the rest is told without its ways."""

Signature = tuple[frozenset[Edge], frozenset[Edge]]


class Reroutes:
    """Finds the kept paths of a state whose way differs."""

    def __init__(self, delta: StateDelta, breaking: Frontier, making: Frontier, moved: Moves) -> None:
        assert delta.before is not None
        assert delta.after is not None
        self.before: View = delta.before
        self.after: View = delta.after
        self.breaking = breaking
        self.making = making
        self.turned = {
            (2 * old.source + 1, 2 * old.target): (old, new)
            for old, new in delta.rerouted
            if not old.either and (moved.now(old.jacks) != new.jacks or old.polarity != new.polarity)
        }
        """Feeds on both sides that go another way, by their edge; those whose columns only moved are not among them."""
        self.delta = delta
        self.touched = delta.touched
        self.cut = False
        """Whether there were too many paths to look at the way of each."""
        self._belows: dict[Signature, Signature] = {}
        self._signatures: dict[tuple[Signature, int], Signature] = {}

    def run(self) -> list[Claim]:
        """One claim for the paths that changed the same edges of their ways."""
        groups: dict[Signature, dict[int, set[int]]] = defaultdict(lambda: defaultdict(set))
        for pair, signature in self._changed():
            groups[signature][pair.source].add(pair.target)
        claims = [
            self._claim(signature, sources, targets)
            for signature, ends in groups.items()
            for sources, targets in _products(ends)
        ]
        return sorted(claims, key=lambda claim: claim.turns[0].sources)

    # -- which paths ----------------------------------------------------------------------------------------------------

    def _changed(self) -> Iterable[tuple[Pair, Signature]]:
        old, new = self._edges(self.breaking, self.delta.feeds_lost), self._edges(self.making, self.delta.feeds_gained)
        if not old and not new:
            return
        sources = self._sources(old, self.before) | self._sources(new, self.after)
        looked = 0
        ahead = _by_start(old), _by_start(new)
        for source in sorted(sources):
            below = self._below(self.breaking, source, ahead[0]), self._below(self.making, source, ahead[1])
            below = self._belows.setdefault(below, below)
            if not below[0] and not below[1]:
                continue
            kept = self._ends(self.before, source) & self._ends(self.after, source)
            looked += len(kept)
            if looked > MOST:
                self.cut = True
                return
            for target in sorted(kept):
                signature = self._signature(below, target)
                if signature[0] or signature[1]:
                    yield Pair(source, target, False), signature

    def _signature(self, below: Signature, target: int) -> Signature:
        """Of the differing edges below a source, those on its ways to a destination."""
        found = self._signatures.get((below, target))
        if found is None:
            above = self.breaking.above(target), self.making.above(target)
            was, now = (frozenset(edge for edge in below[side] if edge[1] in above[side]) for side in (0, 1))
            found = self._signatures[below, target] = (was, now)
        return found

    def _edges(self, frontier: Frontier, feeds: Iterable[SeenFeed]) -> set[Edge]:
        """The edges of one side that are not on the other, or go another way there."""
        found = set(self.turned)
        found.update((2 * feed.source + 1, 2 * feed.target) for feed in feeds if not feed.either)
        found.update((2 * channel, other) for channel in self.touched for other in frontier.gone(2 * channel))
        return found

    @staticmethod
    def _sources(edges: set[Edge], view: View) -> set[int]:
        """The sources that reach any of these edges."""
        starts = {near for near, _ in edges}
        seen, queue = set(starts), list(starts)
        for vertex in queue:
            for other in view.up(vertex):
                if other not in seen:
                    seen.add(other)
                    queue.append(other)
        sources = view.flow.sources
        return {vertex // 2 for vertex in seen if vertex % 2 and sources.get(view.own_vertex(vertex) // 2) is False}

    @staticmethod
    def _below(frontier: Frontier, source: int, edges: dict[int, list[Edge]]) -> frozenset[Edge]:
        below = frontier.below(source)
        starts = (vertex for vertex in below if vertex in edges) if len(below) < len(edges) else edges.keys() & below
        return frozenset(edge for vertex in starts for edge in edges[vertex])

    @staticmethod
    def _ends(view: View, source: int) -> set[int]:
        """Destinations of a channel where it is a source that is not idle."""
        own = view.matched.own_channel(view.side, source)
        return view.ends_below(2 * source + 1) if view.flow.sources.get(own) is False else set()

    # -- what they pass -------------------------------------------------------------------------------------------------

    def _claim(self, signature: Signature, sources: tuple[int, ...], targets: tuple[int, ...]) -> Claim:
        was, now = signature
        first = Pair(sources[0], targets[0], False)
        passes = self._passes(first, was, now)
        breaks = tuple(self.breaking.explain(edge) for edge in sorted(was) if edge not in self.turned)
        makes = tuple(self.making.explain(edge) for edge in sorted(now) if edge not in self.turned)
        breaks += tuple(self.breaking.explain(edge) for edge in sorted(was & self.turned.keys()))
        makes += tuple(self.making.explain(edge) for edge in sorted(now & self.turned.keys()))
        turn = Turn(sources, targets, targets)
        turned = tuple(self.turned[edge] for edge in sorted((was | now) & self.turned.keys()))
        kept = self._trunks(was | now, targets)
        ways = self.breaking.ways(*first[:2]), self.making.ways(*first[:2])
        return Claim(
            "rerouted", None, (turn,), breaks=breaks, makes=makes, kept=kept, passes=passes, turned=turned, ways=ways
        )

    def _trunks(self, edges: frozenset[Edge], targets: tuple[int, ...]) -> tuple[int, ...]:
        """The driving channels of some feeds from which every destination is reached on both sides."""
        ends = {2 * target for target in targets}
        drivers = {near // 2 for near, _ in edges if near % 2}
        return tuple(one for one in sorted(drivers) if ends <= self.breaking.below(one) & self.making.below(one))

    def _passes(self, pair: Pair, was: frozenset[Edge], now: frozenset[Edge]) -> tuple[Passing, Passing]:
        """What the ways of these paths pass before only, and after only. All pairs of a claim have the same edges."""
        old_units, new_units = self._units(self.breaking, pair), self._units(self.making, pair)
        old_jacks, new_jacks = self._jacks(self.before, was, 0), self._jacks(self.after, now, 1)
        old_turn, new_turn = self._polarity(was & now)
        return (
            Passing(
                BEFORE,
                tuple(sorted(old_units - new_units)),
                tuple(j for j in old_jacks if j not in new_jacks),
                old_turn,
                _cords(self.before, was),
            ),
            Passing(
                AFTER,
                tuple(sorted(new_units - old_units)),
                tuple(j for j in new_jacks if j not in old_jacks),
                new_turn,
                _cords(self.after, now),
            ),
        )

    @staticmethod
    def _units(frontier: Frontier, pair: Pair) -> set[str]:
        """The units on the way, the ends' own left out, by ids as they read after."""
        view = frontier.has
        way = frontier.below(pair.source) & frontier.above(pair.target)
        names = view.matched.identity.units if view.side == BEFORE else {}
        found = set()
        for vertex in way:
            unit = view.plant.unit_of(view.plant.node_of(view.own_vertex(vertex) // 2)).id
            found.add(names.get(unit, unit))
        return found

    def _jacks(self, view: View, edges: frozenset[Edge], which: int) -> list[int]:
        jacks: list[int] = []
        for edge in sorted(edges):
            if edge in self.turned:
                found: Iterable[int] = self.turned[edge][which].jacks
            elif edge[0] % 2:
                found = _jacks_of(view, edge)
            else:
                continue
            jacks += [jack for jack in found if jack not in jacks]
        return jacks

    def _polarity(self, edges: frozenset[Edge]) -> tuple[str | None, str | None]:
        for edge in sorted(edges & self.turned.keys()):
            old, new = self.turned[edge]
            if old.polarity != new.polarity:
                return old.polarity, new.polarity
        return None, None


def _products(ends: dict[int, set[int]]) -> Iterator[tuple[tuple[int, ...], tuple[int, ...]]]:
    """(sources, destinations) of which every source has every destination: what is said of the lists is true of each pair."""
    alike: dict[frozenset[int], list[int]] = defaultdict(list)
    for source, targets in ends.items():
        alike[frozenset(targets)].append(source)
    for shared, sources in alike.items():
        yield tuple(sorted(sources)), tuple(sorted(shared))


def _by_start(edges: set[Edge]) -> dict[int, list[Edge]]:
    found: dict[int, list[Edge]] = defaultdict(list)
    for edge in edges:
        found[edge[0]].append(edge)
    return found


def _cords(view: View, edges: frozenset[Edge]) -> int:
    """How many cords the feeds of these edges pass."""
    if not view.state.cords:
        return 0
    shared = view.matched.shared_node
    cords = {
        frozenset((shared(view.side, cord.a.node), shared(view.side, cord.b.node)))
        for cord in view.state.cords
        if min(cord.a.node, cord.b.node) >= 0
    }
    passed: set[frozenset[int]] = set()
    for near, far in edges:
        if near % 2:
            way = nodes_between(view, view.vertex_node(near), view.vertex_node(far))
            passed.update(frozenset(pair) for pair in itertools.pairwise(way))
    return len(passed & cords)


def _jacks_of(view: View, edge: Edge) -> tuple[int, ...]:
    """The jacks of a feed given by its edge (none for a route between network ports of one net)."""
    source, target = view.own_vertex(edge[0]) // 2, view.own_vertex(edge[1]) // 2
    a, b = view.plant.node_of(source), view.plant.node_of(target)
    net = view.state.net_of(a)
    if net is None:
        return ()
    return tuple(view.matched.shared_node(view.side, node) for node in view.teller.jacks(net, a, b))
