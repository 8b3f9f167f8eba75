"""The compiler against the reference: random studios and their edits, unpatched and in every setup."""

from random import Random

import pytest

from tests.reference.compare import disagreements
from tests.reference.compiler import answers
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


def test_a_wrong_answer_is_seen() -> None:
    files = random_studio(3)
    given = answers(files)
    unpatched = given[None]
    wrong = type(unpatched)(
        frozenset(list(unpatched.feeds)[1:]), unpatched.paths, unpatched.points, unpatched.feedback, unpatched.needs
    )
    assert disagreements(files, {**given, None: wrong}) != []
