"""The way of a feed through its net: the jacks it passes, and whether hot and cold arrive exchanged."""

from heapq import heappop, heappush

from routecode.circuit.nets import Net
from routecode.circuit.state import State, pair

JackKey = tuple[str, str, int]


def jacks_between(state: State, net: Net, start: int) -> dict[int, tuple[int, ...]]:
    """From `start` to every other port of the net: the jacks of the best way (fewest; then first by bay, row, number)."""
    if not state.plant.hub_jacks and sum(len(state.joined(node)) for node in net.nodes) == 2 * (len(net.nodes) - 1):
        return _tree_ways(state, start)
    return _shortest_ways(state, start)


def _tree_ways(state: State, start: int) -> dict[int, tuple[int, ...]]:
    ports = state.plant.ports
    ways: dict[int, tuple[int, ...]] = {start: (start,) if start >= ports else ()}
    queue = [start]
    for node in queue:
        way = ways[node]
        for other in state.joined(node):
            if other not in ways:
                ways[other] = (*way, other) if other >= ports else way
                queue.append(other)
    return ways


def _shortest_ways(state: State, start: int) -> dict[int, tuple[int, ...]]:
    plant = state.plant
    ways: dict[int, tuple[int, ...]] = {}
    keys: dict[int, JackKey] = {}

    def key(node: int) -> JackKey:
        found = keys.get(node)
        if found is None:
            found = keys[node] = plant.jack_key(node)
        return found

    first = (start,) if plant.is_jack(start) else ()
    heap: list[tuple[int, tuple[JackKey, ...], int, tuple[int, ...]]] = [
        (len(first), tuple(map(key, first)), start, first)
    ]
    while heap:
        count, names, node, way = heappop(heap)
        if node in ways:
            continue
        ways[node] = way
        for other in state.joined(node):
            if other in ways:
                continue
            if plant.is_jack(other):
                heappush(heap, (count + 1, (*names, key(other)), other, (*way, other)))
            else:
                heappush(heap, (count, names, other, way))
    return ways


def polarities(state: State, start: int) -> dict[int, str] | None:
    """From `start` to every node of the net: `kept` or `reversed`; None where the net is `mixed`."""
    turned = {start: 0}
    queue = [start]
    for node in queue:
        for other in set(state.joined(node)):
            for parity in _parities(state, node, other):
                there = turned[node] ^ parity
                if other not in turned:
                    turned[other] = there
                    queue.append(other)
                elif turned[other] != there:
                    return None
    return {node: "reversed" if parity else "kept" for node, parity in turned.items()}


def _parities(state: State, a: int, b: int) -> tuple[int, ...]:
    """The parities of the joints between two neighbours: 0 kept, 1 reversed."""
    exchanged = state.reversed.get(pair(a, b), 0)
    if not exchanged:
        return (0,)
    return (1,) if exchanged == state.joined(a).count(b) else (0, 1)


def reverses(state: State, net: Net) -> bool:
    """Whether any joint of the net exchanges hot and cold."""
    exchanging = state.exchanging()
    return bool(exchanging) and any(node in exchanging for node in net.nodes)
