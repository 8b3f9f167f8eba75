"""plugs-do-not-mate: a cord joins two kinds of jack.

A plain cord has the same plug at both ends. A-gauge and B-gauge plugs look alike and are not: forcing one into the other's jack bends the
contacts. Told in the setup whose cord joins jacks of bays with different `contact`, unless the cord says its `adapter`.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [bay.north]
    rack = "left"
    columns = 2
    contact = "b-gauge"
    [[bay.north.column]]
    at = "1..2"
    top = "deck/out 1..2"
    [bay.south]
    rack = "left"
    columns = 2
    contact = "a-gauge"
    [[bay.south.column]]
    at = "1..2"
    bottom = "rec/in 1..2"
    [setup.take]
    [[setup.take.cord]]
    from = "north/top 1"
    to = "south/bottom 1"

Good:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [bay.north]
    rack = "left"
    columns = 2
    contact = "b-gauge"
    [[bay.north.column]]
    at = "1..2"
    top = "deck/out 1..2"
    [bay.south]
    rack = "left"
    columns = 2
    contact = "b-gauge"
    [[bay.south.column]]
    at = "1..2"
    bottom = "rec/in 1..2"
    [setup.take]
    [[setup.take.cord]]
    from = "north/top 1"
    to = "south/bottom 1"

Accept:

    [[accept]]
    rule = "plugs-do-not-mate"
    at = ["north/top 1", "south/bottom 1"]
    setup = "take"
    because = "These cords are made with two kinds of plug."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Cords between bays with different contacts."""
    plant = scene.plant
    for cord in scene.state.cords:
        ends = (cord.a.node, cord.b.node)
        if cord.written.adapter or not all(plant.is_jack(node) for node in ends):
            continue
        contacts = [plant.bay_of(node).written.contact for node in ends]
        if None in contacts or contacts[0] == contacts[1]:
            continue
        yield Fault(
            scene.names(ends),
            f"A cord joins {scene.words.node(ends[0])} and {scene.words.node(ends[1])}.",
            f"{contacts[0]} and {contacts[1]} plugs are not the same; forcing one bends the contacts.",
            "Use a cord made with both plugs and say so with `adapter`, or another jack.",
            cord.b.at,
        )


RULE = Rule("plugs-do-not-mate", Severity.WARNING, check, "setups")
