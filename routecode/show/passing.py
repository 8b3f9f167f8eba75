"""What a feed passes on its way through the wiring: cables, jacks, normals, link plugs, cords, mults, passive ports."""

from collections import deque
from itertools import pairwise
from typing import NamedTuple

from routecode.circuit.plant import Plant
from routecode.circuit.state import State


class Passed(NamedTuple):
    """One thing on the way: a place (`node`, canonical name) or a joint (`node` -1, in words)."""

    node: int
    words: str


def passed(state: State, source: int, target: int, jacks: tuple[int, ...]) -> list[Passed]:
    """Everything between two nodes of one net, in order, along the way over these jacks; the two ends are left out."""
    way = _way(state, source, target, set(jacks))
    found: list[Passed] = []
    hubs = state.plant.hubs
    for before, node in pairwise(way):
        if node >= hubs:
            continue  # the bus of a mult is no place; it is told when it is left
        found.append(Passed(-1, "mult" if before >= hubs else joint(state, before, node)))
        if node != target:
            found.append(Passed(node, state.plant.name(node)))
    return found


def _way(state: State, source: int, target: int, jacks: set[int]) -> list[int]:
    """The nodes of a way from one node to another over no jacks but these."""
    parents = {source: -1}
    queue = deque([source])
    while queue and target not in parents:
        node = queue.popleft()
        for other in sorted(state.joined(node)):
            if other not in parents and (other == target or other in jacks or not state.plant.is_jack(other)):
                parents[other] = node
                queue.append(other)
    if target not in parents:
        return [source]
    way = [target]
    while parents[way[-1]] >= 0:
        way.append(parents[way[-1]])
    return way[::-1]


def joint(state: State, a: int, b: int) -> str:
    """What joins two neighbours of a state, in words; cords first, since they were put there last."""
    plant = state.plant
    for cord in state.cords:
        if {cord.a.node, cord.b.node} == {a, b}:
            return "cord"
    for wire in plant.wires_of(a):
        if wire.other(a) == b:
            return f"cable {wire.number}" if wire.number else "cable"
    if plant.is_jack(a) and plant.is_jack(b):
        return _between_jacks(state, a, b)
    return f"inside {plant.unit_of(a).id}"


def _between_jacks(state: State, a: int, b: int) -> str:
    plant = state.plant
    for number in plant.normals_at(a):
        normal = plant.normals[number]
        if {normal.source, normal.target} == {a, b} and state.normal_closed(normal):
            return "link plug" if normal.column and plant.bays[normal.bay].plugs else "normal"
    return "mult"


def dead_ends(state: State, node: int) -> list[int]:
    """Where the wiring from a node stops without reaching another unit: the jacks furthest out, in their order."""
    plant: Plant = state.plant
    seen = {node}
    queue = [node]
    ends: list[int] = []
    for here in queue:
        further = [other for other in state.joined(here) if other not in seen]
        seen.update(further)
        queue += further
        if not further and here != node and plant.is_jack(here):
            ends.append(here)
    return sorted(ends, key=plant.jack_key)
