"""Feedback of a state: loops that no fader or crosspoint interrupts, and loops that one does. Found without following every path.

Unpatched, units that lie in no loop of units are left out first. In a setup only loops through something it changed are looked for.
"""

from collections.abc import Iterable

from attrs import field, frozen

from routecode.circuit.feeds import routed_links
from routecode.circuit.loops import strongly_connected
from routecode.circuit.plant import Branch, Kit, Plant
from routecode.circuit.reach import Reach, spread_out
from routecode.rules.rule import Scene

Edges = dict[int, list[int]]


@frozen
class Loops:
    """Groups of vertices (2c: channel c receives, 2c + 1: it drives) that lead back to themselves, and all edges among them."""

    fixed: list[list[int]] = field(factory=list)
    controlled: list[list[int]] = field(factory=list)
    edges: Edges = field(factory=dict)


def loops(scene: Scene) -> Loops:
    """The loops of a scene."""
    reach = Reach(scene.state)
    vertices = _changed(scene, reach) if scene.setup is not None else _suspected(scene)
    if not vertices:
        return Loops()
    members = set(vertices)
    found = Loops(edges={vertex: [other for other in reach.down(vertex) if other in members] for vertex in vertices})
    for group in strongly_connected(found.edges):
        if len(group) > 1:
            fixed = [part for part in strongly_connected(_uncontrolled(group, reach)) if len(part) > 1]
            found.fixed.extend(fixed)
            if not fixed:
                found.controlled.append(group)
    return found


def _uncontrolled(group: list[int], reach: Reach) -> Edges:
    members = set(group)
    edges: Edges = {}
    for vertex in group:
        if vertex % 2:
            edges[vertex] = [other for other in reach.down(vertex) if other in members]
        else:
            edges[vertex] = _closed(reach.insides(vertex // 2), members)
    return edges


def _closed(insides: Iterable[tuple[int, Branch]], members: set[int]) -> list[int]:
    """Where insides without a control lead; two insides of one pair, one of them with a control, are a control."""
    held = {other for other, branch in insides if branch.control != "none"}
    return sorted({2 * other + 1 for other, _ in insides if other not in held and 2 * other + 1 in members})


# -- a setup ------------------------------------------------------------------------------------------------------------


def _changed(scene: Scene, reach: Reach) -> list[int]:
    """Every vertex reached from what a setup changed: a loop that is new goes through one of them."""
    plant, placed = scene.plant, scene.placed
    starts = {2 * channel + 1 for net in scene.nets for node in net.drives for channel in plant.channels_of(node)}
    touched = {unit for unit, _ in placed.positions}
    touched |= {plant.unit_of(node).id for node in scene.state.corded}
    for source, _ in placed.routes:
        starts |= {2 * source, 2 * source + 1}
    for name in touched:
        unit = plant.units[name]
        starts |= {2 * (unit.first_channel + step) for step in range(unit.kit.offsets[-1])}
    return sorted({*starts, *spread_out(sorted(starts), reach.down)})


# -- unpatched ----------------------------------------------------------------------------------------------------------


def _suspected(scene: Scene) -> list[int]:
    """The vertices of units that lie in a loop of units."""
    units = list(scene.plant.units.values())
    found: list[int] = []
    for index in sorted(_looped(scene)):
        unit = units[index]
        first = 2 * unit.first_channel
        found += range(first, first + 2 * unit.kit.offsets[-1])
    return found


def _looped(scene: Scene) -> set[int]:
    """The units, by their place in the list, that a chain of units with insides leads back to."""
    owner, leads, led = scene.plant.of_units(_ways)
    edges: dict[int, set[int]] = {}
    for net in scene.nets:
        drivers = [driver for driver in net.drives if led[driver]]
        if not drivers or net.either or net.mixed:
            continue
        for hearer in net.hears:
            if leads[hearer]:
                for driver in drivers:
                    if driver != hearer:
                        edges.setdefault(owner[driver], set()).add(owner[hearer])
    for link in routed_links(scene.state) if scene.state.routes else ():
        source, target = scene.plant.node_of(link.source), scene.plant.node_of(link.target)
        if led[source] and leads[target]:
            edges.setdefault(owner[source], set()).add(owner[target])
    groups = strongly_connected({index: sorted(others) for index, others in edges.items()})
    looped = {index for group in groups if len(group) > 1 for index in group}
    return looped | {index for index, others in edges.items() if index in others}


def _ways(plant: Plant) -> tuple[list[int], bytes, bytes]:
    """Port -> the place of its unit in the list; whether an inside leads from it; whether one leads to it."""
    owner: list[int] = []
    leads, led = bytearray(), bytearray()
    flags: dict[int, tuple[bytes, bytes]] = {}
    for index, unit in enumerate(plant.units.values()):
        owner += [index] * len(unit.kit.sockets)
        kit = unit.kit
        if id(kit) not in flags:
            flags[id(kit)] = _flags(kit)
        from_, to = flags[id(kit)] if unit.written.away is None else (bytes(len(kit.sockets)),) * 2
        leads += from_
        led += to
    return owner, bytes(leads), bytes(led)


def _flags(kit: Kit) -> tuple[bytes, bytes]:
    """For each socket whether an inside leads from it, and whether one leads to it (either for two-way ones)."""
    leads, led = bytearray(len(kit.sockets)), bytearray(len(kit.sockets))
    for branch in kit.branches:
        leads[branch.source] = led[branch.target] = 1
        if branch.kind != "active":
            leads[branch.target] = led[branch.source] = 1
    return bytes(leads), bytes(led)
