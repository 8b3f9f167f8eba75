"""Nets of a state: what conductors join, who drives them and who receives.

A state is flooded over lists of neighbours; a setup floods only the nets that it changes.
"""

from collections.abc import Callable, Iterable, Iterator

from attrs import define, field

from routecode.circuit.plant import EITHER, IN, OUT

Neighbours = dict[int, list[int]]


@define(eq=False)
class Net:
    """Ports and jacks joined by conductors (at least two).

    `outs` and `ins` are ports that drive and receive by their direction; `passive` its `either` ports, `ends` those of them that are
    joined on one side only. `drives` and `hears` are what holds in the end: every one of `drives` feeds every one of `hears` but
    itself. `families` holds the family numbers of all its ports; more than one: no feeds. `either`: only ends feed each other here.
    """

    nodes: list[int]
    outs: list[int]
    ins: list[int]
    passive: list[int]
    families: set[int]
    drives: list[int]
    hears: list[int]
    ends: list[int] = field(factory=list)
    either: bool = False

    def pairs(self) -> Iterator[tuple[int, int]]:
        """(driving port, receiving port) of its feeds."""
        if len(self.families) == 1:
            for driver in self.drives:
                for hearer in self.hears:
                    if driver != hearer:
                        yield driver, hearer


def flood_all(neighbours: Neighbours, count: int) -> Iterator[list[int]]:
    """Groups of joined nodes among `count` nodes, each group once."""
    seen = bytearray(count)
    for start in neighbours:
        if seen[start]:
            continue
        seen[start] = 1
        group = [start]
        for node in group:
            for other in neighbours[node]:
                if not seen[other]:
                    seen[other] = 1
                    group.append(other)
        yield group


def flood_from(starts: Iterable[int], joined: Callable[[int], list[int]]) -> Iterator[list[int]]:
    """Groups of joined nodes that hold one of `starts`, each group once; a lone node is a group of one."""
    seen: set[int] = set()
    for start in starts:
        if start in seen:
            continue
        seen.add(start)
        group = [start]
        for node in group:
            for other in joined(node):
                if other not in seen:
                    seen.add(other)
                    group.append(other)
        yield group


def classified(nodes: list[int], direction: list[int], family: list[int], away: set[int]) -> Net:
    """The net of these nodes with its outputs, inputs and passive ports; passive ones are settled later."""
    outs: list[int] = []
    ins: list[int] = []
    passive: list[int] = []
    families: set[int] = set()
    for node in nodes:
        way = direction[node]
        if way:
            families.add(family[node])
            if node in away:
                continue
            if way == IN:
                ins.append(node)
            elif way == OUT:
                outs.append(node)
            elif way == EITHER:
                passive.append(node)
    return Net(nodes, outs, ins, passive, families, outs, ins)


def settle(net: Net, ends: list[int], speaks: set[int], listens: set[int], offers: set[int]) -> None:
    """Let the passive ports of a net drive or receive.

    `ends`: joined on one side only; `speaks`, `listens`: by the insides that lead to or from them; `offers`: ports that speak as an
    end does.
    """
    net.ends = ends
    net.drives = net.outs + [node for node in net.passive if node in speaks]
    net.hears = net.ins + [node for node in net.passive if node in listens]
    if net.drives:
        net.hears += [node for node in ends if node not in speaks and node not in listens]
    elif net.hears:
        net.drives = ends + [node for node in net.passive if node in offers and node not in ends]
    elif len(ends) > 1:
        net.drives, net.hears, net.either = ends, ends, True
