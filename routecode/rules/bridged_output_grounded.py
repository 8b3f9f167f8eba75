"""bridged-output-grounded: one side of a bridged output touches ground.

Both sides of a bridged output are driven. An unbalanced input, or a cable whose cold leg is joined to its shield, puts one of them to
ground: that half of the amplifier drives a short. Told at the output, with what grounds it.

Bad:

    [unit.amp]
    rack = "left"
    [[unit.amp.port]]
    name = "out"
    direction = "out"
    signal = "speaker-level"
    bridged = true
    [unit.meter]
    rack = "left"
    [[unit.meter.port]]
    name = "in"
    direction = "in"
    signal = "speaker-level"
    balanced = false
    [[cable]]
    from = "amp/out"
    to = "meter/in"

Good:

    [unit.amp]
    rack = "left"
    [[unit.amp.port]]
    name = "out"
    direction = "out"
    signal = "speaker-level"
    bridged = true
    [unit.speaker]
    room = "control"
    [[unit.speaker.port]]
    name = "in"
    direction = "in"
    signal = "speaker-level"
    [[cable]]
    from = "amp/out"
    to = "speaker/in"

Accept:

    [[accept]]
    rule = "bridged-output-grounded"
    at = "amp/out"
    because = "The meter is floating, whatever its port says."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import figured, place_of_net
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Bridged outputs of which one side is grounded."""
    for net in scene.kept(figured):
        for driver in net.outs:
            if not scene.plant.socket(driver).written.bridged:
                continue
            grounded = scene.figures.analogue.conductors(net).grounded_by(driver)
            if not grounded:
                continue
            place, also = place_of_net(scene, net, grounded)
            yield Fault(
                scene.names([driver]),
                f"{scene.words.node(driver)} is bridged, and {scene.words.nodes(grounded)} grounds one side of it.",
                "Both sides of a bridged output are driven; the grounded one drives a short.",
                "Switch the amplifier off first. Then join only what floats, never anything grounded.",
                place,
                also,
            )


RULE = Rule("bridged-output-grounded", Severity.HAZARD, check)
