"""Inputs that nothing can feed and outputs that nothing can use, unit by unit. What is told of them is for the rules."""

from collections.abc import Iterator

from routecode.circuit.nets import Net
from routecode.circuit.plant import IN, OUT, PlacedUnit
from routecode.rules.rule import Fault, Scene, corded_anywhere
from routecode.rules.words import counted, listed, runs


def idle_ports(scene: Scene) -> dict[int, list[int]]:
    """Direction (IN, OUT) -> ports that no cable, or none that leads anywhere, and no cord of any setup reaches.

    A port on a jack can be patched and is not idle. Units that are away or carried about are left out, and sockets for headphones.
    """
    plant = scene.plant
    wired, direction = plant.wire_at, plant.direction
    loose = [node for node in range(plant.ports) if node not in wired and direction[node] in (IN, OUT)]
    dead = [node for net in scene.survey.silent if not _patchable(scene, net) for node in net.ins]
    dead += [node for net in scene.survey.deaf if not _patchable(scene, net) for node in net.outs]
    found: dict[int, list[int]] = {IN: [], OUT: []}
    corded = corded_anywhere(scene.circuit) if loose or dead else set()
    for node in loose + dead:
        if node not in corded and _counts(scene, node):
            found[direction[node]].append(node)
    return found


def _patchable(scene: Scene, net: Net) -> bool:
    """Whether a cord can reach a net, or a unit that is away explains it."""
    plant = scene.plant
    return any(node >= plant.ports or plant.unit_of(node).written.away is not None for node in net.nodes)


def _counts(scene: Scene, node: int) -> bool:
    unit = scene.plant.unit_of(node)
    if unit.written.portable or unit.written.away is not None:
        return False
    return unit.kit.sockets[node - unit.first].signal != "headphone"


def by_unit(scene: Scene, nodes: list[int]) -> list[tuple[PlacedUnit, list[int]]]:
    """The ports grouped by their unit, in order."""
    found: dict[str, list[int]] = {}
    for node in nodes:
        found.setdefault(scene.plant.unit_of(node).id, []).append(node)
    return [(scene.plant.units[name], sorted(found[name])) for name in sorted(found)]


def unit_faults(scene: Scene, direction: int, word: str, what: str, do: str) -> Iterator[Fault]:
    """One fault a unit: `word` is input or output, `what` says what is missing."""
    for unit, nodes in by_unit(scene, scene.kept(idle_ports)[direction]):
        ports = runs(unit.kit.sockets[node - unit.first].name for node in nodes)
        total = sum(way == direction for way in unit.kit.directions)
        yield Fault(
            scene.names(nodes),
            f"{what} {counted(len(nodes), word)} of {unit.title}: {listed(ports)}.",
            f"{len(nodes)} of its {counted(total, word)}, counting cables, jacks and the cords of all setups.",
            do,
            unit.written.place,
        )
