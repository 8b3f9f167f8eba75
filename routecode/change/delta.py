"""The raw sets of a difference, complete: per state the paths, feeds and points that are there on one side only.

Applying them to the before side gives the after side. A setup that only one side has is compared with nothing: all it has
is gained, or lost. How it is told is not decided here.
"""

from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import NamedTuple

from attrs import define

from routecode.change.counts import Counts
from routecode.change.fact import Fact
from routecode.change.matched import AFTER, BEFORE, Matched
from routecode.change.region import Seeing, region_of
from routecode.change.view import SeenFeed, View
from routecode.circuit.circuit import Circuit
from routecode.circuit.nets import Net
from routecode.circuit.parts import Kit, PlacedUnit
from routecode.circuit.plant import EITHER

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
    """Channels whose insides may stand otherwise; empty where no fact of this state differs at a unit."""
    cut: bool = False
    """Whether there were too many paths to look at the way of each; set when the changes are worked out."""

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
        count = self.counts.of(new)
        if not any(fact.setup in (None, new) for fact in self.facts):
            return StateDelta(new, BOTH, count, before, after)
        touched = self._touched(before, after) | self._bonded(new)
        units = self._channels_touched(new)
        nets = [found_nets(view, touched | self._passive_differing(before, after)) for view in (before, after)]
        self._narrow(before, after, units, nets)
        lost = frozenset(Pair(*before.pair_of(number)) for number in before.pairs - after.pairs)
        gained = frozenset(Pair(*after.pair_of(number)) for number in after.pairs - before.pairs)
        flipped = len({pair[:2] for pair in lost} & {pair[:2] for pair in gained})
        delta = StateDelta(new, BOTH, count + len(lost) - flipped, before, after, gained, lost, touched=units)
        self._feeds(delta, before, after, nets)
        delta.points_lost, delta.points_gained = self._points_differing
        return delta

    def _narrow(self, before: View, after: View, units: frozenset[int], nets: list[list[Net]]) -> None:
        """Let both views look only at where they may differ."""
        channels = set(units)
        for view, found in zip((before, after), nets, strict=True):
            shared = view.matched.shared_channel
            for net in found:
                channels.update(
                    shared(view.side, channel) for node in net.nodes for channel in view.plant.channels_of(node)
                )
        seeing = Seeing(before.state, self.matched, BEFORE), Seeing(after.state, self.matched, AFTER)
        region = region_of(channels, seeing)
        before.narrow(seeing[0].flow(region))
        after.narrow(seeing[1].flow(region))

    def _channels_touched(self, setup: str | None) -> frozenset[int]:
        """The channels of the units that a differing fact of this state touches: all of them where an inside may stand otherwise.

        What is joined to a port opens and closes nothing in a unit whose insides are always closed and lead one way.
        """
        facts = [fact for fact in self.facts if fact.setup in (None, setup)]
        nodes = {node for fact in facts for node in fact.nodes}
        described = {node for fact in facts if fact.kind not in _JOINTS for node in fact.nodes}
        found: set[int] = set()
        for side, unit in self._units_touched(setup):
            plant, shared = self.matched.plant(side), self.matched.shared_node
            whole = not _is_steady(unit.kit) or any(shared(side, node) in described for node in unit)
            found.update(
                self.matched.shared_channel(side, channel)
                for node in unit
                if whole or shared(side, node) in nodes
                for channel in plant.channels_of(node)
            )
        return frozenset(found)

    def _bonded(self, setup: str | None) -> set[int]:
        """Shared ports with hardwired insides of touched units: a cable at one port may open or close them at others."""
        return {
            self.matched.shared_node(side, unit.first + socket)
            for side, unit in self._units_touched(setup)
            for socket in unit.kit.bonded
        }

    def _units_touched(self, setup: str | None) -> Iterator[tuple[str, PlacedUnit]]:
        """The units that a differing fact of this state touches, of both sides."""
        nodes = {node for fact in self.facts if fact.setup in (None, setup) for node in fact.nodes}
        for side in (BEFORE, AFTER):
            plant = self.matched.plant(side)
            owns = (self.matched.own_node(side, node) for node in nodes)
            units = {id(unit): unit for unit in (plant.unit_of(own) for own in owns if 0 <= own < plant.ports)}
            for unit in units.values():
                yield side, unit

    # -- feeds ----------------------------------------------------------------------------------------------------------

    def _feeds(self, delta: StateDelta, before: View, after: View, nets: list[list[Net]]) -> None:
        """Feeds gained, lost and rerouted: only nets that differ are looked at."""
        olds, news = before.edges_of(nets[0]), after.edges_of(nets[1])
        delta.feeds_lost = tuple(sorted(before.feed(number, olds[number]) for number in olds.keys() - news.keys()))
        delta.feeds_gained = tuple(sorted(after.feed(number, news[number]) for number in news.keys() - olds.keys()))
        ways = (
            (before.feed(number, olds[number]), after.feed(number, news[number]))
            for number in sorted(olds.keys() & news.keys())
        )
        delta.rerouted = tuple(Rerouted(old, new) for old, new in ways if old != new)

    def _touched(self, before: View, after: View) -> set[int]:
        """Shared nodes whose joints differ between the sides, or which a differing fact touches, in this state."""
        nodes = set(self._fixed_touched)
        if after.setup is not None:
            nodes.update(self.matched.nodes[node] for node in before.state.neighbours)
            nodes.update(after.state.neighbours)
            nodes.update(node for fact in self.facts if fact.setup == after.setup for node in fact.nodes)
        return nodes | self._turned(before, after)

    def _turned(self, before: View, after: View) -> set[int]:
        """Nodes at joints that exchange hot and cold on one side only."""
        old, new = _parities(before), _parities(after)
        return {node for end in old.keys() | new.keys() if old.get(end) != new.get(end) for node in end}

    def _passive_differing(self, before: View, after: View) -> set[int]:
        """Passive ports that speak, listen or offer on one side only: what makes them do so may be far away."""
        if not before.plant.passive and not after.plant.passive:
            return set()
        found: set[int] = set()
        olds, news = _passives(before), _passives(after)
        for old, new in zip(olds, news, strict=True):
            found |= old ^ new
        return found

    @cached_property
    def _fixed_touched(self) -> frozenset[int]:
        """Nodes that any differing fact of the fixed wiring touches."""
        return frozenset(node for fact in self.facts if fact.setup is None for node in fact.nodes)

    @cached_property
    def counts(self) -> Counts:
        """How many paths the states of the after side have."""
        return Counts(self.after)

    # -- points ---------------------------------------------------------------------------------------------------------

    @cached_property
    def _points(self) -> dict[str, tuple[Point, ...]]:
        return {side: tuple(self._points_of(side)) for side in (BEFORE, AFTER)}

    def _points_of(self, side: str) -> Iterator[Point]:
        plant = self.matched.plant(side)
        for node in plant.wire_at:
            if node >= plant.ports:
                yield self._point(side, node)

    def _point(self, side: str, node: int) -> Point:
        shared = self.matched.shared_node
        wired = self.matched.plant(side).wired(node)
        return Point(shared(side, node), tuple(sorted(shared(side, other) for other in wired)))

    @cached_property
    def _points_differing(self) -> tuple[tuple[Point, ...], tuple[Point, ...]]:
        """(lost, gained): only jacks at cables that differ can have them."""
        nodes = {
            node for fact in self.facts if fact.kind == "cable" for node in fact.nodes if self.matched.is_jack(node)
        }
        sides = []
        for side in (BEFORE, AFTER):
            owns = (self.matched.own_node(side, node) for node in nodes)
            sides.append({self._point(side, own) for own in owns if own in self.matched.plant(side).wire_at})
        before, after = sides
        return tuple(sorted(before - after)), tuple(sorted(after - before))


