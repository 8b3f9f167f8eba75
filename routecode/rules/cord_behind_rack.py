"""cord-behind-rack: a cord goes straight into a unit that is on no jack.

An input or output that no cable leads from is reached only at the unit itself: for units in racks usually from
behind, with a torch. Nothing is wrong with it; whoever patches should know. Units that are carried about (`portable`)
are not told.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [setup.take]
    [[setup.take.cord]]
    from = "deck/out 1..2"
    to = "rec/in 1..2"

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
    rule = "cord-behind-rack"
    at = ["deck/out 1..2", "rec/in 1..2"]
    because = "Both have their sockets on the front."
"""

from collections.abc import Iterator

from routecode.circuit.plant import BOTH
from routecode.ground.finding import Severity
from routecode.ground.place import At
from routecode.rules.rule import Fault, Rule, Scene, cord_ends, place_key
from routecode.rules.words import MUTE, counted, listed, runs


def check(scene: Scene) -> Iterator[Fault]:
    """Inputs and outputs that take cords themselves, one fault a unit."""
    plant = scene.plant
    found: dict[str, list[tuple[int, At]]] = {}
    for node, ends in scene.kept(cord_ends).items():
        if plant.is_jack(node) or ends[0][1].how != "port" or plant.direction[node] == BOTH:
            continue
        unit = plant.unit_of(node)
        if not unit.written.portable:
            found.setdefault(unit.id, []).append((node, ends[0][1].at))
    for name in sorted(found):
        unit, nodes = plant.units[name], [node for node, _ in found[name]]
        ports = [unit.kit.sockets[node - unit.first].name for node in nodes]
        places = sorted((at for _, at in found[name]), key=place_key)
        yield Fault(
            scene.names(nodes),
            f"{counted(len(nodes), 'cord')} straight into {unit.title}: {listed(runs(ports))}.",
            "No cable leads from there to a jack, so the plug goes into the unit itself.",
            f"{MUTE} Wired to a bay, it could be patched there.",
            places[0],
        )


RULE = Rule("cord-behind-rack", Severity.NOTE, check, "setups")
