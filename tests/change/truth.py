"""What a diff should say of two texts, read off the reference alone, and where what it says is something else.

The reference compiles both texts by itself; names of the before side are turned by what the edit is known to have done. Checked are
the raw paths, every path told exactly once, ways that differ between the same ends, loops, inputs with several outputs, columns that
moved, names, and the one word for the result.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Set
from functools import lru_cache

import networkx as nx
from attrs import Factory, define, frozen

from routecode.change.changes import Change
from routecode.change.delta import ADDED, BOTH
from routecode.change.difference import Compared
from tests.change.edit_kinds import Effect
from tests.reference.conductors import Conductors, all_joints
from tests.reference.feeds import all_feeds, in_net
from tests.reference.flood import points
from tests.reference.paths import Signals, channel_name
from tests.reference.readings import RIGHT
from tests.reference.roles import Nets, Roles, all_nets, all_roles
from tests.reference.state import state_of
from tests.reference.written import Written, read

Files = Mapping[str, str]
Vertex = tuple[str, str]
Edge = tuple[Vertex, Vertex]
Path = tuple[str, str, bool]


@frozen
class Seen:
    """One state of one side: paths (from, to, idle), edges with (jacks, polarity) of feeds, loops, drivers of inputs."""

    paths: frozenset[Path]
    edges: dict[Edge, tuple[tuple[str, ...], str] | None]
    loops: frozenset[frozenset[str]]
    drivers: dict[str, frozenset[str]]
    wires: dict[str, frozenset[str]]
    """Channel of a passive port that is only passed -> what drives its wire."""

    def joins(self, graph: nx.DiGraph, source: str, target: str) -> bool:
        """Whether what a source gives, or what passes it, comes to a destination or passes it."""
        starts = {("sends", name) for name in {source} | self.wires.get(source, frozenset())}
        ends = {("gets", target), *(("sends", name) for name in self.wires.get(target, frozenset()))}
        return any(
            start in ends or (start in graph and not ends.isdisjoint(nx.descendants(graph, start))) for start in starts
        )

    def graph(self) -> nx.DiGraph:
        """The edges as a graph."""
        return nx.DiGraph(list(self.edges))


@frozen
class Side:
    """All states of one side, and what is wired behind each jack."""

    states: dict[str | None, Seen]
    points: dict[str, frozenset[str]]


def side_of(files: Files) -> Side:
    """What the reference sees in a studio."""
    return _side(tuple(sorted(files.items())))


@lru_cache(maxsize=8)
def _side(items: tuple[tuple[str, str], ...]) -> Side:
    written = read(dict(items), RIGHT)
    states = {setup: _seen(written, setup) for setup in (None, *written.setups)}
    return Side(states, {jack: frozenset(wired) for jack, wired in points(written, RIGHT)})


def _seen(written: Written, setup: str | None) -> Seen:
    state = state_of(written, setup, RIGHT)
    conductors = Conductors(all_joints(written, state, RIGHT))
    nets = all_nets(written, conductors, RIGHT)
    roles = all_roles(written, state, nets, RIGHT)
    feeds = all_feeds(written, state, conductors, nets, roles, RIGHT)
    signals = Signals(written, feeds, roles.flows, RIGHT)
    edges: dict[Edge, tuple[tuple[str, ...], str] | None] = {}
    drivers: dict[str, set[str]] = {}
    for feed in signals.feeds:
        near, far = channel_name(written, feed.driver), channel_name(written, feed.receiver)
        edges[("sends", near), ("gets", far)] = (feed.jacks, feed.polarity)
        if written.ports[feed.driver[0]].direction == "out" or feed.driver[0] in roles.speaks:
            drivers.setdefault(far, set()).add(near)
    for a, b, _ in roles.flows:
        near, far = channel_name(written, a), channel_name(written, b)
        edges[("gets", near), ("sends", far)] = None
    loops = frozenset(frozenset(signals.name(vertex) for vertex in loop) for loop in signals.loops())
    wires = dict(_wires(written, nets, roles))
    return Seen(signals.paths(), edges, loops, {far: frozenset(near) for far, near in drivers.items()}, wires)


def _wires(written: Written, nets: Nets, roles: Roles) -> Iterator[tuple[str, frozenset[str]]]:
    """Of each passive port joined on both sides, channel by channel, what drives its wire."""
    for net, families in nets.families.items():
        members = nets.members(net)
        drivers, _, either = in_net(written, members, roles, RIGHT)
        passed = [written.ports[place] for place in members if place not in roles.ends]
        for port in passed if len(families) == 1 and not either else ():
            for number in range(1, port.channels + 1) if port.direction == "either" and not port.away else ():
                near = {
                    (place, number)
                    for place in drivers
                    if place != port.place and number <= written.ports[place].channels
                }
                yield channel_name(written, (port.place, number)), frozenset(channel_name(written, one) for one in near)


# -- names of the before side --------------------------------------------------------------------------------------------


@define
class Reader:
    """Names of the before side as they read after, by what the edit did to them."""

    effect: Effect
    jacks: dict[str, str] = Factory(dict)
    """Jacks whose column moved."""

    def name(self, text: str) -> str:
        """A place or channel."""
        for kind, old, new, _ in self.effect.renamed:
            head, slash, rest = text.partition("/")
            if kind in ("unit", "bay") and head == old:
                return f"{new}{slash}{rest}"
            if kind == "port" and (text == old or text.startswith(f"{old} ch ")):
                return new + text[len(old) :]
        return text

    def jack(self, text: str) -> str:
        """A jack, where its column is now."""
        name = self.name(text)
        return self.jacks.get(name, name)

    def setup(self, ident: str | None) -> str | None:
        """A setup."""
        return next((new for kind, old, new, _ in self.effect.renamed if kind == "setup" and old == ident), ident)

    def seen(self, seen: Seen) -> Seen:
        """A state of the before side."""
        name = self.name
        return Seen(
            frozenset((name(a), name(b), idle) for a, b, idle in seen.paths),
            {
                ((one, name(a)), (other, name(b))): None if way is None else (tuple(map(self.jack, way[0])), way[1])
                for ((one, a), (other, b)), way in seen.edges.items()
            },
            frozenset(frozenset(map(name, loop)) for loop in seen.loops),
            {name(far): frozenset(map(name, near)) for far, near in seen.drivers.items()},
            {name(passed): frozenset(map(name, near)) for passed, near in seen.wires.items()},
        )


# -- the judgement -------------------------------------------------------------------------------------------------------


@define
class Verdict:
    """What one edit did, and what the diff said wrongly of it; the texts of `wrong` begin with missing, false or name."""

    injected: int = 0
    """Paths that differ, over all states."""
    told: int = 0
    silent: int = 0
    """Parts of longer ways, and paths of idle sources: in the raw sets, never told."""
    ways: int = 0
    """Paths that keep their ends and go another way."""
    sentences: int = 0
    wrong: list[str] = Factory(list)

    def missing(self, text: object) -> None:
        """Something the reference sees and the diff does not tell."""
        self.wrong.append(f"missing: {text}")

    def false(self, text: object) -> None:
        """Something the diff tells and the reference does not see."""
        self.wrong.append(f"false: {text}")

    def compare(self, what: str, expected: Set[object], given: Set[object]) -> None:
        """Two sets that should be the same."""
        for one in sorted(expected - given, key=repr):
            self.missing(f"{what} {one}")
        for one in sorted(given - expected, key=repr):
            self.false(f"{what} {one}")


def judge(before: Files, after: Files, effect: Effect, found: Compared) -> Verdict:
    """Compare a diff with what the reference sees."""
    verdict, reader = Verdict(), Reader(effect)
    old, new = side_of(before), side_of(after)
    given = {(one.kind, one.before, one.after, one.how) for one in found.renamed}
    verdict.wrong += [f"name: {one}" for one in sorted(given ^ set(effect.renamed))]
    _moves(old, new, reader, found, verdict)
    was = {reader.setup(setup): reader.seen(seen) for setup, seen in old.states.items()}
    changed = False
    for delta in found.states:
        if delta.presence != BOTH:
            alone = (new.states if delta.presence == ADDED else was)[delta.setup]
            changed |= bool(alone.paths)
            continue
        one = State(was[delta.setup], new.states[delta.setup], found.changes[delta.setup], found, verdict)
        one.judge({_named(found, pair) for pair in delta.lost}, {_named(found, pair) for pair in delta.gained})
        changed |= {path[:2] for path in one.was.paths} != {path[:2] for path in one.now.paths}
    if effect.quiet:
        assert not verdict.injected, "the edit was to change no path"
        assert not changed
    _result(effect, changed, found, verdict)
    verdict.sentences = len({change.sentence for changes in found.changes.values() for change in changes})
    return verdict


def _named(found: Compared, pair: tuple[int, int, bool]) -> Path:
    name = found.matched.channel_name
    return name(pair[0]), name(pair[1]), pair[2]


def _result(effect: Effect, changed: bool, found: Compared, verdict: Verdict) -> None:
    if changed != (found.result == "ends-changed"):
        verdict.false(f"result {found.result}")
    if effect.quiet and not effect.shifted:
        said = [*found.besides(), *found.needs, *found.jacks]
        if found.result != "text-only" or found.facts or said:
            verdict.false(f"result {found.result}, {said[:2]}, {found.facts[:2]}")


def _moves(old: Side, new: Side, reader: Reader, found: Compared, verdict: Verdict) -> None:
    """Columns told as moved: all that was behind them must be behind the new ones, and those that were moved must be told."""
    told: dict[tuple[str, int], int] = {}
    for run in found.moves.runs:
        for number in range(run.first, run.last + 1):
            told[run.bay, number] = number + run.shift
    for (bay, was), now in told.items():
        rows = [(f"{bay}/{row}{was}", f"{bay}/{row}{now}") for row in ("top ", "bottom ", "")]
        reader.jacks |= dict(rows)
        behind = {reader.name(jack): frozenset(map(reader.name, wired)) for jack, wired in old.points.items()}
        if any(behind.get(jack) != new.points.get(other) for jack, other in rows):
            verdict.false(f"columns of {bay} moved from {was} to {now}")
    for (bay, was), now in reader.effect.shifted.items():
        wired = [old.points.get(f"{bay}/{row}{was}", frozenset()) for row in ("top ", "bottom ", "")]
        alone = any(wired) and not any(place.startswith(f"{bay}/") for part in wired for place in part)
        if alone and _once(old, bay, wired) and told.get((bay, was)) != now:
            verdict.missing(f"column {was} of {bay} moved to {now}")


def _once(side: Side, bay: str, wired: list[frozenset[str]]) -> bool:
    """Whether only one column of a bay has this behind it."""
    numbers = {jack.rpartition(" ")[2].rpartition("/")[2] for jack in side.points if jack.startswith(f"{bay}/")}
    alike = [
        n
        for n in numbers
        if [side.points.get(f"{bay}/{row}{n}", frozenset()) for row in ("top ", "bottom ", "")] == wired
    ]
    return len(alike) == 1


@frozen
class State:
    """One state of both sides, in names as they read after, and what the diff tells of it."""

    was: Seen
    now: Seen
    changes: tuple[Change, ...]
    found: Compared
    verdict: Verdict

    def judge(self, lost: set[Path], gained: set[Path]) -> None:
        """Raw sets, then what is told of them."""
        expected = self.was.paths - self.now.paths, self.now.paths - self.was.paths
        self.verdict.injected += sum(map(len, expected))
        for word, right, given in zip(("lost", "gained"), expected, (lost, gained), strict=True):
            self.verdict.compare(f"path {word}", right, given)
        self._told(expected)
        self._lists()
        self._ways()
        self._loops()
        self._tied()

    def _told(self, expected: tuple[frozenset[Path], frozenset[Path]]) -> None:
        """Every path once, but for idle ones and those whose ends the other side joins too."""
        for word, paths, other in zip(("lost", "gained"), expected, (self.now, self.was), strict=True):
            told = Counter(_named(self.found, pair) for change in self.changes for pair in getattr(change, word))
            graph = other.graph()
            for path in paths:
                silent = path[2] or other.joins(graph, *path[:2])
                self.verdict.silent += silent
                self.verdict.told += told[path] == 1
                if told[path] != (not silent):
                    self.verdict.missing(f"{word} {path} is told {told[path]} times")
            self.verdict.compare(f"told as {word}", frozenset(), frozenset(told) - paths)

    def _lists(self) -> None:
        """What is said of a list of sources and a list of ends is true of each pair, but where one channel stands for all that pass it."""
        for change in self.changes:
            for claim in change.claims if change.kind in ("exchanged", "redirected", "split", "lost", "gained") else ():
                for pairs, which in ((claim.lost, 1), (claim.gained, 2)):
                    said = {
                        pair
                        for turn in claim.turns
                        for pair in self._product(claim.end, turn.sources, (turn.was, turn.now)[which - 1])
                    }
                    if (
                        said != {pair[:2] for pair in pairs}
                        and "go that way" not in change.sentence
                        and "goes that way" not in change.sentence
                    ):
                        self.verdict.false(f"of each pair: {change.sentence}")

    @staticmethod
    def _product(end: str, sources: tuple[int, ...], others: tuple[int, ...]) -> set[tuple[int, int]]:
        pairs = {(one, other) for one in sources for other in others}
        return pairs if end == "source" else {pair[::-1] for pair in pairs}

    def _ways(self) -> None:
        """Paths of both sides that go another way, each told as rerouted, and no others."""
        kept = {path[:2] for path in self.was.paths & self.now.paths if not path[2]}
        differ = frozenset(self._differing(kept))
        self.verdict.ways += len(differ)
        name = self.found.matched.channel_name
        told: set[tuple[str, str]] = set()
        for change in self.changes:
            for claim in change.claims if change.kind == "rerouted" else ():
                turn = claim.turns[0]
                told |= {(name(a), name(b)) for a in turn.sources for b in turn.now}
        self.verdict.compare("way", differ, told)

    def _differing(self, kept: set[tuple[str, str]]) -> Iterator[tuple[str, str]]:
        for seen, other in ((self.was, self.now), (self.now, self.was)):
            graph = seen.graph()
            for (a, b), way in seen.edges.items():
                if (a, b) in other.edges and other.edges[a, b] == way:
                    continue
                above, below = nx.ancestors(graph, a) | {a}, nx.descendants(graph, b) | {b}
                starts, ends = (
                    {vertex[1] for vertex in one if vertex[0] == side}
                    for one, side in ((above, "sends"), (below, "gets"))
                )
                yield from (pair for pair in kept if pair[0] in starts and pair[1] in ends)

    def _loops(self) -> None:
        name = self.found.matched.channel_name
        turns = [claim.turns[0] for change in self.changes if change.kind == "feedback" for claim in change.claims]
        for word, right, given in (
            ("gone", self.was.loops - self.now.loops, {frozenset(map(name, turn.was)) for turn in turns if turn.was}),
            ("new", self.now.loops - self.was.loops, {frozenset(map(name, turn.now)) for turn in turns if turn.now}),
        ):
            self.verdict.compare(f"feedback {word}", right, given)

    def _tied(self) -> None:
        """Inputs with several outputs, where a feed of that input is new or gone."""
        name, none = self.found.matched.channel_name, frozenset[str]()
        expected = {
            (far, self.was.drivers.get(far, none), self.now.drivers.get(far, none))
            for far in self.was.drivers.keys() | self.now.drivers.keys()
        }
        fed = {edge[1][1] for edge in self.was.edges.keys() ^ self.now.edges.keys() if edge[1][0] == "gets"}
        expected = {one for one in expected if one[0] in fed and one[1] != one[2] and max(map(len, one[1:])) > 1}
        claims = [claim for change in self.changes if change.kind == "tied" for claim in change.claims]
        given = {
            (name(claim.turns[0].now[0]), *(frozenset(map(name, side)) for side in claim.drivers)) for claim in claims
        }
        self.verdict.compare("tied", expected, given)
