"""The passes: each claims the raw paths that it explains, in a fixed order, so that every one is told exactly once.

A claim is a change before it has words: which kind, which paths, and where they break off or begin. `KINDS` is the order.
Silent claims (`stub`, `idle`) are never changes of their own.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator

from attrs import evolve, field, frozen

from routecode.change.delta import Pair, StateDelta
from routecode.change.frontier import Break, Edge, Frontier
from routecode.change.view import SeenFeed, View
from routecode.circuit.plant import OUT

NEW, GONE = "new", "gone"
KINDS = (
    *(
        "feedback",
        "tied",
        "exchanged",
        "redirected",
        "split",
        "lost",
        "gained",
        "rerouted",
        "altered",
        "phantom",
        "moved",
        "setup",
    ),
)
SILENT = ("stub", "idle")
Channels = tuple[int, ...]
Marks = dict[int, tuple[frozenset[int], frozenset[int]]]


@frozen(eq=False)
class Turn:
    """Sources (or one end of an exchange) and what they reached and reach now."""

    sources: Channels
    was: Channels
    now: Channels


@frozen(eq=False)
class Claim:
    """What one pass has found. `turns` holds one entry, except for `exchanged`: one for each that changed places.

    `end`: which end the sentence starts from (`source` or `target`). `tied`: drivers before and after of `turns[0].now`.
    `breaks` are read before against after, `makes` after against before.
    """

    kind: str
    sense: str | None
    turns: tuple[Turn, ...]
    lost: frozenset[Pair] = frozenset()
    gained: frozenset[Pair] = frozenset()
    end: str = "source"
    breaks: tuple[Break, ...] = ()
    makes: tuple[Break, ...] = ()
    drivers: tuple[Channels, Channels] = ((), ())
    kept: Channels = ()
    """For `split`: what is still fed. For `rerouted`: the driving channels from which both sides reach every end."""
    passes: tuple["Passing", ...] = field(default=())
    turned: tuple[tuple[SeenFeed, SeenFeed], ...] = ()
    """Feeds on both sides that go another way, before and after. For `rerouted`."""
    ways: tuple[int, int] = (0, 0)
    """How many ways lead from the first source to its destination, before and after (0: not counted). For `rerouted`."""
    setup: str | None = None
    counts: tuple[int, int, int] = (0, 0, 0)
    """Cords, needed paths and forbidden paths of a setup that is new or gone; a Y-cord is one."""


@frozen
class Passing:
    """What is passed on one side only: units (ids), jacks, the polarity that differs, how many cords. For `rerouted`."""

    side: str
    units: tuple[str, ...]
    jacks: tuple[int, ...]
    polarity: str | None
    cords: int = 0


class Claims:
    """Runs the passes over one state that both sides have."""

    def __init__(self, delta: StateDelta) -> None:
        assert delta.before is not None
        assert delta.after is not None
        self.delta = delta
        self.before: View = delta.before
        self.after: View = delta.after
        self.breaking = Frontier(self.before, self.after)
        self.making = Frontier(self.after, self.before)
        self.lost: set[Pair] = set(delta.lost)
        self.gained: set[Pair] = set(delta.gained)
        self.found: list[Claim] = []

    def run(self) -> list[Claim]:
        """All claims but `rerouted`; every raw path is in exactly one (AssertionError: a fault of ours)."""
        self._silent()
        for step in (self._feedback, self._tied, self._exchanged, self._redirected, self._rest):
            step()
        assert not self.lost
        assert not self.gained
        assert sum(len(claim.lost) + len(claim.gained) for claim in self.found) == len(self.delta.lost) + len(
            self.delta.gained
        )
        return self.found

    def _claim(self, claim: Claim) -> None:
        assert claim.lost <= self.lost
        assert claim.gained <= self.gained
        self.lost -= claim.lost
        self.gained -= claim.gained
        self.found.append(claim)

    # -- what is never told ---------------------------------------------------------------------------------------------

    def _silent(self) -> None:
        idle_lost = frozenset(pair for pair in self.lost if pair.idle)
        idle_gained = frozenset(pair for pair in self.gained if pair.idle)
        if idle_lost or idle_gained:
            self._claim(Claim("idle", None, (), idle_lost, idle_gained))
        lost = frozenset(pair for pair in self.lost if self.breaking.joined(pair.source, pair.target))
        gained = frozenset(pair for pair in self.gained if self.making.joined(pair.source, pair.target))
        if lost or gained:
            self._claim(Claim("stub", None, (), lost, gained))

    # -- feedback -------------------------------------------------------------------------------------------------------

    def _feedback(self) -> None:
        before, after = self._loops(self.before), self._loops(self.after)
        for loop in sorted(map(sorted, after - before)):
            members = set(loop)
            grown = any(members & other for other in before)
            gained = frozenset(pair for pair in self.gained if pair.source in members)
            self._claim(Claim("feedback", None if grown else NEW, (Turn((), (), tuple(loop)),), gained=gained))
        for loop in sorted(map(sorted, before - after)):
            members = set(loop)
            shrunk = any(members & other for other in after)
            lost = frozenset(pair for pair in self.lost if pair.source in members)
            self._claim(Claim("feedback", None if shrunk else GONE, (Turn((), tuple(loop), ()),), lost=lost))

    @staticmethod
    def _loops(view: View) -> set[frozenset[int]]:
        shared = view.matched.shared_channel
        return {frozenset(shared(view.side, vertex // 2) for vertex in loop) for loop in view.flow.loops}

    # -- tied -----------------------------------------------------------------------------------------------------------

    def _tied(self) -> None:
        inputs = {feed.target for feed in (*self.delta.feeds_gained, *self.delta.feeds_lost) if not feed.either}
        for target in sorted(inputs, key=self.after.matched.channel_name):  # the same order read backwards
            before, after = self._drivers(self.before, target), self._drivers(self.after, target)
            if before == after or max(len(before), len(after)) < 2:
                continue
            sense = NEW if len(before) < 2 else GONE if len(after) < 2 else None
            gained = self._through(self.making, self.gained, set(after) - set(before), target)
            lost = self._through(self.breaking, self.lost, set(before) - set(after), target)
            makes = tuple(
                self.making.explain((2 * driver + 1, 2 * target)) for driver in sorted(set(after) - set(before))
            )
            breaks = tuple(
                self.breaking.explain((2 * driver + 1, 2 * target)) for driver in sorted(set(before) - set(after))
            )
            turn = Turn((), (target,), (target,))
            self._claim(
                Claim("tied", sense, (turn,), lost, gained, drivers=(before, after), makes=makes, breaks=breaks)
            )

    @staticmethod
    def _drivers(view: View, target: int) -> Channels:
        """The outputs (not passive ends) that feed an input."""
        plant, found = view.plant, []
        for vertex in view.up(2 * target):
            own = view.own_vertex(vertex)
            node = plant.node_of(own // 2)
            if plant.direction[node] == OUT or node in view.state.passives.speaks:
                found.append(vertex // 2)
        return tuple(sorted(set(found)))

    @staticmethod
    def _through(frontier: Frontier, pairs: set[Pair], drivers: set[int], target: int) -> frozenset[Pair]:
        """The pairs that pass one of these drivers into this input."""
        below = frontier.has.below(2 * target)
        return frozenset(
            pair
            for pair in pairs
            if 2 * pair.target in below and any(2 * driver + 1 in frontier.below(pair.source) for driver in drivers)
        )

    # -- exchanged and redirected ---------------------------------------------------------------------------------------

    def _exchanged(self) -> None:
        sources, targets = _classes(_marks(self.lost, self.gained, 0)), _classes(_marks(self.lost, self.gained, 1))
        was, now = _quotient(self.lost, sources, targets), _quotient(self.gained, sources, targets)
        was_back, now_back = _turned(was), _turned(now)
        step: dict[Channels, Channels] = {}
        """Group of sources -> the group that now reaches what it reached."""
        for group in was.keys() & now.keys():
            (end, *more), come = was[group], now[group]
            if not more and len(come) == 1 and len(was_back[end]) == len(now_back.get(end, ())) == 1:
                step[group] = next(iter(now_back[end]))
        for cycle in _cycles(step):
            self._claim_cycle([(group, next(iter(was[group])), next(iter(now[group]))) for group in cycle])

    def _claim_cycle(self, cycle: list[tuple[Channels, Channels, Channels]]) -> None:
        turns = tuple(Turn(*group) for group in sorted(cycle))
        lost = frozenset(Pair(a, b, False) for turn in turns for a in turn.sources for b in turn.was)
        gained = frozenset(Pair(a, b, False) for turn in turns for a in turn.sources for b in turn.now)
        self._claim(self._with_ends(Claim("exchanged", None, turns, lost, gained)))

    def _redirected(self) -> None:
        for position, end in ((0, "source"), (1, "target")):
            marks = _marks(self.lost, self.gained, position)
            chosen = {channel: mark for channel, mark in marks.items() if mark[0] and mark[1]}
            for group in sorted(_classes(chosen).values(), key=min):
                members = tuple(sorted(group))
                was, now = (tuple(sorted(side)) for side in chosen[members[0]])
                lost = frozenset(_pair(one, other, position) for one in members for other in was)
                gained = frozenset(_pair(one, other, position) for one in members for other in now)
                self._claim(self._with_ends(Claim("redirected", None, (Turn(members, was, now),), lost, gained, end)))

    # -- split, lost, gained --------------------------------------------------------------------------------------------

    def _rest(self) -> None:
        for sense, pairs, frontier in ((GONE, self.lost, self.breaking), (NEW, self.gained, self.making)):
            groups: dict[tuple[Edge, ...], list[Pair]] = defaultdict(list)
            for pair in pairs:
                groups[frontier.edges(pair.source, pair.target)].append(pair)
            for edges, members in sorted(groups.items()):
                self._claim(self._rest_claim(sense, edges, frozenset(members), frontier))

    def _rest_claim(self, sense: str, edges: tuple[Edge, ...], pairs: frozenset[Pair], frontier: Frontier) -> Claim:
        sources = tuple(sorted({pair.source for pair in pairs}))
        ends = tuple(sorted({pair.target for pair in pairs}))
        kept = self._kept(edges, frontier)
        kind = "split" if kept else "gained" if sense == NEW else "lost"
        breaks = tuple(frontier.explain(edge) for edge in edges)
        if sense == NEW:
            return Claim(kind, sense, (Turn(sources, (), ends),), gained=pairs, makes=breaks, kept=kept)
        return Claim(kind, sense, (Turn(sources, ends, ()),), lost=pairs, breaks=breaks, kept=kept)

    @staticmethod
    def _kept(edges: tuple[Edge, ...], frontier: Frontier) -> Channels:
        """The inputs that the drivers of these feeds feed on both sides; empty unless every driver has one."""
        kept: set[int] = set()
        for vertex, _ in edges:
            both = set(frontier.has.down(vertex)) & set(frontier.lacks.down(vertex))
            if not vertex % 2 or not both:
                return ()
            kept |= {other // 2 for other in both}
        return tuple(sorted(kept))

    def _with_ends(self, claim: Claim) -> Claim:
        """With the places where its lost paths break off and its gained ones begin."""
        breaks = {edge for pair in claim.lost for edge in self.breaking.edges(pair.source, pair.target)}
        makes = {edge for pair in claim.gained for edge in self.making.edges(pair.source, pair.target)}
        return evolve(
            claim,
            breaks=tuple(self.breaking.explain(edge) for edge in sorted(breaks)),
            makes=tuple(self.making.explain(edge) for edge in sorted(makes)),
        )


def _pair(one: int, other: int, position: int) -> Pair:
    return Pair(other, one, False) if position else Pair(one, other, False)


def _marks(lost: Iterable[Pair], gained: Iterable[Pair], position: int) -> Marks:
    """End (0: source, 1: destination) -> its other ends that are lost, and those that are gained."""
    found: dict[int, tuple[set[int], set[int]]] = defaultdict(lambda: (set(), set()))
    for which, pairs in enumerate((lost, gained)):
        for pair in pairs:
            found[pair[position]][which].add(pair[1 - position])
    return {end: (frozenset(was), frozenset(now)) for end, (was, now) in found.items()}


def _classes(marks: Marks) -> dict[tuple[frozenset[int], frozenset[int]], list[int]]:
    """Ends with equal neighbours, together."""
    groups: dict[tuple[frozenset[int], frozenset[int]], list[int]] = defaultdict(list)
    for end, mark in marks.items():
        groups[mark].append(end)
    return groups


Classes = dict[tuple[frozenset[int], frozenset[int]], list[int]]


def _quotient(pairs: Iterable[Pair], sources: Classes, targets: Classes) -> dict[Channels, frozenset[Channels]]:
    """Which group of sources is joined with which groups of destinations."""
    of_source, of_target = _group_of(sources), _group_of(targets)
    found: dict[Channels, set[Channels]] = defaultdict(set)
    for source, target, _ in pairs:
        found[of_source[source]].add(of_target[target])
    return {group: frozenset(ends) for group, ends in found.items()}


def _group_of(classes: Classes) -> dict[int, Channels]:
    groups = [tuple(sorted(group)) for group in classes.values()]
    return {channel: group for group in groups for channel in group}


def _turned(edges: dict[Channels, frozenset[Channels]]) -> dict[Channels, frozenset[Channels]]:
    back: dict[Channels, set[Channels]] = defaultdict(set)
    for group, ends in edges.items():
        for end in ends:
            back[end].add(group)
    return {end: frozenset(groups) for end, groups in back.items()}


def _cycles(step: dict[Channels, Channels]) -> Iterator[list[Channels]]:
    """The rings of more than one group, each once."""
    seen: set[Channels] = set()
    for start in sorted(step):
        way, at = [], start
        while at in step and at not in seen:
            seen.add(at)
            way.append(at)
            at = step[at]
        if at in way[:-1]:
            yield way[way.index(at) :]


def parted(claim: Claim) -> list[Claim]:
    """A claim of one turn in parts in each of which every source has every other end: what is said of lists is then true of each pair."""
    if len(claim.turns) != 1 or min(len(claim.turns[0].sources), len(claim.turns[0].was or claim.turns[0].now)) < 2:
        return [claim]
    ends: dict[int, set[int]] = defaultdict(set)
    for pair in (*claim.lost, *claim.gained):
        ends[pair.source].add(pair.target)
    alike: dict[frozenset[int], set[int]] = defaultdict(set)
    for source, targets in ends.items():
        alike[frozenset(targets)].add(source)
    parts = sorted((tuple(sorted(sources)), tuple(sorted(targets))) for targets, sources in alike.items())
    return [claim] if len(parts) == 1 else [_part(claim, *part) for part in parts]


def _part(claim: Claim, sources: Channels, ends: Channels) -> Claim:
    turn = Turn(sources, ends if claim.turns[0].was else (), ends if claim.turns[0].now else ())
    lost, gained = (frozenset(pair for pair in pairs if pair.source in sources) for pairs in (claim.lost, claim.gained))
    return evolve(claim, turns=(turn,), lost=lost, gained=gained)


def spoken(claims: Iterable[Claim]) -> Iterator[Claim]:
    """The claims that are told."""
    return (claim for claim in claims if claim.kind not in SILENT)
