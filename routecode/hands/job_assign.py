"""Which removed cable becomes which new one: an assignment of the greatest worth. Knows no cables, only worths.

networkx finds it (a matching of greatest weight); above MOST rows or columns of one sort the best pair is taken again and again
instead, which may not be the best whole.
"""

from collections.abc import Sequence

MOST = 120


def assigned(worths: Sequence[Sequence[int]]) -> list[int]:
    """For each row the column it gets, -1 for none: pairs of worth 0 are not made, and the sum of worths is the greatest there is."""
    rows, columns = len(worths), len(worths[0]) if worths else 0
    if not rows or not columns:
        return [-1] * rows
    if max(rows, columns) > MOST:
        return _greedy(worths)
    return _matched(worths)


def _matched(worths: Sequence[Sequence[int]]) -> list[int]:
    from networkx import Graph, max_weight_matching

    rows, columns = len(worths), len(worths[0])
    scale = rows * columns * max(rows, columns)  # of pairings that are worth the same, the one that keeps the order
    graph = Graph()
    for row, each in enumerate(worths):
        pairs = ((column, worth) for column, worth in enumerate(each) if worth > 0)
        graph.add_weighted_edges_from(
            (row, rows + column, worth * scale - abs(row - column)) for column, worth in pairs
        )
    found = [-1] * rows
    for pair in max_weight_matching(graph):
        row, column = sorted(pair)
        found[row] = column - rows
    return found


def _greedy(worths: Sequence[Sequence[int]]) -> list[int]:
    pairs = sorted(
        (-worth, row, column) for row, each in enumerate(worths) for column, worth in enumerate(each) if worth
    )
    found, taken = [-1] * len(worths), set()
    for _, row, column in pairs:
        if found[row] < 0 and column not in taken:
            found[row] = column
            taken.add(column)
    return found
