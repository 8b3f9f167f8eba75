"""The three conductors of an analogue net, hot, cold and shield, each followed by itself, and their resistance. Knows no volts.

Hot goes wherever the net goes. Cold ends at a cable whose cold leg is left open; the shield at one that is connected at one end only.
A cable has resistance where its type says one and it says its metres: both legs, or hot alone where its cold leg is open (what a
shield adds is not known).
"""

from collections.abc import Iterable
from functools import cached_property

from routecode.circuit.nets import Net
from routecode.circuit.parts import EITHER, Wire
from routecode.circuit.state import State
from routecode.figures.ports import Ports
from routecode.physics.cable import leg_ohms_per_metre

COLD, SHIELD = "cold", "shield"
Leg = tuple[int, str]
"""A place, and the cold leg or the shield there."""


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
    def resistive(self) -> list[tuple[Wire, float]]:
        """The cables of the net that have a known resistance, each with its ohms there and back."""
        types = self.plant.studio.cable_type
        found = []
        for wire in self.wires:
            kind = types.get(wire.type or "")
            if kind is None or wire.metres is None:
                continue
            legs = 1 if wire.details.cold == "open" else 2
            ohms = legs * wire.metres * leg_ohms_per_metre(kind.ohms_per_km, kind.awg, kind.mm2)
            if ohms > 0:
                found.append((wire, ohms))
        return found

    @cached_property
    def _pieces(self) -> dict[int, int]:
        return self._groups([wire for wire, _ in self.resistive])

    def piece(self, node: int) -> int:
        """The part of the net without resistance that a place is in, by any of its places."""
        return self._pieces[node] if self._pieces else -1

    @cached_property
    def joints(self) -> list[tuple[int, int, float]]:
        """The parts of the net with the ohms between them."""
        between = [(self.piece(wire.a), self.piece(wire.b), ohms) for wire, ohms in self.resistive]
        return [(a, b, ohms) for a, b, ohms in between if a != b]

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
    def _ties(self) -> dict[Leg, Leg]:
        """Parts of the cold leg and of the shield -> the part that stands for all that hang together."""
        found: dict[Leg, Leg] = {}
        ends = [wire.a if wire.details.cold == "a" else wire.b for wire in self.tying]
        for node in (*self.said_unbalanced, *ends):
            one, other = (_root(found, self._part((node, leg))) for leg in (COLD, SHIELD))
            if one != other:
                found[other] = one
        return found

    def _part(self, leg: Leg) -> Leg:
        node, name = leg
        groups = self._cold if name == COLD else self._shield
        return (groups[node] if groups else -1, name)

    def back_joins(self, a: Leg, b: Leg) -> bool:
        """Whether two ends are joined by cold legs and shields, over the places at which these meet."""
        return _root(self._ties, self._part(a)) == _root(self._ties, self._part(b))

    @cached_property
    def tying(self) -> list[Wire]:
        """The cables that join the cold leg to the shield at one of their ends."""
        return [wire for wire in self.wires if wire.details.cold in ("a", "b")]

    @cached_property
    def said_unbalanced(self) -> list[int]:
        """The ports of the net that say that they have no cold leg."""
        return [node for node in self.unbalanced(self.net.nodes) if not self._usual(node)]

    def _usual(self, node: int) -> bool:
        said = self.ports.of(node).balanced
        return said is None or said.default

    @cached_property
    def grounding(self) -> list[int]:
        """Places at which the cold leg is grounded: unbalanced ports, and ends of cables where it is joined to the shield."""
        found = set(self.unbalanced(self.net.nodes))
        found.update(wire.a if wire.details.cold == "a" else wire.b for wire in self.tying)
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


def _root(ties: dict[Leg, Leg], leg: Leg) -> Leg:
    while leg in ties:
        leg = ties[leg]
    return leg
