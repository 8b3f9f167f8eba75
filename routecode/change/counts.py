"""How many paths each state of one side has, without building the graph of every state: a setup is counted by what it changes."""

from routecode.change.region import Seeing, region_of
from routecode.circuit.circuit import Circuit
from routecode.circuit.state import State


class Counts:
    """Counts the paths of the states of a circuit; exact."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self._unpatched: int | None = None

    def of(self, setup: str | None) -> int:
        """The paths of a state."""
        if self._unpatched is None:
            self._unpatched = self.circuit.flow(None).count()
        if setup is None:
            return self._unpatched
        base, state = self.circuit.state(None), self.circuit.state(setup)
        channels = _touched(base, state)
        if not channels:
            return self._unpatched
        seeing = Seeing(base), Seeing(state)
        region = region_of(channels, seeing)
        return self._unpatched + seeing[1].flow(region).count() - seeing[0].flow(region).count()


def _touched(base: State, state: State) -> set[int]:
    """Channels round which a setup may differ from the unpatched state."""
    plant = state.plant
    nodes = set(state.neighbours) | set(state.corded)
    old, new = base.passives, state.passives
    nodes |= (old.speaks ^ new.speaks) | (old.listens ^ new.listens) | (old.offers ^ new.offers)
    nodes |= {node for crossing in old.taken ^ new.taken for node in crossing}
    for node in list(nodes):
        for one in (base, state):
            net = one.net_of(node)
            nodes.update(net.nodes if net is not None else ())
    units = {plant.units[unit].id: plant.units[unit] for unit, _ in state.positions}
    units.update({unit.id: unit for unit in (plant.unit_of(node) for node in state.corded if node < plant.ports)})
    nodes.update(node for unit in units.values() for node in unit)
    routed = {channel for pair in state.routes ^ base.routes for channel in pair}
    return routed | {channel for node in nodes for channel in plant.channels_of(node)}
