"""The raw sets of a difference, complete: per state the paths, feeds and points that are there on one side only.

Applying them to the before side gives the after side. A setup that only one side has is compared with nothing: all it has
is gained, or lost. How it is told is not decided here.
"""

from functools import cached_property
from typing import NamedTuple

from attrs import define

from routecode.change.facts import Fact
from routecode.change.matched import AFTER, BEFORE, Matched
from routecode.change.view import SeenFeed, View
from routecode.circuit.circuit import Circuit
from routecode.circuit.nets import Net

BOTH, ADDED, REMOVED = "both", "added", "removed"


class Pair(NamedTuple):
    """A path in shared numbers."""

    source: int
    target: int
    idle: bool


class Rerouted(NamedTuple):
    """A feed that is there on both sides and goes another way, or arrives with the other polarity."""

    before: SeenFeed
    after: SeenFeed


class Point(NamedTuple):
    """What is wired behind a jack, in shared numbers; places sorted by name."""

    jack: int
    wired: tuple[int, ...]


@define(eq=False)
class StateDelta:
    """The raw sets of one state; `setup` as it reads after. `compared` counts the paths of both sides united."""

    setup: str | None
    presence: str
    compared: int
    before: View | None
    after: View | None
    gained: frozenset[Pair] = frozenset()
    lost: frozenset[Pair] = frozenset()
    feeds_gained: tuple[SeenFeed, ...] = ()
    feeds_lost: tuple[SeenFeed, ...] = ()
    rerouted: tuple[Rerouted, ...] = ()
    points_gained: tuple[Point, ...] = ()
    points_lost: tuple[Point, ...] = ()
    touched: frozenset[int] = frozenset()
    """Channels of the units whose insides may stand otherwise; empty where no fact of this state differs."""

    @property
    def empty(self) -> bool:
        """Whether nothing differs in this state."""
        return not (
            self.gained
            or self.lost
            or self.feeds_gained
            or self.feeds_lost
            or self.rerouted
            or self.points_gained
            or self.points_lost
        )

    @property
    def ends_changed(self) -> bool:
        """Whether any two ends are joined on one side only."""
        return {pair[:2] for pair in self.gained} != {pair[:2] for pair in self.lost}


