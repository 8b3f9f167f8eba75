"""The assignment of removed cables to new ones: the best there is, by trying all, and by another program on larger ones."""

from itertools import permutations
from random import Random

import networkx
import pytest

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
def test_larger_ones_against_a_matching_of_a_general_graph(seed: int) -> None:
    rng = Random(seed)
    rows, columns = rng.randint(8, 20), rng.randint(8, 20)
    worths = [[rng.choice((0, rng.randint(1, 99))) for _ in range(columns)] for _ in range(rows)]
    graph = networkx.Graph()
    edges = (
        (row, rows + column, worth) for row, each in enumerate(worths) for column, worth in enumerate(each) if worth
    )
    graph.add_weighted_edges_from(edges)
    matching = networkx.max_weight_matching(graph)
    wanted = sum(graph[a][b]["weight"] for a, b in matching)
    assert worth_of(worths, assigned(worths)) == wanted


def test_taking_the_best_pair_first_is_not_the_best_whole() -> None:
    """So the two ways can be told apart, and the test above can fail."""
    worths = [[10, 9], [9, 1]]
    assert worth_of(worths, assigned(worths)) == 18
    assert worth_of(worths, job_assign._greedy(worths)) == 11


def test_nothing_is_paired_with_nothing() -> None:
    assert assigned([]) == []
    assert assigned([[], []]) == [-1, -1]
    assert assigned([[0, 0]]) == [-1]