_JOINTS = ("cable", "normal", "mult", "cord", "plug")
"""Kinds of facts that say what is joined, and nothing of a unit itself."""


def _is_steady(kit: Kit) -> bool:
    """Whether no inside of a kit depends on what is joined to its ports."""
    return not kit.bonded and EITHER not in kit.directions and not any(branch.conditional for branch in kit.branches)


def found_nets(view: View, nodes: Iterable[int]) -> list[Net]:
    """The nets that hold any of some shared nodes, each once."""
    return list({id(net): net for net in map(view.net, sorted(nodes)) if net is not None}.values())


def _passives(view: View) -> tuple[set[int], ...]:
    """Shared nodes that speak, listen and offer, and those that two-way insides lead from, with where to."""
    found, shared = view.state.passives, view.matched.shared_node
    ways = {shared(view.side, node) for crossing in found.taken for node in crossing}
    sets = ({shared(view.side, node) for node in one} for one in (found.speaks, found.listens, found.offers))
    return (*sets, ways)


def _parities(view: View) -> dict[tuple[int, int], int]:
    """The joints that exchange hot and cold, with how many of them lie side by side."""
    found: dict[tuple[int, int], int] = {}
    for (a, b), count in view.state.reversed.items():
        if count > 0:
            one, other = view.matched.shared_node(view.side, a), view.matched.shared_node(view.side, b)
            found[min(one, other), max(one, other)] = count
    return found
