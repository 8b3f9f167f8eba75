"""The assignment of removed cables to new ones: the best there is, by trying all, and by another program on larger ones."""

from itertools import permutations
from random import Random

import pytest
from scipy.optimize import linear_sum_assignment

from routecode.hands import job_assign
from routecode.hands.job_assign import assigned


def best(worths: list[list[int]]) -> int:
    """The greatest sum of worths of any pairing, by trying all."""
    columns = [*range(len(worths[0])), *[-1] * len(worths)]
    sums = (
        sum(worths[row][column] for row, column in enumerate(order) if column >= 0)
        for order in permutations(columns, len(worths))
    )
    return max(sums, default=0)


def worth_of(worths: list[list[int]], found: list[int]) -> int:
    taken = [column for column in found if column >= 0]
    assert len(taken) == len(set(taken))
    assert all(worths[row][column] > 0 for row, column in enumerate(found) if column >= 0)
    return sum(worths[row][column] for row, column in enumerate(found) if column >= 0)


@pytest.mark.parametrize("seed", range(120))
def test_the_best_of_all_pairings(seed: int) -> None:
    rng = Random(seed)
    rows, columns = rng.randint(1, 4), rng.randint(1, 4)
    worths = [
        [rng.choice((0, 0, rng.randint(1, 9), rng.randint(1, 2_000_000))) for _ in range(columns)] for _ in range(rows)
    ]
    assert worth_of(worths, assigned(worths)) == best(worths)


@pytest.mark.parametrize("seed", range(10))
def test_larger_ones_against_an_outside_assignment(seed: int) -> None:
    """scipy's linear_sum_assignment, another method in another library."""
    rng = Random(seed)
    rows, columns = rng.randint(8, 20), rng.randint(8, 20)
    worths = [[rng.choice((0, rng.randint(1, 99))) for _ in range(columns)] for _ in range(rows)]
    chosen = linear_sum_assignment(worths, maximize=True)
    wanted = sum(worths[row][column] for row, column in zip(*chosen, strict=True))
    assert worth_of(worths, assigned(worths)) == wanted


@pytest.mark.parametrize("shape", [(30, 30), (3, 9), (9, 3)])
def test_alike_ones_keep_their_order(shape: tuple[int, int]) -> None:
    found = assigned([[7] * shape[1] for _ in range(shape[0])])
    assert [column for column in found if column >= 0] == list(range(min(shape)))


def test_taking_the_best_pair_first_is_not_the_best_whole() -> None:
    """So the two ways can be told apart, and the test above can fail."""
    worths = [[10, 9], [9, 1]]
    assert worth_of(worths, assigned(worths)) == 18
    assert worth_of(worths, job_assign._greedy(worths)) == 11


def test_nothing_is_paired_with_nothing() -> None:
    assert assigned([]) == []
    assert assigned([[], []]) == [-1, -1]
    assert assigned([[0, 0]]) == [-1]
