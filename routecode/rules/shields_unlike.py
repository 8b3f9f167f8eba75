"""shields-unlike: shields are lifted at sources in one place and at inputs in another.

Which end of a shield to lift, if any, is disputed in print; that it is always the same end is not. Where both are found, some boxes have
no shield at all and others two. Told once for the studio, at the cables of the rarer kind.

Bad:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out 1..2"
    direction = "out"
    signal = "line"
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in 1..2"
    direction = "in"
    signal = "line"
    [[cable]]
    from = "desk/out 1"
    to = "rec/in 1"
    shield = "from"
    [[cable]]
    from = "desk/out 2"
    to = "rec/in 2"
    shield = "to"

Good:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out 1..2"
    direction = "out"
    signal = "line"
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in 1..2"
    direction = "in"
    signal = "line"
    [[cable]]
    from = "desk/out 1..2"
    to = "rec/in 1..2"
    shield = "from"

Accept:

    [[accept]]
    rule = "shields-unlike"
    at = "rec/in 2"
    because = "The recorder has the fault of which pin 1 is known."
"""

from collections.abc import Iterator

from routecode.circuit.plant import IN, OUT, Wire
from routecode.ground.finding import Severity
from routecode.rules.cabling import cabling
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.words import counted


def check(scene: Scene) -> Iterator[Fault]:
    """Cables whose shield is lifted at the other end than most."""
    ends: dict[str, list[Wire]] = {"source": [], "input": []}
    for wire in scene.kept(cabling).said:
        if wire.details.shield in ("a", "b") and (end := _connected_at(scene, wire)) is not None:
            ends[end].append(wire)
    fewer, more = sorted(ends.items(), key=lambda item: (len(item[1]), item[0]))
    if not fewer[1]:
        return
    nodes = [_input(scene, wire) for wire in fewer[1]]
    yield Fault(
        scene.names(nodes),
        f"{counted(len(fewer[1]), 'shield')} connected at the {fewer[0]} only, {len(more[1])} at the {more[0]} only.",
        "Whichever end is lifted, it should be the same everywhere.",
        "Choose one end for the whole studio, and make the others like it.",
        fewer[1][0].at,
    )


def _connected_at(scene: Scene, wire: Wire) -> str | None:
    node = wire.a if wire.details.shield == "a" else wire.b
    other = wire.other(node)
    directions = scene.plant.direction
    if directions[node] == OUT or directions[other] == IN:
        return "source"
    return "input" if directions[node] == IN or directions[other] == OUT else None


def _input(scene: Scene, wire: Wire) -> int:
    return wire.a if scene.plant.direction[wire.a] == IN else wire.b


RULE = Rule("shields-unlike", Severity.NOTE, check, "unpatched")
