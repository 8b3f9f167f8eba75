"""Nets in which some joint exchanges hot and cold, and what comes of it. What is told of them is for the rules."""

from typing import NamedTuple

from routecode.circuit.nets import Net
from routecode.circuit.plant import PlacedUnit
from routecode.circuit.state import State, pair
from routecode.circuit.ways import polarities
from routecode.ground.place import At
from routecode.language.signals import ANALOGUE
from routecode.rules.rule import Scene, polarity_at


class Turned(NamedTuple):
    """A net with exchanging joints: `turn` gives `kept` or `reversed` for its nodes from any one of them; None: `mixed`."""

    net: Net
    turn: dict[int, str] | None
    joints: int
    places: tuple[At, ...]
    """Where the text says so: cables, cords, hardwired insides."""


def turned(scene: Scene) -> list[Turned]:
    """The analogue nets to look at with an exchanging joint."""
    state, plant = scene.state, scene.plant
    if ANALOGUE not in plant.family_names or not state.exchanging():
        return []
    analogue = plant.family_names.index(ANALOGUE)
    at: dict[int, int] = {}
    for (a, _), count in state.reversed.items():
        at[a] = at.get(a, 0) + count
    nets = {id(net): net for node in sorted(state.exchanging()) if (net := state.net_at.get(node)) is not None}
    found = []
    for net in nets.values():
        if net.kinds == 1 << analogue:
            places = _places(scene, net)
            joints = sum(at.get(node, 0) for node in net.nodes)
            found.append(Turned(net, polarities(state, net.nodes[0]), joints, places))
    return found


def _places(scene: Scene, net: Net) -> tuple[At, ...]:
    state, plant = scene.state, scene.plant
    members = set(net.nodes)
    found = {polarity_at(wire) for node in net.nodes for wire in plant.wires_of(node) if wire.reversed}
    found |= {cord.written.where("polarity") for cord in state.cords if cord.reversed and cord.a.node in members}
    for unit in {plant.unit_of(node).id: plant.unit_of(node) for node in net.nodes if node < plant.ports}.values():
        found |= _bonds(state, unit)
    return tuple(sorted(found, key=lambda at: (at.file, [str(step).rjust(9) for step in at.path])))


def _bonds(state: State, unit: PlacedUnit) -> set[At]:
    return {
        bond.at
        for bond in unit.kit.bonds
        if bond.reversed and state.reversed.get(pair(unit.first + bond.source, unit.first + bond.target), 0) > 0
    }
