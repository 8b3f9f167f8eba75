"""The raw sets against the reference, which reads both texts by itself; and what must hold of any two studios.

Random studios and random edits come from `tests.reference`.
"""

from collections import Counter
from collections.abc import Mapping
from random import Random
from typing import Any

import pytest

from routecode.change.changes import Change
from routecode.change.delta import StateDelta
from routecode.change.difference import Compared
from routecode.change.facts import differing
from routecode.circuit.circuit import Circuit
from tests.change.truth import side_of
from tests.reference.compiler import circuit_of
from tests.reference.edits import mutate
from tests.reference.flood import Answer, answers
from tests.reference.studios import random_studio
from tests.seeds import some

Files = Mapping[str, str]
SEEDS = some(range(60), 30)


def pair_of_studios(seed: int) -> tuple[Files, Files]:
    """A random studio before and after up to four random edits."""
    rng = Random(seed)
    before = random_studio(seed)
    after = before
    for _ in range(rng.randrange(1, 5)):
        after = mutate(after, rng)
    return before, after


def made(files: Files) -> Circuit:
    circuit, mistakes = circuit_of(files)
    assert circuit is not None, mistakes
    return circuit


def compare(before: Files, after: Files) -> Compared:
    return Compared(made(before), made(after))


class Raw:
    """The raw sets of a state by names, in the form of the reference."""

    def __init__(self, delta: StateDelta, found: Compared) -> None:
        self.channel = found.matched.channel_name
        self.node = found.matched.node_name
        rerouted = list(delta.rerouted)
        self.paths = (self._paths(delta.lost), self._paths(delta.gained))
        self.feeds = (
            self._feeds([*delta.feeds_lost, *(old for old, _ in rerouted)]),
            self._feeds([*delta.feeds_gained, *(new for _, new in rerouted)]),
        )
        self.points = (self._points(delta.points_lost), self._points(delta.points_gained))

    def _paths(self, pairs: Any) -> set[Any]:
        return {(self.channel(a), self.channel(b), idle) for a, b, idle in pairs}

    def _feeds(self, feeds: Any) -> set[Any]:
        return {
            (self.channel(f.source), self.channel(f.target), tuple(map(self.node, f.jacks)), f.polarity, f.either)
            for f in feeds
        }

    def _points(self, points: Any) -> set[Any]:
        return {(self.node(point.jack), tuple(sorted(map(self.node, point.wired)))) for point in points}


NOTHING = Answer(frozenset(), frozenset(), frozenset(), frozenset(), frozenset())


@pytest.mark.parametrize("seed", SEEDS)
def test_the_raw_sets_are_those_of_the_reference(seed: int) -> None:
    before, after = pair_of_studios(seed)
    found = compare(before, after)
    if found.renamed:
        pytest.fail("random edits rename nothing")
    old, new = answers(before), answers(after)
    assert [delta.setup for delta in found.states] == [None, *sorted({name for name in (*old, *new) if name})]
    for delta in found.states:
        raw = Raw(delta, found)
        was, now = old.get(delta.setup, NOTHING), new.get(delta.setup, NOTHING)
        for kind in ("paths", "feeds", "points"):
            lost, gained = getattr(raw, kind)
            assert lost == getattr(was, kind) - getattr(now, kind), (delta.setup, kind)
            assert gained == getattr(now, kind) - getattr(was, kind), (delta.setup, kind)
            assert (set(getattr(was, kind)) - lost) | gained == set(getattr(now, kind))
        assert delta.compared == len({path[:2] for path in was.paths | now.paths})


@pytest.mark.parametrize("seed", SEEDS)
def test_needs_are_those_of_the_reference(seed: int) -> None:
    before, after = pair_of_studios(seed)
    found = compare(before, after)
    old, new = answers(before), answers(after)
    name = found.matched.channel_name
    told = {(need.setup, tuple(map(name, need.steps))) for need in found.needs if need.fails}
    failing = {
        (setup, path)
        for setup, answer in new.items()
        if setup is not None
        for mode, path in answer.needs
        if (mode, path) not in old.get(setup, NOTHING).needs
    }
    assert told == failing


@pytest.mark.parametrize("seed", SEEDS)
def test_every_raw_path_is_told_once_or_known_to_be_silent(seed: int) -> None:
    before, after = pair_of_studios(seed)
    found, sides = compare(before, after), (side_of(after), side_of(before))
    for delta in found.states:
        for raw, which in ((delta.lost, "lost"), (delta.gained, "gained")):
            told = Counter(pair for change in found.changes[delta.setup] for pair in getattr(change, which))
            assert all(count == 1 for count in told.values())
            assert told.keys() <= raw
            for pair in raw - told.keys():
                seen = sides[which == "gained"].states[delta.setup]
                names = map(found.matched.channel_name, pair[:2])
                assert pair.idle or seen.joins(seen.graph(), *names), "neither idle nor a stub"


MIRROR = {"new": "gone", "gone": "new", None: None}
KIND = {"lost": "gained", "gained": "lost"}


def marks(changes: tuple[Change, ...], *, back: bool) -> Counter[object]:
    """What is told, as kind, sense, names and numbers of paths; with `back` as it reads backwards."""
    found: Counter[object] = Counter()
    for change in changes:
        kind = KIND.get(change.kind, change.kind) if back else change.kind
        sense = MIRROR[change.sense] if back else change.sense
        paths = (set(change.gained), set(change.lost)) if back else (set(change.lost), set(change.gained))
        found[kind, sense, change.subjects, change.channels, len(paths[0]), len(paths[1])] += 1
    return found


@pytest.mark.parametrize("seed", SEEDS)
def test_read_backwards_it_is_the_mirror(seed: int) -> None:
    before, after = pair_of_studios(seed)
    forward, backward = compare(before, after), compare(after, before)
    assert (forward.result, forward.compared) == (backward.result, backward.compared)
    for one, other in zip(forward.states, backward.states, strict=True):
        there, back = Raw(one, forward), Raw(other, backward)
        assert (there.paths, there.feeds, there.points) == (back.paths[::-1], back.feeds[::-1], back.points[::-1])
        assert marks(forward.changes[one.setup], back=False) == marks(backward.changes[other.setup], back=True)


@pytest.mark.parametrize("seed", range(0, 60, 3))
def test_a_studio_and_itself_differ_in_nothing(seed: int) -> None:
    files = random_studio(seed)
    found = compare(files, files)
    assert found.result == "text-only", "two circuits of one text, not known to be so"
    assert found.facts == []
    assert all(delta.empty for delta in found.states)
    assert not any(found.changes.values())
    assert not any((found.needs, found.jacks, found.cabling, found.equipment))


@pytest.mark.parametrize("seed", range(0, 60, 3))
def test_no_differing_fact_means_no_difference(seed: int) -> None:
    before, after = pair_of_studios(seed)
    found = compare(before, after)
    if not differing(found.matched):
        assert {None: answers(before)[None].paths} == {None: answers(after)[None].paths}


@pytest.mark.parametrize("seed", SEEDS)
def test_sentences_are_short(seed: int) -> None:
    found = compare(*pair_of_studios(seed))
    for changes in found.changes.values():
        for change in changes:
            text = change.sentence
            named = max((len(name.split()) for name in (*change.subjects, *change.channels)), default=0)
            longest = max(len(part.split()) for part in text.split(". "))
            assert longest <= 25 or named > 3, text
            assert text.endswith(".")
