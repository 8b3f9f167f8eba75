"""unit-without-place: nobody knows where a unit or a bay stands.

It has neither a room nor a rack, and is not said to be carried about. Drawings cannot frame it, and a cable to it has
no end that a person could walk to.

Bad:

    [unit.deck]
    model = "player"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [[cable]]
    from = "deck/out 1..2"
    to = "rec/in 1..2"

Good:

    [unit.deck]
    model = "player"
    portable = true
    [unit.rec]
    model = "recorder"
    rack = "left"
    [[cable]]
    from = "deck/out 1..2"
    to = "rec/in 1..2"

Accept:

    [[accept]]
    rule = "unit-without-place"
    at = "deck"
    because = "It wanders."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.words import counted


def check(scene: Scene) -> Iterator[Fault]:
    """Units and bays without room, rack or `portable`."""
    plant = scene.plant
    for unit in plant.units.values():
        said = unit.written
        if said.rack is None and said.room is None and not said.portable:
            ports = counted(len(unit.kit.sockets), "port")
            yield _fault(scene, unit.id, unit.title, ports)
    for bay in plant.bays.values():
        written = bay.written
        if written.rack is None and written.room is None and not written.portable:
            yield _fault(scene, bay.id, bay.title, counted(bay.columns, "column"))


def _fault(scene: Scene, name: str, title: str, size: str) -> Fault:
    plant = scene.plant
    table = plant.units[name].written if name in plant.units else plant.bays[name].written
    return Fault(
        (name,),
        f"{title} stands nowhere.",
        f"It has {size}, and neither room nor rack.",
        "Write its rack or its room; portable = true if it is carried about.",
        table.place,
    )


RULE = Rule("unit-without-place", Severity.NOTE, check, "unpatched")
