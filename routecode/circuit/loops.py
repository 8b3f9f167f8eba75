"""Strongly connected groups of a directed graph: Tarjan's algorithm without recursion (R. Tarjan, SIAM J. Comput. 1, 1972)."""

from collections.abc import Iterator, Mapping, Sequence


def strongly_connected(edges: Mapping[int, Sequence[int]]) -> list[list[int]]:
    """The groups of all vertices that occur, each group after every group it leads to."""
    number: dict[int, int] = {}
    low: dict[int, int] = {}
    open_: list[int] = []
    on_stack: set[int] = set()
    groups: list[list[int]] = []
    for root in edges:
        if root in number:
            continue
        work: list[tuple[int, Iterator[int]]] = [(root, iter(edges[root]))]
        number[root] = low[root] = len(number)
        open_.append(root)
        on_stack.add(root)
        while work:
            vertex, rest = work[-1]
            for other in rest:
                if other not in number:
                    number[other] = low[other] = len(number)
                    open_.append(other)
                    on_stack.add(other)
                    work.append((other, iter(edges.get(other, ()))))
                    break
                if other in on_stack and number[other] < low[vertex]:
                    low[vertex] = number[other]
            else:
                work.pop()
                if work and low[vertex] < low[work[-1][0]]:
                    low[work[-1][0]] = low[vertex]
                if low[vertex] == number[vertex]:
                    groups.append(_closed_group(vertex, open_, on_stack))
    return groups


def _closed_group(root: int, open_: list[int], on_stack: set[int]) -> list[int]:
    group: list[int] = []
    while True:
        vertex = open_.pop()
        on_stack.discard(vertex)
        group.append(vertex)
        if vertex == root:
            return group