@define(slots=False)
class Measure:
    """Compares two circuits state by state."""

    before: Circuit
    after: Circuit
    matched: Matched
    facts: list[Fact]

    def states(self) -> list[StateDelta]:
        """Unpatched first, then all setups of either side by their ids (as they read after)."""
        names = self.matched.identity.setups
        old = {names.get(name, name): name for name in self.before.setups}
        deltas = [self._both(None, None)]
        for setup in sorted({*old, *self.after.setups}):
            if setup not in old:
                deltas.append(self._alone(setup, ADDED, View(self.matched, AFTER, self.after, setup)))
            elif setup not in self.after.setups:
                deltas.append(self._alone(setup, REMOVED, View(self.matched, BEFORE, self.before, old[setup])))
            else:
                deltas.append(self._both(old[setup], setup))
        return deltas

    def _alone(self, setup: str, presence: str, view: View) -> StateDelta:
        pairs = frozenset(Pair(*view.pair_of(number)) for number in view.pairs)
        feeds = tuple(sorted(view.feed(number, link) for number, link in view.edges.items()))
        points = self._points[view.side]
        if presence == ADDED:
            return StateDelta(
                setup,
                presence,
                len({pair[:2] for pair in pairs}),
                None,
                view,
                gained=pairs,
                feeds_gained=feeds,
                points_gained=points,
            )
        return StateDelta(
            setup,
            presence,
            len({pair[:2] for pair in pairs}),
            view,
            None,
            lost=pairs,
            feeds_lost=feeds,
            points_lost=points,
        )

    def _both(self, old: str | None, new: str | None) -> StateDelta:
        before, after = View(self.matched, BEFORE, self.before, old), View(self.matched, AFTER, self.after, new)
        if not any(fact.setup in (None, new) for fact in self.facts):
            return StateDelta(new, BOTH, after.flow.count(), before, after)
        lost = frozenset(Pair(*before.pair_of(number)) for number in before.pairs - after.pairs)
        gained = frozenset(Pair(*after.pair_of(number)) for number in after.pairs - before.pairs)
        flipped = len({pair[:2] for pair in lost} & {pair[:2] for pair in gained})
        delta = StateDelta(new, BOTH, len(before.pairs) + len(gained) - flipped, before, after, gained, lost)
        self._feeds(delta, before, after)
        delta.points_lost, delta.points_gained = self._points_differing
        delta.touched = self._channels_touched(new)
        return delta

    def _channels_touched(self, setup: str | None) -> frozenset[int]:
        found: set[int] = set()
        nodes = {node for fact in self.facts if fact.setup in (None, setup) for node in fact.nodes}
        for side in (BEFORE, AFTER):
            plant = self.matched.plant(side)
            owns = (self.matched.own_node(side, node) for node in nodes)
            units = {id(unit): unit for unit in (plant.unit_of(own) for own in owns if 0 <= own < plant.ports)}
            for unit in units.values():
                found.update(
                    self.matched.shared_channel(side, channel) for node in unit for channel in plant.channels_of(node)
                )
        return frozenset(found)

    # -- feeds ----------------------------------------------------------------------------------------------------------

    def _feeds(self, delta: StateDelta, before: View, after: View) -> None:
        """Feeds gained, lost and rerouted; jacks and polarity are looked at only where joints differ."""
        olds, news = before.edges, after.edges
        delta.feeds_lost = tuple(sorted(before.feed(number, olds[number]) for number in olds.keys() - news.keys()))
        delta.feeds_gained = tuple(sorted(after.feed(number, news[number]) for number in news.keys() - olds.keys()))
        touched = self._touched(before, after)
        if not touched:
            return
        nets: list[Net] = []
        for view in (before, after):
            found = {id(net): net for net in map(view.net, touched) if net is not None}
            nets += found.values()
        chosen = {id(net) for net in nets}
        both = [
            number
            for number, link in olds.items()
            if number in news and (id(link.net) in chosen or id(news[number].net) in chosen)
        ]
        ways = ((before.feed(number, olds[number]), after.feed(number, news[number])) for number in sorted(both))
        delta.rerouted = tuple(Rerouted(old, new) for old, new in ways if old != new)

    def _touched(self, before: View, after: View) -> set[int]:
        """Shared nodes whose joints differ between the sides, in this state."""
        nodes = set(self._fixed_touched)
        if before.setup is not None or after.setup is not None:
            nodes.update(self.matched.nodes[node] for node in before.state.neighbours)
            nodes.update(after.state.neighbours)
        turned = self._turned(before, after)
        return {node for node in nodes if sorted(before.joined(node)) != sorted(after.joined(node))} | turned

    def _turned(self, before: View, after: View) -> frozenset[int]:
        key = (before.setup, after.setup)
        if key not in self._turned_kept:
            old, new = _parities(before), _parities(after)
            ends = {end for end in old.keys() | new.keys() if old.get(end) != new.get(end)}
            self._turned_kept[key] = frozenset(node for end in ends for node in end)
        return self._turned_kept[key]

    @cached_property
    def _turned_kept(self) -> dict[tuple[str | None, str | None], frozenset[int]]:
        return {}

    @cached_property
    def _fixed_touched(self) -> frozenset[int]:
        """Nodes that any differing fact of the fixed wiring touches."""
        nodes = {node for fact in self.facts if fact.setup is None for node in fact.nodes}
        before, after = View(self.matched, BEFORE, self.before, None), View(self.matched, AFTER, self.after, None)
        return frozenset(nodes | self._turned(before, after))

    # -- points ---------------------------------------------------------------------------------------------------------

    @cached_property
    def _points(self) -> dict[str, tuple[Point, ...]]:
        return {side: tuple(self._points_of(side)) for side in (BEFORE, AFTER)}

    def _points_of(self, side: str) -> list[Point]:
        plant, matched = self.matched.plant(side), self.matched
        return [
            Point(
                matched.shared_node(side, node),
                tuple(sorted(matched.shared_node(side, other) for other in plant.wired(node))),
            )
            for node in plant.wire_at
            if node >= plant.ports
        ]

    @cached_property
    def _points_differing(self) -> tuple[tuple[Point, ...], tuple[Point, ...]]:
        """(lost, gained)."""
        before, after = set(self._points[BEFORE]), set(self._points[AFTER])
        return tuple(sorted(before - after)), tuple(sorted(after - before))


def _parities(view: View) -> dict[tuple[int, int], int]:
    """The joints that exchange hot and cold, with how many of them lie side by side."""
    found: dict[tuple[int, int], int] = {}
    for (a, b), count in view.state.reversed.items():
        if count > 0:
            one, other = view.matched.shared_node(view.side, a), view.matched.shared_node(view.side, b)
            found[min(one, other), max(one, other)] = count
    return found
