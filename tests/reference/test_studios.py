"""The random studios: legal, the same for the same seed, and rich enough to find every planted misreading."""

import tomllib
from functools import cache
from random import Random

import pytest
from attrs import evolve

from .compare import disagreements
from .coverage import FEATURES, features
from .flood import Answer, answer, answers
from .readings import RIGHT, Reading, Wrong
from .spread import spread
from .studios import mutate, random_studio
from .toml_text import document
from .written import read, united

SEEDS = range(300)


@cache
def studio(seed: int) -> dict[str, str]:
    return random_studio(seed)


@cache
def right(seed: int) -> dict[str | None, Answer]:
    return answers(studio(seed))


def differs(seed: int, reading: Reading) -> bool:
    """Whether a reading answers otherwise in some state of this studio."""
    written = read(studio(seed), reading)
    return any(answer(written, setup, reading) != expected for setup, expected in right(seed).items())


@pytest.mark.parametrize("wrong", Wrong, ids=lambda wrong: wrong.id)
def test_random_studios_find_every_wrong_reading(wrong: Wrong) -> None:
    seed = next((seed for seed in SEEDS if differs(seed, frozenset([wrong]))), None)
    assert seed is not None, f"no studio tells this apart: {wrong.value}"
    print(f"{wrong.id}: found by seed {seed}")


def test_every_feature_occurs_in_a_hundred_states() -> None:
    states = [(seed, setup, found) for seed in range(40) for setup, found in right(seed).items()][:100]
    assert len(states) == 100
    seen = {ident for seed, setup, found in states for ident in features(studio(seed), setup, found)}
    assert sorted(set(FEATURES) - seen) == []


def test_same_seed_same_bytes_and_other_seed_other_studio() -> None:
    for seed in range(20):
        again = random_studio(seed)
        assert list(again.items()) == list(studio(seed).items())
    assert len({str(studio(seed)) for seed in range(20)}) == 20


@pytest.mark.parametrize("size", ["tiny", "small", "large"])
def test_every_file_is_toml_and_the_studio_has_a_head(size: str) -> None:
    for seed in range(60):
        files = random_studio(seed, size)
        for text in files.values():
            tomllib.loads(text)
        assert united(files)["studio"]["language"] == 1
        assert "title" in tomllib.loads(files["studio.toml"])["studio"]


def split_places(seed: int) -> set[str]:
    """The places that a deliberate split names."""
    pairs = [(c["from"], c["to"]) for c in united(studio(seed)).get("cable", [])]
    split = [pair for pair in pairs if any(isinstance(part, list) for side in pair for part in side)]
    return {name for pair in split for side in pair for name in spread(side, RIGHT)}


def test_no_place_has_a_second_cable_but_by_a_split_or_at_its_face() -> None:
    for seed in range(100):
        written, split = read(studio(seed), RIGHT), split_places(seed)
        hardwired = {place for i in written.insides if i.kind == "hardwired" for pair in i.pairs for place, _ in pair}
        for place in [*written.jacks, *written.ports]:
            here = [cable for cable in written.cables if place in (cable.a, cable.b)]
            assert len([cable for cable in here if not cable.front]) < 2 or place in split, (seed, place)
            assert len([cable for cable in here if cable.front]) < 2, (seed, place)
            assert len(here) < 2 or place not in hardwired or place in split, (seed, place)


def test_order_of_files_changes_nothing() -> None:
    for seed in range(30):
        files = studio(seed)
        assert answers(dict(reversed(files.items()))) == right(seed)


def test_one_file_says_the_same_as_many() -> None:
    """All files in one give the same answers: tables may be continued anywhere."""
    for seed in range(30):
        assert answers({"studio.toml": document(Random(seed), united(studio(seed)))}) == right(seed)


def test_an_edit_is_legal_deterministic_and_changes_one_file() -> None:
    changed = 0
    for seed in range(60):
        before = studio(seed)
        after = mutate(before, Random(seed))
        assert after == mutate(before, Random(seed))
        assert [name for name in before if before[name] != after[name]] != []
        assert sum(before[name] != after[name] for name in before) == 1
        changed += answers(after) != right(seed)
    assert changed > 15


def test_comparison_is_silent_on_the_right_answer_and_names_what_is_missing_or_too_much() -> None:
    seed = next(seed for seed in SEEDS if right(seed)[None].paths)
    assert disagreements(studio(seed), right(seed)) == []
    path = min(right(seed)[None].paths)
    less = evolve(right(seed)[None], paths=right(seed)[None].paths - {path})
    more = evolve(right(seed)[None], points=right(seed)[None].points | {("x/top 1", ("a/b", "c/d"))})
    told = f"{path[0]} to {path[1]}{', idle' if path[2] else ''}"
    assert disagreements(studio(seed), {**right(seed), None: less}) == [f"unpatched: paths missing: {told}"]
    assert disagreements(studio(seed), {**right(seed), None: more}) == [
        "unpatched: points that should not be there: behind x/top 1: a/b, c/d"
    ]


def test_comparison_tells_states_that_are_missing_or_too_many() -> None:
    patched: dict[str | None, Answer] = {setup: found for setup, found in right(0).items() if setup is not None}
    assert disagreements(studio(0), patched) == ["unpatched: not answered"]
    extra: dict[str | None, Answer] = {**right(0), "no such": right(0)[None]}
    assert disagreements(studio(0), extra) == ["setup no such: answered, but there is no such setup"]


def test_comparison_finds_a_wrong_reading() -> None:
    reading = frozenset([Wrong.FULL_NEVER_BREAKS])
    assert any(disagreements(studio(seed), answers(studio(seed), reading)) for seed in range(60))
