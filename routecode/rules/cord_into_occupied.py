"""cord-into-occupied: a cord goes into a jack or a socket that is taken.

One jack takes one plug. Two cords of a setup end in the same jack, or a cord ends where the setup puts a dummy plug,
or at a socket that a fixed cable is plugged into. One source for several cords needs a mult or a Y-cord (`to` as a
list).

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
    [[bay.north.column]]
    at = "1..2"
    top = "deck/out 1..2"
    bottom = "rec/in 1..2"
    normal = "half"
    [setup.take]
    [[setup.take.cord]]
    from = "deck/out 1"
    to = "rec/in 2"
    [[setup.take.plug]]
    at = "north/bottom 2"
    set = "broken"

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
    [[bay.north.column]]
    at = "1..2"
    top = "deck/out 1..2"
    bottom = "rec/in 1..2"
    normal = "half"
    [setup.take]
    [[setup.take.cord]]
    from = "deck/out 1"
    to = "rec/in 2"

Accept:

    [[accept]]
    rule = "cord-into-occupied"
    at = "north/bottom 2"
    because = "A stacking plug."
"""

from collections.abc import Iterator

from routecode.circuit.plant import EITHER
from routecode.ground.finding import Severity
from routecode.ground.place import At
from routecode.rules.rule import Fault, Rule, Scene, cord_ends, place_key
from routecode.rules.words import counted


def check(scene: Scene) -> Iterator[Fault]:
    """Places of cords with something else plugged in."""
    for node, ends in scene.kept(cord_ends).items():
        places = sorted((end.at for _, end in ends), key=place_key)
        other = _taken_by(scene, node)
        if len(places) == 1 and other is None:
            continue
        what, taken = other or ("", None)
        also = [("a cord is there already", at) for at in places[:-1]]
        yield Fault(
            scene.names([node]),
            f"{counted(len(places), 'cord')}{what} in one place: {scene.words.node(node)}.",
            "One place takes one plug.",
            "Use another place or a mult, or write one Y-cord: `to` as a list.",
            places[-1],
            (*also, ("this is there already", taken)) if taken is not None else tuple(also),
        )


def _taken_by(scene: Scene, node: int) -> tuple[str, At] | None:
    """What else is plugged in where a cord goes: a dummy plug, or a fixed cable at the same face."""
    plant = scene.plant
    if plant.is_jack(node):
        dummy = scene.placed.dummies.get(node)
        return None if dummy is None else (" and a dummy plug", dummy.where("at"))
    wires = plant.wires_of(node)
    unit = plant.unit_of(node)
    if plant.direction[node] == EITHER and node - unit.first not in unit.kit.bonded:
        wires = [wire for wire in wires if wire.front]
    return (" and a cable", wires[0].at) if wires else None


RULE = Rule("cord-into-occupied", Severity.ERROR, check, "setups")
