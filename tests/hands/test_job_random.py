"""Jobs between random studios and roughly edited ones: every state compiles, nothing harms that is not said, the end is the wanted studio."""

from collections.abc import Mapping
from random import Random

import pytest

from tests.change.any_edit import roughly_edited
from tests.hands.jobs import ends_as_wanted, harms, job_of, last
from tests.reference.studios import mutate, random_studio


@pytest.mark.parametrize("seed", range(16))
def test_edited_studios_there_and_back(seed: int) -> None:
    before, after = roughly_edited(seed)
    _holds(before, after)


@pytest.mark.parametrize("seed", range(12))
def test_what_a_person_edits_there_and_back(seed: int) -> None:
    rng = Random(seed)
    before = random_studio(seed, "tiny")
    after = before
    for _ in range(3):
        after = mutate(after, rng)
    _holds(before, after)


@pytest.mark.parametrize("seed", [*range(8), 398])
def test_quite_other_studios(seed: int) -> None:
    _holds(random_studio(seed, "tiny"), random_studio(seed + 1, "tiny"))


def _holds(before: Mapping[str, str], after: Mapping[str, str]) -> None:
    for one, other in ((before, after), (after, before)):
        made = job_of(one, other)
        assert list(harms(made)) == []
        assert last(made) == made.todo.after
        assert ends_as_wanted(made)
