"""shield-loop-unbalanced: an unbalanced line is part of a closed loop of shields.

In an unbalanced line the shield carries the signal: hum that flows in a loop of shields is heard at once. Told at the input of the
unbalanced cable that closes the loop, where the studio says how shields are made.

Bad:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out 1..2"
    direction = "out"
    signal = "line"
    balanced = false
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    balanced = false
    [[unit.rec.port]]
    name = "out"
    direction = "out"
    signal = "line"
    balanced = false
    [unit.amp]
    rack = "left"
    [[unit.amp.port]]
    name = "in 1..2"
    direction = "in"
    signal = "line"
    balanced = false
    [[cable]]
    from = "desk/out 1"
    to = "rec/in"
    shield = "both"
    [[cable]]
    from = "desk/out 2"
    to = "amp/in 1"
    [[cable]]
    from = "rec/out"
    to = "amp/in 2"

Good:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out 1..2"
    direction = "out"
    signal = "line"
    balanced = false
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    balanced = false
    [[unit.rec.port]]
    name = "out"
    direction = "out"
    signal = "line"
    balanced = false
    [unit.amp]
    rack = "left"
    [[unit.amp.port]]
    name = "in 1..2"
    direction = "in"
    signal = "line"
    balanced = false
    [[cable]]
    from = "desk/out 1"
    to = "rec/in"
    shield = "both"
    [[cable]]
    from = "desk/out 2"
    to = "amp/in 1"
    [[cable]]
    from = "rec/out"
    to = "amp/in 2"
    shield = "to"

Accept:

    [[accept]]
    rule = "shield-loop-unbalanced"
    at = "amp/in 2"
    because = "Measured: no hum."
"""

from collections.abc import Iterator

from routecode.circuit.plant import IN, Wire
from routecode.ground.finding import Severity
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.shield_loops import unbalanced
from routecode.rules.shields import loops


def check(scene: Scene) -> Iterator[Fault]:
    """Unbalanced lines that close a loop."""
    for wire in scene.kept(loops).closing:
        if unbalanced(scene, wire):
            yield Fault(
                scene.names([_input(scene, wire)]),
                f"An unbalanced line to {scene.words.node(_input(scene, wire))} closes a loop of shields.",
                "The shield of an unbalanced line carries the signal, and the hum of the loop with it.",
                "Use a transformer or a balanced line there. Never lift a mains earth.",
                wire.at,
            )


def _input(scene: Scene, wire: Wire) -> int:
    return wire.a if scene.plant.direction[wire.a] == IN else wire.b


RULE = Rule("shield-loop-unbalanced", Severity.WARNING, check, "unpatched")
