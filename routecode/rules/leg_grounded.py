"""leg-grounded: an output that drives both legs has one of them grounded.

A balanced output that drives both legs against ground (`drive = "symmetric"`) feeds an unbalanced input, or a cable whose cold leg is
joined to the shield: one of its two amplifiers works into a short. It distorts, gets hot, and the current flows in the shield. Floating
and transformer outputs are made for it, impedance-balanced ones do not mind. Told at the output, with what grounds it.

Bad:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "line"
    balanced = true
    drive = "symmetric"
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    balanced = false
    [[cable]]
    from = "desk/out"
    to = "rec/in"

Good:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "line"
    balanced = true
    drive = "symmetric"
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    balanced = false
    [[cable]]
    from = "desk/out"
    to = "rec/in"
    cold = "open"

Accept:

    [[accept]]
    rule = "leg-grounded"
    at = "desk/out"
    because = "Its maker allows it."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import figured, place_of_net
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Symmetric outputs with a grounded leg."""
    for net in scene.kept(figured):
        for driver in net.outs:
            if scene.plant.socket(driver).written.drive != "symmetric":
                continue
            grounded = scene.figures.analogue.conductors(net).grounded_by(driver)
            if not grounded:
                continue
            place, also = place_of_net(scene, net, grounded)
            yield Fault(
                scene.names([driver]),
                f"{scene.words.nodes(grounded, most=2)} grounds the cold leg of {scene.words.node(driver)}.",
                "That output drives both legs against ground: one side works into a short.",
                'Leave the cold leg open at the unbalanced end (cold = "open"), or use a transformer.',
                place,
                also,
            )


RULE = Rule("leg-grounded", Severity.WARNING, check)
