"""The unpatched state of a circuit that was made of another one: only the nets that the edit touches are flooded again."""

from collections import Counter
from collections.abc import Iterator
from typing import NamedTuple

from routecode.circuit.nets import Net, classified, flood_from
from routecode.circuit.parts import Joints, NormalJoint, Wire
from routecode.circuit.passive import Passives
from routecode.circuit.plant import Plant
from routecode.circuit.state import State, closed_bonds, pair, settle_net


class Edited(NamedTuple):
    """What was taken from one plant and put in to make another with the same numbers."""

    gone: list[Wire]
    come: list[Wire]
    normals_gone: list[NormalJoint]
    normals_come: list[NormalJoint]
    units: frozenset[str]
    """The units that are described otherwise."""


def unpatched_again(base: State, plant: Plant, edited: Edited) -> State:
    """The unpatched state of `plant`, by what differs from that of the plant it was made of."""
    assert base.joints is not None
    state = State(plant, None, None)
    state.joints = base.joints.copy()
    state.reversed = base.reversed.copy()
    touched = _change_joints(base, state, edited, state.joints)
    touched |= {node for name in edited.units for node in plant.units[name]}
    _flood(base, state, touched)
    state.passives = Passives.of(state)
    _flood_passives(base, state)
    return state


def _change_joints(base: State, state: State, edited: Edited, joints: Joints) -> set[int]:
    """Part and join what differs; the nodes at it."""
    wires = {node for wire in (*edited.gone, *edited.come) for node in (wire.a, wire.b)}
    units = edited.units | {state.plant.unit_of(node).id for node in wires if node < state.plant.ports}
    gone, come = list(_joints(edited.gone, edited.normals_gone)), list(_joints(edited.come, edited.normals_come))
    for name in sorted(units):
        gone += closed_bonds(base, base.plant.units[name])
        come += closed_bonds(state, state.plant.units[name])
    less, more = Counter(gone), Counter(come)
    for a, b, reverses in (less - more).elements():
        joints.part(a, b)
        state.reversed[pair(a, b)] -= reverses
    for a, b, reverses in (more - less).elements():
        joints.join(a, b)
        state.reversed[pair(a, b)] += reverses
    return wires | {node for a, b, _ in (*(less - more), *(more - less)) for node in (a, b)}


def _joints(wires: list[Wire], normals: list[NormalJoint]) -> Iterator[tuple[int, int, bool]]:
    for wire in wires:
        yield (*pair(wire.a, wire.b), wire.reversed)
    for normal in normals:
        if normal.rests:
            yield (*pair(normal.source, normal.target), False)


def _flood(base: State, state: State, touched: set[int]) -> None:
    """The nets of the base, but those that hold a touched node: these are flooded again."""
    old = {id(net): net for net in map(base.net_at.get, touched) if net is not None}
    state.net_at = base.net_at.copy()
    seeds = set(touched)
    for net in old.values():
        seeds.update(net.nodes)
        for node in net.nodes:
            del state.net_at[node]
    state.nets = [net for net in base.nets if id(net) not in old]
    plant, away = state.plant, state.plant.away
    assert state.joints is not None
    for group in flood_from(sorted(seeds), state.joints.at):
        named = [node for node in group if node < plant.hubs]
        if len(group) > 1:
            _add(state, classified(named, plant.direction, plant.family, away))


def _add(state: State, net: Net) -> None:
    state.nets.append(net)
    for node in net.nodes:
        state.net_at[node] = net


def _flood_passives(base: State, state: State) -> None:
    """Nets that are joined as they were, but whose passive ports speak or listen otherwise, are made anew too; then all new ones settle."""
    old, new = base.passives, state.passives
    known = {id(net) for net in base.nets}
    moved = (old.speaks ^ new.speaks) | (old.listens ^ new.listens) | (old.offers ^ new.offers)
    stale = {id(net): net for net in map(state.net_at.get, sorted(moved)) if net is not None and id(net) in known}
    plant, away = state.plant, state.plant.away
    if stale:
        state.nets = [net for net in state.nets if id(net) not in stale]
    for net in stale.values():
        _add(state, classified(list(net.nodes), plant.direction, plant.family, away))
    for net in state.nets:
        if net.passive and id(net) not in known:
            settle_net(state, net)
