"""shield-loops: shields make closed loops.

A loop of shields and chassis picks up hum from magnetic fields. In balanced equipment that is well made it
does no harm, and bonding both ends helps against interference; so it is one note for the studio, with the
count, and only where the studio says how shields are made at all.

Bad:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out 1..2"
    direction = "out"
    signal = "line"
    balanced = true
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    balanced = true
    [[unit.rec.port]]
    name = "out"
    direction = "out"
    signal = "line"
    balanced = true
    [unit.amp]
    rack = "left"
    [[unit.amp.port]]
    name = "in 1..2"
    direction = "in"
    signal = "line"
    balanced = true
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
    balanced = true
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    balanced = true
    [[unit.rec.port]]
    name = "out"
    direction = "out"
    signal = "line"
    balanced = true
    [unit.amp]
    rack = "left"
    [[unit.amp.port]]
    name = "in 1..2"
    direction = "in"
    signal = "line"
    balanced = true
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
    rule = "shield-loops"
    at = "amp/in 2"
    because = "Measured: no hum."
"""

from collections.abc import Iterator

from routecode.circuit.plant import IN, Wire
from routecode.ground.finding import Severity
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.shields import loops
from routecode.rules.words import counted


def check(scene: Scene) -> Iterator[Fault]:
    """The loops of the studio, told once."""
    found = scene.kept(loops)
    balanced = [wire for wire in found.closing if not unbalanced(scene, wire)]
    if balanced:
        yield Fault(
            scene.names([_input(scene, wire) for wire in balanced]),
            f"Shields make {counted(len(balanced), 'closed loop')} between units.",
            "Balanced equipment that is well made does not mind; some equipment does.",
            "Leave them if nothing hums. Else lift one shield of each loop, always at the same end; never a mains earth.",
            balanced[0].at,
        )


def unbalanced(scene: Scene, wire: Wire) -> bool:
    """Whether a cable ends at a port that says it is unbalanced."""
    ends = [node for node in (wire.a, wire.b) if node < scene.plant.ports]
    return any(scene.plant.socket(node).written.balanced is False for node in ends)


def _input(scene: Scene, wire: Wire) -> int:
    return wire.a if scene.plant.direction[wire.a] == IN else wire.b


RULE = Rule("shield-loops", Severity.NOTE, check, "unpatched")
