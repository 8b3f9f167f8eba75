"""The three conductors of an analogue net, hot, cold and shield, each followed by itself. Knows no volts.

Hot goes wherever the net goes. Cold ends at a cable whose cold leg is left open; the shield at one that is connected at one end only.
"""

from collections.abc import Iterable
from functools import cached_property

from routecode.circuit.nets import Net
from routecode.circuit.parts import EITHER, Wire
from routecode.circuit.state import State
from routecode.figures.ports import Ports


class Conductors:
    """The legs of one net of a state."""

    def __init__(self, state: State, net: Net, ports: Ports) -> None:
        self.state = state
        self.plant = state.plant
        self.net = net
        self.ports = ports

    @cached_property
    def wires(self) -> list[Wire]:
        """The fixed cables of the net."""
        members = self.net.nodes
        inside = set(members)
        return [wire for node in members for wire in self.plant.wires_of(node) if wire.a == node and wire.b in inside]

    @cached_property
    def jacks(self) -> list[int]:
        """The jacks of bays in the net."""
        return [node for node in self.net.nodes if self.plant.is_jack(node)]

    @cached_property
    def _cold(self) -> dict[int, int]:
        return self._groups([wire for wire in self.wires if wire.details.cold == "open"])

    @cached_property
    def _shield(self) -> dict[int, int]:
        return self._groups([wire for wire in self.wires if wire.details.shield in ("a", "b")])

    def _groups(self, cut: list[Wire]) -> dict[int, int]:
        """Node -> the number of its group when these cables are left out; empty where none is: all are in one group then."""
        if not cut:
            return {}
        left_out: dict[tuple[int, int], int] = {}
        for wire in cut:
            for ends in ((wire.a, wire.b), (wire.b, wire.a)):
                left_out[ends] = left_out.get(ends, 0) + 1
        groups: dict[int, int] = {}
        for start in self.net.nodes:
            if start in groups:
                continue
            groups[start] = start
            queue = [start]
            for node in queue:
                near = self.state.joined(node)
                for other in near:
                    open_here = near.count(other) <= left_out.get((node, other), 0)
                    if not open_here and other not in groups:
                        groups[other] = start
                        queue.append(other)
        return groups

    def cold_joins(self, a: int, b: int) -> bool:
        """Whether the cold leg goes from one place of the net to another."""
        return not self._cold or self._cold[a] == self._cold[b]

    def shield_joins(self, a: int, b: int) -> bool:
        """Whether the shield carries direct current from one place of the net to another."""
        return not self._shield or self._shield[a] == self._shield[b]

    @cached_property
    def grounding(self) -> list[int]:
        """Places at which the cold leg is grounded: unbalanced ports, and ends of cables where it is joined to the shield."""
        found = set(self.unbalanced(self.net.nodes))
        found.update(
            wire.a if wire.details.cold == "a" else wire.b for wire in self.wires if wire.details.cold in ("a", "b")
        )
        return sorted(found)

    def unbalanced(self, nodes: Iterable[int]) -> list[int]:
        """Those of some ports that have no cold leg of their own."""
        found = []
        for node in nodes:
            said = self.ports.of(node).balanced if node < self.plant.ports else None
            if said is not None and not said.yes and not (said.default and self.plant.direction[node] == EITHER):
                found.append(node)
        return found

    def grounded_by(self, node: int) -> list[int]:
        """The places that ground the cold leg as it arrives at a node."""
        return [place for place in self.grounding if self.cold_joins(place, node)]
