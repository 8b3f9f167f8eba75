"""Loops as faults: the words that the two feedback rules share."""

from routecode.ground.order import natural
from routecode.ground.place import At
from routecode.rules.loops import Loops
from routecode.rules.rule import Also, Fault, Scene
from routecode.rules.words import HUSH, counted, listed


def fault(scene: Scene, found: Loops, group: list[int], why: str, do: str) -> Fault:
    """One loop, told along its shortest way round."""
    plant = scene.plant
    ring = _ring(scene, found, group)
    channels = {vertex // 2 for vertex in group}
    first = ring[0] // 2
    home = plant.unit_of(plant.node_of(first))
    passed: list[str] = []
    for vertex in ring:
        unit = plant.unit_of(plant.node_of(vertex // 2))
        if unit is not home and unit.title not in passed:
            passed.append(unit.title)
    through = f" through {listed(passed)}" if passed else ""
    place, also = _place(scene, ring)
    return Fault(
        tuple(plant.channel_name(channel) for channel in channels),
        f"{scene.words.channel(first)} comes back to its own unit{through} (feedback).",
        f"{counted(len(channels), 'channel')} in the loop; {why}",
        f"{HUSH} {do}",
        place,
        also,
    )


def _ring(scene: Scene, found: Loops, group: list[int]) -> list[int]:
    """A shortest way from the first driving channel by name back to itself: vertices, that channel at both ends."""
    names = {vertex: (natural(scene.plant.channel_name(vertex // 2)), vertex % 2) for vertex in group}
    start = min((vertex for vertex in group if vertex % 2), key=names.__getitem__)
    before: dict[int, int] = {}
    queue = [start]
    for vertex in queue:
        for other in sorted({other for other in found.edges[vertex] if other in names}, key=names.__getitem__):
            if other not in before:
                before[other] = vertex
                queue.append(other)
    way = [start, before[start]]
    while way[-1] != start:
        way.append(before[way[-1]])
    return way[::-1]


def _place(scene: Scene, ring: list[int]) -> tuple[At | None, Also]:
    """The cords on the way round, else the cable at its first output."""
    nets = [net for vertex in ring if vertex % 2 and (net := scene.state.net_of(scene.plant.node_of(vertex // 2)))]
    corded = [net for net in nets if any(cord.a.node in net.nodes for cord in scene.state.cords)]
    if corded or nets:
        return scene.net_faults_at((corded or nets)[0], [scene.plant.node_of(ring[0] // 2)])
    return None, ()
