"""Phantom power on the nets of a state: where it is supplied, where it is exposed, and what is left of it. Judges nothing.

Direct current goes wherever conductors go: a transformer, a capacitor or an amplifier stops it, because what is behind is another net.
Supplied is a place at which both legs and the shield arrive, neither leg grounded; exposed is one where any leg arrives.
"""

from functools import cached_property

from attrs import frozen

from routecode.circuit.nets import Net
from routecode.circuit.parts import IN, Wire
from routecode.circuit.plant import Plant
from routecode.circuit.state import State
from routecode.figures.analogue import Analogue
from routecode.figures.conductors import Conductors
from routecode.physics.phantom import SUPPLIES, Supply, joined_volts, left


@frozen
class Arriving:
    """Phantom power at one place: the inputs that give it (nodes), their kinds, and which conductors arrive.

    `shield`: the shield arrives from one of them. `grounded`: the places (nodes) at which the text says that
    the cold leg is grounded as it arrives there, with a way back to a supply. What is only usually unbalanced is none of them.
    """

    supplies: tuple[int, ...]
    kinds: tuple[str, ...]
    shield: bool
    whole: bool
    """Whether both legs and the shield arrive from one and the same input."""
    grounded: tuple[int, ...]

    @property
    def supplied(self) -> bool:
        """Whether what is there has both legs to draw from, and a way back."""
        return self.whole and not self.grounded


class Phantom:
    """Phantom power in one state."""

    def __init__(self, state: State, analogue: Analogue) -> None:
        self.state = state
        self.plant: Plant = state.plant
        self.analogue = analogue

    @cached_property
    def on(self) -> frozenset[int]:
        """The inputs whose phantom power is switched on: as their unit says, and as the setup says."""
        placed = self.state.placed
        turned = placed.phantom if placed is not None else {}
        found = {node for node in self.plant.phantom_on if turned.get(node, True)}
        found |= {node for node, on in turned.items() if on}
        return frozenset(node for node in found if self.plant.unit_of(node).written.away is None)

    @cached_property
    def nets(self) -> list[tuple[Net, list[int]]]:
        """The nets with phantom power on them, each with the inputs that give it, in the order of nodes."""
        found: dict[int, tuple[Net, list[int]]] = {}
        for node in sorted(self.on):
            net = self.state.net_of(node)
            if net is not None and node in net.ins:
                found.setdefault(id(net), (net, []))[1].append(node)
        return list(found.values())

    @cached_property
    def _supplies(self) -> dict[int, list[int]]:
        return {id(net): nodes for net, nodes in self.nets}

    def supplies(self, net: Net) -> list[int]:
        """The inputs that give phantom power to a net."""
        return self._supplies.get(id(net), [])

    def off(self, net: Net) -> list[int]:
        """The inputs of a net that could give phantom power and are switched off."""
        plant = self.plant
        able = [node for node in net.ins if plant.socket(node).written.phantom == "supply" and node not in self.on]
        return [node for node in able if plant.unit_of(node).written.away is None]

    def at(self, node: int) -> Arriving | None:
        """What arrives at a place; None where no leg carries any."""
        net = self.state.net_of(node)
        supplies = self.supplies(net) if net is not None else []
        if net is None or not supplies:
            return None
        legs = self.analogue.conductors(net)
        cold = [legs.cold_joins(supply, node) for supply in supplies]
        shield = [legs.shield_joins(supply, node) for supply in supplies]
        kinds = tuple(sorted({self.kind(supply) for supply in supplies}))
        whole = any(both == (True, True) for both in zip(cold, shield, strict=True))
        return Arriving(tuple(supplies), kinds, any(shield), whole, self._grounded(legs, node, supplies))

    def _grounded(self, legs: Conductors, node: int, supplies: list[int]) -> tuple[int, ...]:
        """The places at which the text says that the cold leg is grounded, as it arrives at a place, with a way back to a supply."""
        places = set(legs.grounded_by(node))
        if not places:
            return ()
        found = {end for end, shield in map(_tie, legs.wires) if end in places and self._back(legs, shield, supplies)}
        for place in places:
            said = place < self.plant.ports and self.plant.socket(place).written.balanced is False
            if said and (self.plant.direction[place] == IN or self._back(legs, place, supplies)):
                found.add(place)  # an input has the mains earth for a way back, whatever becomes of the shield
        return tuple(sorted(found))

    def _back(self, legs: Conductors, node: int, supplies: list[int]) -> bool:
        return any(legs.shield_joins(node, supply) for supply in supplies)

    def kind(self, node: int) -> str:
        """The kind of phantom power of a port, P48 where it does not say."""
        return self.plant.socket(node).written.phantom_kind or "P48"

    def open_volts(self, arriving: Arriving) -> float:
        """The voltage of the supplies on a line with nothing connected, in volts, tolerances apart."""
        return joined_volts([(one.volts, one.ohms) for one in self._kinds(arriving.supplies)])

    def left(self, node: int, *, others_off: bool = True) -> tuple[float, float] | None:
        """The voltage at a place while what is there draws its current, least and most over the tolerances; None without a way back.

        Where only one leg arrives it is what one leg leaves. Where one is grounded it is from 0, which is what a transformer with a
        centre tap leaves, to that. Other inputs of the line that could give phantom power and are off (`others_off`) may hold their
        resistors at 0 V: that is the least. Below 0 means that the supply cannot give as much.
        """
        arriving, net = self.at(node), self.state.net_of(node)
        if arriving is None or net is None or not arriving.shield:
            return None
        amperes = (self.plant.socket(node).written.phantom_ma or 0.0) / 1000 if node < self.plant.ports else 0.0
        two = arriving.whole and not arriving.grounded
        off = self._kinds(self.off(net)) if others_off else []
        low, high = left(self._kinds(arriving.supplies), amperes, legs=2 if two else 1, grounded=off)
        return (min(low, 0.0) if arriving.grounded else low, high)

    def _kinds(self, nodes: list[int] | tuple[int, ...]) -> list[Supply]:
        return [SUPPLIES[self.kind(node)] for node in nodes]


def _tie(wire: Wire) -> tuple[int, int]:
    """The end of a cable at which cold is joined to its shield, and the end at which that shield goes on; -1 twice where neither is."""
    cold, shield = wire.details.cold, wire.details.shield
    if cold not in ("a", "b"):
        return -1, -1
    end = wire.a if cold == "a" else wire.b
    return end, (wire.a if shield == "a" else wire.b) if shield in ("a", "b") else end
