"""Phantom power on the nets of a state: where it is supplied, where it is exposed, and what is left of it. Judges nothing.

Direct current goes wherever conductors go: a transformer, a capacitor or an amplifier stops it, because what is behind is another net.
Supplied is a place at which both legs and the shield arrive; exposed is one where any leg arrives.
"""

from functools import cached_property

from attrs import frozen

from routecode.circuit.nets import Net
from routecode.circuit.plant import Plant
from routecode.circuit.state import State
from routecode.figures.analogue import Analogue
from routecode.physics.phantom import SUPPLIES, Supply, left


@frozen
class Arriving:
    """Phantom power at one place: the inputs that give it (nodes), whether both legs and the shield arrive, what grounds its cold leg."""

    supplies: tuple[int, ...]
    supplied: bool
    grounded: tuple[int, ...]
    kinds: tuple[str, ...]


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

    def at(self, node: int) -> Arriving | None:
        """What arrives at a place; None where no leg carries any."""
        net = self.state.net_of(node)
        supplies = self.supplies(net) if net is not None else []
        if net is None or not supplies:
            return None
        legs = self.analogue.conductors(net)
        whole = any(legs.cold_joins(supply, node) and legs.shield_joins(supply, node) for supply in supplies)
        kinds = tuple(sorted({self.kind(supply) for supply in supplies}))
        return Arriving(tuple(supplies), whole, tuple(legs.grounded_by(supplies[0])), kinds)

    def kind(self, node: int) -> str:
        """The kind of phantom power of a port, P48 where it does not say."""
        return self.plant.socket(node).written.phantom_kind or "P48"

    def left(self, node: int) -> tuple[float, float] | None:
        """The voltage at a place while what is there draws its current, least and most over the tolerances; None where not supplied."""
        arriving = self.at(node)
        if arriving is None or not arriving.supplied or len(arriving.kinds) != 1:
            return None
        supply: Supply = SUPPLIES[arriving.kinds[0]]
        milliamperes = self.plant.socket(node).written.phantom_ma or 0.0
        return left(supply, milliamperes / 1000, supplies=len(arriving.supplies))
