"""The compiler against the reference: random studios and their edits, unpatched and in every setup."""

from random import Random

import pytest

from tests.reference.compare import disagreements
from tests.reference.compiler import answers
from tests.reference.heavy import seed_disagreements
from tests.reference.studios import mutate, random_studio

STUDIOS = 300


@pytest.mark.parametrize("tens", range(STUDIOS // 10))
def test_compiler_and_reference_agree(tens: int) -> None:
    for seed in range(tens * 10, tens * 10 + 10):
        files = random_studio(seed)
        assert disagreements(files, answers(files)) == [], f"seed {seed}"


@pytest.mark.parametrize("tens", range(10))
def test_they_agree_after_edits(tens: int) -> None:
    for seed in range(tens * 10, tens * 10 + 10):
        rng = Random(seed)
        files = random_studio(seed + 50_000)
        for _ in range(3):
            files = mutate(files, rng)
        assert disagreements(files, answers(files)) == [], f"seed {seed}"


@pytest.mark.parametrize("tens", range(10))
def test_raw_sets_of_a_diff_are_the_differences_of_the_reference(tens: int) -> None:
    for seed in range(70_000 + tens * 10, 70_010 + tens * 10):
        assert seed_disagreements(seed) == []


def test_a_wrong_answer_is_seen() -> None:
    files = random_studio(3)
    given = answers(files)
    unpatched = given[None]
    wrong = type(unpatched)(
        frozenset(list(unpatched.feeds)[1:]), unpatched.paths, unpatched.points, unpatched.feedback, unpatched.needs
    )
    assert disagreements(files, {**given, None: wrong}) != []
