"""amplifier-without-load: an amplifier that must have a load has none.

Some amplifiers, above all valve amplifiers with an output transformer, are destroyed when they are played without a load. Told at an
output with `needs_load = true` that leads to no load, unpatched and in every setup: a normal that a cord opens or a selector that stands
at off is enough. A load is an input for loudspeaker level, or any port that says `ohms` of 100 at most (common practice, no source);
one that says more is none. Behind a transformer, or a selector whose inside leads on at loudspeaker level, there must be one too. A
passive socket with nothing behind it is none.

Bad:

    [unit.amp]
    rack = "left"
    [[unit.amp.port]]
    name = "speaker"
    direction = "out"
    signal = "speaker-level"
    needs_load = true
    [[accept]]
    rule = "outputs-unused"
    at = "amp/speaker"
    because = "Told by another rule."

Good:

    [unit.amp]
    rack = "left"
    [[unit.amp.port]]
    name = "speaker"
    direction = "out"
    signal = "speaker-level"
    needs_load = true
    [unit.cabinet]
    room = "control"
    [[unit.cabinet.port]]
    name = "in"
    direction = "in"
    signal = "speaker-level"
    [[cable]]
    from = "amp/speaker"
    to = "cabinet/in"

Accept:

    [[accept]]
    rule = "amplifier-without-load"
    at = "amp/speaker"
    because = "It stands in the store room, and its mains plug is locked away."
"""

from collections.abc import Iterator

from routecode.circuit.parts import IN
from routecode.ground.finding import Severity
from routecode.rules.electric import figured_ports
from routecode.rules.rule import Fault, Rule, Scene

MOST_OHMS = 100.0
SPEAKER = "speaker-level"


def check(scene: Scene) -> Iterator[Fault]:
    """Outputs that need a load and have none."""
    plant = scene.plant
    for node in scene.plant.of_units(figured_ports):
        port = plant.socket(node).written
        if not port.needs_load or plant.unit_of(node).written.away is not None or _leads_to_load(scene, node, {node}):
            continue
        wires = plant.wires_of(node)
        yield Fault(
            scene.names([node]),
            f"{scene.words.node(node)} has no load.",
            "It must never be played without one: its output transformer or its valves may be destroyed.",
            "Switch it off, and join its loudspeaker or a load box before it is switched on again.",
            wires[0].at if wires else port.where("needs_load"),
        )


def _leads_to_load(scene: Scene, node: int, seen: set[int]) -> bool:
    """Whether the net of a port has a load, or a way through a unit to one; `seen` are ports that were looked at, and grows."""
    net = scene.state.net_of(node)
    found = [] if net is None else [other for other in (*net.ins, *net.passive) if other not in seen]
    seen.update(found)
    return any(_is_load(scene, other, seen) for other in found)


def _is_load(scene: Scene, node: int, seen: set[int]) -> bool:
    figures = scene.figures.ports.of(node)
    ohms = figures.socket.written.ohms
    if ohms is not None:
        return ohms <= MOST_OHMS
    unit = scene.plant.unit_of(node)
    onward = [
        (branch, unit.first + branch.target) for branch in unit.kit.branches if unit.first + branch.source == node
    ]
    onward += [
        (branch, unit.first + branch.source) for branch in unit.kit.branches if unit.first + branch.target == node
    ]
    passing = [(branch, other) for branch, other in onward if scene.figures.ports.of(other).kind == SPEAKER]
    if passing:
        return any(scene.state.closed(unit, branch) and _leads_to_load(scene, other, seen) for branch, other in passing)
    return figures.kind == SPEAKER and scene.plant.direction[node] == IN


RULE = Rule("amplifier-without-load", Severity.HAZARD, check)
