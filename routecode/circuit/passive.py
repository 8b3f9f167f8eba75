"""Passive ports and the insides that are not conductors: which ports speak, listen, or offer to speak.

Two-way insides (transformer or capacitor between passive ports) take their direction from the nets around them, in two rounds:
supply from what is driven, then demand from what wants a signal (see pages/meaning.md).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from attrs import field, frozen

from routecode.circuit.plant import EITHER, Branch, Plant

if TYPE_CHECKING:
    from routecode.circuit.state import State

Crossing = tuple[int, int]
"""The two ports of a two-way inside."""


@frozen
class Passives:
    """Passive ports (node numbers) by what the insides at them make of them."""

    speaks: set[int] = field(factory=set)
    listens: set[int] = field(factory=set)
    offers: set[int] = field(factory=set)
    """Ports that speak as an end does: only where nothing else drives."""
    taken: set[Crossing] = field(factory=set)
    """The way that two-way insides take: (listening port, speaking port)."""

    @classmethod
    def of(cls, state: State) -> Passives:
        """Settle the passive ports of a state whose nets are flooded."""
        places = state.plant.passive
        passives = cls()
        if not places:
            return passives
        crossings: set[Crossing] = set()
        for unit, branch in places:
            if not state.closed(unit, branch):
                continue
            source, target = unit.first + branch.source, unit.first + branch.target
            if two_way(state.plant, source, target, branch):
                crossings.add((source, target))
                crossings.add((target, source))
                continue
            if state.plant.direction[source] == EITHER:
                passives.listens.add(source)
            if state.plant.direction[target] == EITHER:
                passives.speaks.add(target)
        if crossings:
            _rounds(state, sorted(crossings), passives)
        return passives


def two_way(plant: Plant, source: int, target: int, branch: Branch) -> bool:
    """Whether an inside works both ways."""
    return (
        branch.kind in ("transformer", "capacitor")
        and plant.direction[source] == EITHER
        and plant.direction[target] == EITHER
    )


def _rounds(state: State, crossings: list[Crossing], passives: Passives) -> None:
    def net_key(node: int) -> int:
        net = state.net_of(node)
        return id(net) if net is not None else -1 - node

    supplied = _levels(crossings, net_key, lambda node: _driven(state, node, passives), set())
    for listener, speaker in supplied[0]:
        passives.listens.add(listener)
        passives.speaks.add(speaker)
        passives.taken.add((listener, speaker))
    wanted = _levels(crossings, net_key, lambda node: _wanted(state, node, passives), set(supplied[1]))
    for speaker, listener in wanted[0]:
        passives.offers.add(speaker)
        passives.listens.add(listener)
        passives.taken.add((listener, speaker))


def _levels(
    crossings: list[Crossing], net_key: Callable[[int], int], starts: Callable[[int], bool], barred: set[int]
) -> tuple[list[Crossing], dict[int, int]]:
    """Spread from net to net over the crossings: the crossings used, from the nearer net, and the level of each net reached."""
    levels = {net_key(near): 0 for near, _ in crossings if net_key(near) not in barred and starts(near)}
    used: list[Crossing] = []
    level = 0
    while True:
        step = [
            (near, far)
            for near, far in crossings
            if levels.get(net_key(near)) == level and net_key(far) not in barred and net_key(far) not in levels
        ]
        if not step:
            return used, levels
        used += step
        level += 1
        levels.update({net_key(far): level for _, far in step})


def _driven(state: State, node: int, passives: Passives) -> bool:
    net = state.net_of(node)
    if net is None:
        return node in passives.speaks
    return bool(net.outs) or any(port in passives.speaks for port in net.passive)


def _wanted(state: State, node: int, passives: Passives) -> bool:
    net = state.net_of(node)
    if net is None:
        return node in passives.listens
    return bool(net.ins) or any(port in passives.listens for port in net.passive)
