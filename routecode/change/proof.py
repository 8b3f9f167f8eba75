"""Causes reduced and proved by replay: the edits without which a change would not be, and no others.

A set of edits is the cause where the before side with them shows the change as the after side does, the after side without
them as the before side does, and none of them can be left out. Edits are tried in canonical order, so the answer is always
the same; it is irreducible, not smallest. Where replaying would cost too much, the cause is said to be not reduced.
"""

from collections.abc import Callable
from functools import lru_cache

from attrs import evolve, frozen

from routecode.change.cause import Causes
from routecode.change.changes import Change
from routecode.change.claims import Claim
from routecode.change.matched import AFTER, BEFORE, Matched
from routecode.change.replay import Mixture, mixture
from routecode.change.view import SeenFeed
from routecode.circuit.feeds import Teller
from routecode.circuit.paths import Flow
from routecode.circuit.plant import OUT

ALONE, TOGETHER = "alone", "together"
MOST_NODES = 6_000
"""Ports and jacks up to which a studio is put together again."""
MOST_REPLAYS = 120
"""Mixtures compiled for one difference."""
MOST_EDITS = 8
"""Edits among which a cause is looked for beyond those nearest to the change."""


@frozen(eq=False)
class Shown:
    """What a mixture shows, in shared numbers: enough to tell whether a claim holds there."""

    flow: Flow
    channel: dict[int, int]
    """Shared channel -> the mixture's own."""
    node: dict[int, int]
    """The mixture's own node -> shared."""

    def path(self, source: int, target: int) -> bool:
        """Whether two channels are the ends of a path that is not idle."""
        a, b = self.channel.get(source), self.channel.get(target)
        if a is None or b is None or self.flow.sources.get(a) is not False:
            return False
        return b in self.flow.reached.get(2 * a + 1, ())

    def edge(self, edge: tuple[int, int]) -> bool:
        """Whether one vertex leads to another."""
        a, b = (self.channel.get(vertex // 2) for vertex in edge)
        if a is None or b is None:
            return False
        return 2 * b + edge[1] % 2 in self.flow.down.get(2 * a + edge[0] % 2, ())

    def way(self, feed: SeenFeed) -> tuple[tuple[int, ...], str] | None:
        """The jacks (shared numbers) and the polarity of a feed that is there; None where it is not."""
        a, b = self.channel.get(feed.source), self.channel.get(feed.target)
        if a is None or b is None or not self.edge((2 * feed.source + 1, 2 * feed.target)):
            return None
        one, other = self.flow.plant.node_of(a), self.flow.plant.node_of(b)
        net = self.flow.state.net_of(one)
        if net is None:
            return None
        teller = Teller(self.flow.state)
        jacks = teller.jacks(net, one, other)
        return tuple(self.node[jack] for jack in jacks), teller.polarity(net, one, other)

    def loop(self, channels: tuple[int, ...]) -> bool:
        """Whether these channels, and no others, are one loop of feedback."""
        members = {self.channel.get(channel) for channel in channels}
        return any({vertex // 2 for vertex in loop} == members for loop in self.flow.loops)

    def drivers(self, target: int) -> frozenset[int]:
        """The outputs that feed an input, in the mixture's own numbers; compared by `tied` only."""
        own = self.channel.get(target)
        plant, speaks = self.flow.plant, self.flow.state.passives.speaks
        found = {vertex // 2 for vertex in self.flow.up.get(2 * own, ())} if own is not None else set()
        return frozenset(
            one for one in found if plant.direction[plant.node_of(one)] == OUT or plant.node_of(one) in speaks
        )

    def holds(self, claim: Claim, side: str) -> bool:
        """Whether a claim's things stand here as they do on one side."""
        here, gone = (claim.lost, claim.gained) if side == BEFORE else (claim.gained, claim.lost)
        if not all(self.path(a, b) for a, b, _ in here) or any(self.path(a, b) for a, b, _ in gone):
            return False
        turn = claim.turns[0]
        if claim.kind == "feedback":
            return (not turn.was or self.loop(turn.was) == (side == BEFORE)) and (
                not turn.now or self.loop(turn.now) == (side == AFTER)
            )
        if claim.kind == "tied":
            wanted = claim.drivers[0 if side == BEFORE else 1]
            return self.drivers(turn.now[0]) == {self.channel.get(driver, -1) for driver in wanted}
        if claim.kind == "rerouted":
            there, away = (claim.breaks, claim.makes) if side == BEFORE else (claim.makes, claim.breaks)
            only = (
                {one.edge for one in there} - {one.edge for one in away},
                {one.edge for one in away} - {one.edge for one in there},
            )
            edges = all(map(self.edge, only[0])) and not any(map(self.edge, only[1]))
            return edges and all(self.way(pair[0]) == pair[0 if side == BEFORE else 1][2:4] for pair in claim.turned)
        return True


class Proofs:
    """Reduces the causes of the changes of one difference, within one budget."""

    def __init__(self, matched: Matched, causes: Causes) -> None:
        self.matched = matched
        self.causes = causes
        self.left = MOST_REPLAYS
        self.possible = max(matched.node_count, len(matched.before.direction)) <= MOST_NODES
        self._shown: Callable[[str, frozenset[int], str | None], Shown | None] = lru_cache(maxsize=256)(self._replayed)

    def proved(self, change: Change, setup: str | None) -> Change:
        """The change with its cause reduced, and how far that is proved."""
        if not self.possible or not change.claims or not change.edits:
            return change
        wanted = change.edits
        if not self._cause(change, wanted, setup):
            every = frozenset(self.causes.edits_of(setup))
            if wanted == every or len(every) > MOST_EDITS or not self._cause(change, every, setup):
                return change
            wanted = every
        for edit in sorted(wanted):
            fewer = wanted - {edit}
            if fewer and self._cause(change, fewer, setup):
                wanted = fewer
        if self.left <= 0:
            return change
        nearest = change.nearest
        places = tuple(nearest.get(edit) or self.causes.edits[edit].facts[0].place for edit in sorted(wanted))
        return evolve(change, edits=wanted, cause=places, proof=ALONE if len(wanted) == 1 else TOGETHER)

    def _cause(self, change: Change, edits: frozenset[int], setup: str | None) -> bool:
        """Whether before with these edits shows the change as after does, and after without them as before does."""
        there = self._shown(BEFORE, edits, setup)
        if there is None or not all(there.holds(claim, AFTER) for claim in change.claims):
            return False
        back = self._shown(AFTER, edits, setup)
        return back is not None and all(back.holds(claim, BEFORE) for claim in change.claims)

    def _replayed(self, side: str, edits: frozenset[int], setup: str | None) -> Shown | None:
        if self.left <= 0:
            return None
        self.left -= 1
        flipped = {id(fact) for edit in edits for fact in self.causes.edits[edit].facts}
        made: Mixture | None = mixture(self.matched, self.causes.facts, side, flipped, setup)
        return None if made is None else Shown(made.circuit.flow(setup), made.channel, made.node)
