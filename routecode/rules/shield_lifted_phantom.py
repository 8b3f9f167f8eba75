"""shield-lifted-phantom: the shield of a line with phantom power is lifted at one end.

The shield is the way back of the phantom current. A shield connected at one end only stops it, or leads it through the mains earth: no
power, hum, or a bang. Told at the input that gives the power. A shield is lifted on line-level runs only, if at all.

Bad:

    [unit.mic]
    rack = "left"
    [[unit.mic.port]]
    name = "out"
    direction = "out"
    signal = "mic"
    [unit.pre]
    rack = "left"
    phantom_on = "mic"
    [[unit.pre.port]]
    name = "mic"
    direction = "in"
    signal = "mic"
    phantom = "supply"
    [[cable]]
    from = "mic/out"
    to = "pre/mic"
    shield = "to"

Good:

    [unit.mic]
    rack = "left"
    [[unit.mic.port]]
    name = "out"
    direction = "out"
    signal = "mic"
    [unit.pre]
    rack = "left"
    phantom_on = "mic"
    [[unit.pre.port]]
    name = "mic"
    direction = "in"
    signal = "mic"
    phantom = "supply"
    [[cable]]
    from = "mic/out"
    to = "pre/mic"

Accept:

    [[accept]]
    rule = "shield-lifted-phantom"
    at = "pre/mic"
    because = "The wall box is grounded by its own conductor."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import fed_with_phantom
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.words import counted


def check(scene: Scene) -> Iterator[Fault]:
    """Inputs that give phantom power to a line with a lifted shield."""
    for net, supplies in scene.kept(fed_with_phantom):
        lifted = [wire for wire in scene.figures.analogue.conductors(net).wires if wire.details.shield in ("a", "b")]
        if lifted:
            yield Fault(
                scene.names(supplies),
                f"{scene.words.nodes(supplies)} gives phantom power over {counted(len(lifted), 'cable')} with a lifted shield.",
                "The shield is the way back of the current: without it there is no power, or hum.",
                "Connect the shield at both ends of microphone lines.",
                lifted[0].at,
            )


RULE = Rule("shield-lifted-phantom", Severity.WARNING, check, "unpatched")
