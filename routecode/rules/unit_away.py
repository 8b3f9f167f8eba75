"""unit-away: a unit is away.

Its cables stay and its nets are as they were, but it neither drives nor receives. Told once, so that silence has an
explanation; needs that depend on it are told by the setup.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    away = "in repair"
    [[cable]]
    from = "deck/out 1..2"
    to = "rec/in 1..2"

Good:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [[cable]]
    from = "deck/out 1..2"
    to = "rec/in 1..2"

Accept:

    [[accept]]
    rule = "unit-away"
    at = "rec"
    because = "It is known; back in spring."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.words import counted


def check(scene: Scene) -> Iterator[Fault]:
    """Units and bays with `away`."""
    plant = scene.plant
    for unit in plant.units.values():
        if unit.written.away is not None:
            wires = sum(len(plant.wires_of(node)) for node in unit)
            yield Fault(
                (unit.id,),
                f"{unit.title} is away: {unit.written.away}.",
                f"{counted(wires, 'cable')} to it stay and carry nothing.",
                "Take `away` out when it is back.",
                unit.written.where("away"),
            )
    for bay in plant.bays.values():
        if bay.written.away is not None:
            yield Fault(
                (bay.id,),
                f"{bay.title} is away: {bay.written.away}.",
                "Its cables and normals are counted as if it were there.",
                "Take `away` out when it is back.",
                bay.written.where("away"),
            )


RULE = Rule("unit-away", Severity.NOTE, check, "unpatched")
