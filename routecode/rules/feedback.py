"""Loops as faults: the words that the two feedback rules share."""

from routecode.rules.loops import Loops
from routecode.rules.rule import Also, Fault, Scene
from routecode.rules.words import HUSH, counted, listed
from routecode.ground.place import At


def fault(scene: Scene, found: Loops, group: list[int], why: str, do: str) -> Fault:
    """One loop, told along its shortest way round."""
    plant = scene.plant
    ring = found.ring(group)
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


def _place(scene: Scene, ring: list[int]) -> tuple[At | None, Also]:
    """The last cord on the way round, else the first cable."""
    places: list[tuple[At | None, Also]] = []
    for vertex in ring:
        node = scene.plant.node_of(vertex // 2)
        net = scene.state.net_of(node) if vertex % 2 else None
        if net is not None:
            places.append(scene.net_faults_at(net, [node]))
            if scene.state.cords and any(said == "this cord is in it" for said, _ in places[-1][1]):
                return places[-1]
    return places[0] if places else (None, ())
