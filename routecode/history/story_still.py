"""Whether what one revision changed can be about a place at all: most revisions are told apart from it without being followed.

Only an answer of yes is relied on. Where it cannot be known cheaply, the answer is no, and the place is followed.
"""

from collections.abc import Iterator

from attrs import frozen

from routecode.circuit.circuit import Circuit
from routecode.circuit.restate import Edited
from routecode.history.story_place import CABLE, Place, Step, nodes_of, wires_of
from routecode.history.story_ways import Ways


@frozen
class Region:
    """All ports and jacks by which a place can be touched: every net and every unit that its ways lie in."""

    nodes: frozenset[int]


def region_of(circuit: Circuit, place: Place, ways: tuple[Ways, ...]) -> Region | None:
    """The region of a place in one revision; None where what is far away may decide how its signals run."""
    plant = circuit.plant
    passive = {unit.id for unit, _ in plant.passive}
    found: set[int] = set()
    for each in ways:
        if each.cut or (each.setup is not None and each.setup not in circuit.setups):
            return None
        state = circuit.state(each.setup)
        own: set[int] = set()
        for node in {*_own(circuit, place), *_on_ways(circuit, each)}:
            own |= {node} if plant.is_jack(node) or node >= plant.hubs else set(plant.unit_of(node))
        for node in tuple(own):
            net = state.net_of(node)
            if net is not None:
                own.update(net.nodes)
        if any(node < plant.ports and plant.unit_of(node).id in passive for node in own):
            return None
        found |= own
    return Region(frozenset(found))


def _own(circuit: Circuit, place: Place) -> list[int]:
    if place.kind == CABLE:
        return [node for wire in wires_of(circuit.plant, place) for node in (wire.a, wire.b)]
    return nodes_of(circuit.plant, place)


def _on_ways(circuit: Circuit, ways: Ways) -> Iterator[int]:
    plant = circuit.plant
    for hop in ways.hops:
        for name in (hop.source, hop.target):
            channel = plant.channel(name)
            if channel is not None:
                yield plant.node_of(channel)


def untouched(step: Step, edited: Edited | None, region: Region | None) -> bool:
    """Whether nothing that differs between two revisions with the same numbers lies in the region."""
    if edited is None or region is None:
        return False
    before, after = step.before, step.after
    if before.routes.keys() != after.routes.keys() or before.phantom_on != after.phantom_on:
        return False
    if before.studio.setup != after.studio.setup:
        return False
    nodes = region.nodes
    ends = ((wire.a, wire.b) for wire in (*edited.gone, *edited.come))
    normals = (normal[:2] for normal in (*edited.normals_gone, *edited.normals_come))
    if any(a in nodes or b in nodes for a, b in ends) or any(a in nodes or b in nodes for a, b in normals):
        return False
    if any(node in nodes for unit in edited.units for node in after.units[unit]):
        return False
    return not any(
        node in nodes
        for name, bay in after.bays.items()
        if bay.written is not before.bays[name].written
        for node in range(bay.first, bay.first + bay.columns * bay.rows)
    )
