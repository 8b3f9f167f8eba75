"""Nets of a state: what conductors join, who drives them and who receives.

A state is flooded over lists of neighbours; a setup floods only the nets that it changes.
"""

from collections.abc import Callable, Iterable, Iterator

from routecode.circuit.plant import EITHER, IN, OUT, Joints

Neighbours = dict[int, list[int]]


NOTHING: list[int] = []
"""Shared by all nets that have none of a kind; never changed."""


class Net:
    """Ports and jacks joined by conductors (at least two).

    `outs` and `ins` are ports that drive and receive by their direction; `passive` its `either` ports, `ends` those of them that are
    joined on one side only. `drives` and `hears` are what holds in the end: every one of `drives` feeds every one of `hears` but
    itself. `kinds` has a bit for the family of each of its ports; more than one bit: no feeds. `either`: only ends feed each other here.
    """

    __slots__ = ("drives", "either", "ends", "hears", "ins", "kinds", "nodes", "outs", "passive")

    def __init__(self, nodes: list[int], outs: list[int], ins: list[int], passive: list[int], kinds: int) -> None:
        self.nodes = nodes
        self.outs = self.drives = outs
        self.ins = self.hears = ins
        self.passive = passive
        self.kinds = kinds
        self.ends = NOTHING
        self.either = False

    @property
    def mixed(self) -> bool:
        """Whether ports of several families are joined."""
        return self.kinds & (self.kinds - 1) != 0

    @property
    def families(self) -> list[int]:
        """The family numbers of its ports."""
        return [number for number in range(1, self.kinds.bit_length()) if self.kinds >> number & 1]

    def pairs(self) -> Iterator[tuple[int, int]]:
        """(driving port, receiving port) of its feeds."""
        if not self.kinds & (self.kinds - 1):
            for driver in self.drives:
                for hearer in self.hears:
                    if driver != hearer:
                        yield driver, hearer


def flood_all(
    joints: Joints, hubs: int, direction: list[int], family: list[int], away: frozenset[int]
) -> Iterator[Net]:
    """All nets of the unpatched state, each once; nodes from `hubs` on join, and are not in the nets."""
    first, second, more = joints.first, joints.second, joints.more
    seen = bytearray(len(first))
    for start, other in enumerate(first):
        if other < 0 or seen[start]:
            continue
        seen[start] = 1
        group = [start]
        for node in group:
            near = first[node]
            if not seen[near]:
                seen[near] = 1
                group.append(near)
            near = second[node]
            if near < 0:
                continue
            if not seen[near]:
                seen[near] = 1
                group.append(near)
            for far in more.get(node, ()) if more else ():
                if not seen[far]:
                    seen[far] = 1
                    group.append(far)
        if hubs < len(first):
            group = [node for node in group if node < hubs]
        yield classified(group, direction, family, away)


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


def classified(nodes: list[int], direction: list[int], family: list[int], away: frozenset[int]) -> Net:
    """The net of these nodes with its outputs, inputs and passive ports; passive ones are settled later."""
    outs = ins = passive = NOTHING
    kinds = 0
    for node in nodes:
        way = direction[node]
        if not way:
            continue
        kinds |= 1 << family[node]
        if node in away:
            continue
        if way == IN:
            ins = [*ins, node]
        elif way == OUT:
            outs = [*outs, node]
        elif way == EITHER:
            passive = [*passive, node]
    return Net(nodes, outs, ins, passive, kinds)


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
