"""amplifier-without-load: an amplifier that must have a load has none.

Some amplifiers, above all valve amplifiers with an output transformer, are destroyed when they are played without a load. Told at an
output with `needs_load = true` that no input hears, unpatched and in every setup. A normal that a cord opens is enough.

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

from routecode.ground.finding import Severity
from routecode.rules.electric import figured_ports
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Outputs that need a load and have none."""
    plant = scene.plant
    for node in scene.plant.of_units(figured_ports):
        port = plant.socket(node).written
        if not port.needs_load or plant.unit_of(node).written.away is not None:
            continue
        net = scene.state.net_of(node)
        if net is not None and any(hearer != node for hearer in net.hears):
            continue
        wires = plant.wires_of(node)
        yield Fault(
            scene.names([node]),
            f"{scene.words.node(node)} has no load.",
            "It must never be played without one: its output transformer or its valves may be destroyed.",
            "Switch it off, and join its loudspeaker or a load box before it is switched on again.",
            wires[0].at if wires else port.where("needs_load"),
        )


RULE = Rule("amplifier-without-load", Severity.HAZARD, check)
