"""The long comparison: `python -m tests.reference.heavy --count 10000 [--seed 0]`.

For each seed a random studio and an edited copy of it are compiled and compared with the reference, unpatched and in every setup; then the raw
sets of the compiler's diff are compared with the differences of the reference's answers. Two processes; status 1 on any disagreement.
"""

import argparse
import sys
from collections.abc import Iterable, Iterator, Mapping
from multiprocessing import Pool
from random import Random
from typing import Any

from routecode.change.delta import BOTH, StateDelta
from routecode.change.difference import Compared
from routecode.change.view import SeenFeed
from tests.reference.compare import disagreements
from tests.reference.compiler import answers, circuit_of
from tests.reference.flood import Answer
from tests.reference.flood import answers as reference_answers
from tests.reference.studios import mutate, random_studio

Files = Mapping[str, str]


def seed_disagreements(seed: int) -> list[str]:
    """All that compiler and reference say differently of one seed."""
    before = random_studio(seed)
    rng = Random(seed)
    after: Files = before
    for _ in range(rng.randint(1, 3)):
        after = mutate(dict(after), rng)
    found = [f"seed {seed}, before: {text}" for text in disagreements(before, answers(before))]
    found += [f"seed {seed}, after: {text}" for text in disagreements(after, answers(after))]
    return found + [f"seed {seed}, diff: {text}" for text in diff_disagreements(before, after)]


def diff_disagreements(before: Files, after: Files) -> Iterator[str]:
    """Where the raw sets of a diff are not the differences of the reference's answers."""
    old, new = circuit_of(before)[0], circuit_of(after)[0]
    assert old is not None
    assert new is not None
    compared = Compared(old, new)
    was, now = reference_answers(before), reference_answers(after)
    back = {name: before_name for before_name, name in compared.identity.setups.items()}
    for delta in compared.states:
        if delta.presence != BOTH:
            continue
        setup = back.get(delta.setup, delta.setup) if delta.setup is not None else None
        expected = _differences(_read(was[setup], compared), now[delta.setup])
        given = _given(delta, compared)
        for kind, right in expected.items():
            if given[kind] != right:
                yield f"{delta.setup or 'unpatched'}: {kind}: {sorted(given[kind] ^ right)[:3]}"


def _read(answer: Answer, compared: Compared) -> Answer:
    """An answer of the before side in names as they read after."""
    read = compared.identity.read
    return Answer(
        frozenset(
            (read(a), read(b), tuple(map(read, jacks)), polarity, either)
            for a, b, jacks, polarity, either in answer.feeds
        ),
        frozenset((read(a), read(b), idle) for a, b, idle in answer.paths),
        frozenset((read(jack), tuple(sorted(map(read, wired)))) for jack, wired in answer.points),
        answer.feedback,
        answer.needs,
    )


def _differences(was: Answer, now: Answer) -> dict[str, set[Any]]:
    old = {(a, b, either): (jacks, polarity) for a, b, jacks, polarity, either in was.feeds}
    new = {(a, b, either): (jacks, polarity) for a, b, jacks, polarity, either in now.feeds}
    return {
        "paths lost": set(was.paths - now.paths),
        "paths gained": set(now.paths - was.paths),
        "feeds lost": set(old.keys() - new.keys()),
        "feeds gained": set(new.keys() - old.keys()),
        "feeds rerouted": {(key, old[key], new[key]) for key in old.keys() & new.keys() if old[key] != new[key]},
        "points lost": set(was.points - now.points),
        "points gained": set(now.points - was.points),
    }


def _given(delta: StateDelta, compared: Compared) -> dict[str, set[Any]]:
    channel, node = compared.matched.channel_name, compared.matched.node_name

    def key(feed: SeenFeed) -> tuple[str, str, bool]:
        return channel(feed.source), channel(feed.target), feed.either

    def way(feed: SeenFeed) -> tuple[tuple[str, ...], str]:
        return tuple(map(node, feed.jacks)), feed.polarity

    def paths(pairs: Iterable[tuple[int, int, bool]]) -> set[Any]:
        return {(channel(source), channel(target), idle) for source, target, idle in pairs}

    def points(found: Iterable[tuple[int, tuple[int, ...]]]) -> set[Any]:
        return {(node(jack), tuple(sorted(map(node, wired)))) for jack, wired in found}

    return {
        "paths lost": paths(delta.lost),
        "paths gained": paths(delta.gained),
        "feeds lost": set(map(key, delta.feeds_lost)),
        "feeds gained": set(map(key, delta.feeds_gained)),
        "feeds rerouted": {(key(old), way(old), way(new)) for old, new in delta.rerouted},
        "points lost": points(delta.points_lost),
        "points gained": points(delta.points_gained),
    }


def main() -> int:
    """Compare and tell."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=10_000)
    parser.add_argument("--seed", type=int, default=0)
    asked = parser.parse_args()
    found = done = 0
    with Pool(2) as pool:
        for texts in pool.imap(seed_disagreements, range(asked.seed, asked.seed + asked.count), chunksize=20):
            done += 1
            found += bool(texts)
            for text in texts:
                print(text, flush=True)
            if done % 1000 == 0:
                print(f"{done} studios, {found} with disagreements", flush=True)
    print(f"{done} random studios, each with an edited copy and their diff: {found} disagree.")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
