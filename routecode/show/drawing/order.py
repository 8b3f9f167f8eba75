"""Which lines run down the page and which come back up: an order of the blocks in which as few joints as possible run backward.

The method is that of Eades, Lin and Smyth for feedback arcs, with counts as weights (from memory): take away what only gives or
only takes, else what gives most beyond what it takes.
"""

from collections.abc import Iterable

from routecode.show.drawing.picture import Line

Arc = tuple[str, str, int]


def returning(lines: Iterable[Line], ends_only: frozenset[str]) -> frozenset[str]:
    """The ids of lines that come back up. `ends_only`: blocks in which nothing that arrives goes on, such as wall boxes."""
    lines = list(lines)
    givers = {line.a.node for line in lines}
    arcs = [
        (line.a.node, line.b.node, line.count)
        for line in lines
        if not (line.b.node in ends_only and line.b.node in givers)
    ]
    place = {node: index for index, node in enumerate(order(arcs))}
    back = set()
    for line in lines:
        early, late = place.get(line.a.node), place.get(line.b.node)
        stops = line.b.node in ends_only and line.b.node in givers
        if stops or early is None or late is None or early >= late:
            back.add(line.id)
    return frozenset(back)


def order(arcs: Iterable[Arc]) -> list[str]:
    """The blocks in order."""
    out: dict[str, dict[str, int]] = {}
    into: dict[str, dict[str, int]] = {}
    for a, b, count in arcs:
        for node in (a, b):
            out.setdefault(node, {})
            into.setdefault(node, {})
        if a != b:
            out[a][b] = out[a].get(b, 0) + count
            into[b][a] = into[b].get(a, 0) + count
    first: list[str] = []
    last: list[str] = []
    while out:
        node, at_end = _next(out, into)
        (last if at_end else first).append(node)
        for other in out.pop(node):
            del into[other][node]
        for other in into.pop(node):
            del out[other][node]
    return first + last[::-1]


def _next(out: dict[str, dict[str, int]], into: dict[str, dict[str, int]]) -> tuple[str, bool]:
    """The block to take away, and whether it goes to the end."""
    names = sorted(out, key=lambda node: int(node[1:]))
    for node in names:
        if not into[node]:
            return node, False
    for node in names:
        if not out[node]:
            return node, True
    return max(names, key=lambda node: (sum(out[node].values()) - sum(into[node].values()), -int(node[1:]))), False
