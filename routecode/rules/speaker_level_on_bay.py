"""speaker-level-on-bay: loudspeaker level is on a jack of a bay.

A plug pushed into such a jack shorts the amplifier for a moment, and a cord from it leads tens of volts into whatever it is plugged
into. Loudspeaker lines are kept off bays (common practice, no source). Told once for each bay, with the jacks.

Bad:

    [unit.amp]
    rack = "left"
    [[unit.amp.port]]
    name = "out 1..2"
    direction = "out"
    signal = "speaker-level"
    [unit.speakers]
    room = "control"
    [[unit.speakers.port]]
    name = "in 1..2"
    direction = "in"
    signal = "speaker-level"
    [bay.north]
    rack = "left"
    columns = 2
    [[bay.north.column]]
    at = "1..2"
    top = "amp/out 1..2"
    bottom = "speakers/in 1..2"
    normal = "half"

Good:

    [unit.amp]
    rack = "left"
    [[unit.amp.port]]
    name = "out 1..2"
    direction = "out"
    signal = "speaker-level"
    [unit.speakers]
    room = "control"
    [[unit.speakers.port]]
    name = "in 1..2"
    direction = "in"
    signal = "speaker-level"
    [[cable]]
    from = "amp/out 1..2"
    to = "speakers/in 1..2"

Accept:

    [[accept]]
    rule = "speaker-level-on-bay"
    at = ["north/top 1..2", "north/bottom 1..2"]
    because = "A bay of loudspeaker connectors, in the machine room."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import of_kind
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Bays with jacks that a power amplifier reaches."""
    plant = scene.plant
    by_bay: dict[str, set[int]] = {}
    for net in of_kind(scene, "speaker-level"):
        if any(plant.direction[node] == 2 and plant.socket(node).signal == "speaker-level" for node in net.outs):
            for node in net.nodes:
                if plant.is_jack(node):
                    by_bay.setdefault(plant.bay_of(node).id, set()).add(node)
    for name, jacks in sorted(by_bay.items()):
        yield Fault(
            scene.names(jacks),
            f"Loudspeaker level is on {scene.words.nodes(sorted(jacks), most=2)}.",
            "Plugging shorts the amplifier for a moment, and a cord leads its volts anywhere.",
            "Wire amplifier and loudspeaker directly. Amplifier off before anything is plugged here.",
            plant.bays[name].written.place,
        )


RULE = Rule("speaker-level-on-bay", Severity.WARNING, check, "unpatched")
