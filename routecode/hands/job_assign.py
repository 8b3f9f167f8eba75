"""Which removed cable becomes which new one: an assignment of the greatest worth. Knows no cables, only worths.

The Hungarian method with potentials, rows against columns; what is worth nothing stays alone. Above MOST rows or columns of one
sort the best pair is taken again and again instead, which may not be the best whole.
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
    most = max(max(row) for row in worths)
    costs = [[most - worth for worth in row] + [most] * rows for row in worths]
    found = _hungarian(costs)
    return [column if column < columns and worths[row][column] > 0 else -1 for row, column in enumerate(found)]


def _hungarian(costs: list[list[int]]) -> list[int]:
    """For each row its column; the sum of costs is the least. There are at least as many columns as rows."""
    rows, columns = len(costs), len(costs[0])
    row_price, column_price = [0] * (rows + 1), [0] * (columns + 1)
    row_of = [0] * (columns + 1)  # counted from 1; column 0 stands for the row that is being placed
    for row in range(1, rows + 1):
        row_of[0] = row
        way = _augment(costs, row_price, column_price, row_of)
        column = way[0]
        while column:
            row_of[column] = row_of[way[column]]
            column = way[column]
    found = [-1] * rows
    for column in range(1, columns + 1):
        if row_of[column]:
            found[row_of[column] - 1] = column - 1
    return found


def _augment(costs: list[list[int]], row_price: list[int], column_price: list[int], row_of: list[int]) -> list[int]:
    """The cheapest way from the row in column 0 to a free column: each column's one before it; at 0 the free column."""
    columns = len(column_price) - 1
    least: list[float] = [float("inf")] * (columns + 1)
    way, used, column = [0] * (columns + 1), [False] * (columns + 1), 0
    while True:
        used[column] = True
        row, step, nearest = row_of[column], float("inf"), 0
        for other in range(1, columns + 1):
            if used[other]:
                continue
            cost = costs[row - 1][other - 1] - row_price[row] - column_price[other]
            if cost < least[other]:
                least[other], way[other] = cost, column
            if least[other] < step:
                step, nearest = least[other], other
        for other in range(columns + 1):
            if used[other]:
                row_price[row_of[other]] += int(step)
                column_price[other] -= int(step)
            else:
                least[other] -= step
        column = nearest
        if not row_of[column]:
            way[0] = column
            return way


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
