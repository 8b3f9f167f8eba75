"""inputs-joined: a cable or a cord joins inputs only.

An input gives nothing. A cable straight from one input to another carries no signal, ever; a cord between the jacks
of two inputs takes both off their normals and carries none either. A plug is in the wrong row, or the record names
the wrong port.

Bad:

    [unit.rec-a]
    model = "recorder"
    rack = "left"
    [unit.rec-b]
    model = "recorder"
    rack = "left"
    [bay.north]
    rack = "left"
    columns = 2
    [[bay.north.column]]
    at = "1..2"
    top = "rec-a/in 1..2"
    bottom = "rec-b/in 1..2"
    [setup.take]
    [[setup.take.cord]]
    from = "rec-a/in 1"
    to = "rec-b/in 1"

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
    rule = "inputs-joined"
    at = ["rec-a/in 1", "rec-b/in 1"]
    because = "The deck is plugged into the parallel socket on the front."
"""

from collections.abc import Iterator

from routecode.circuit.nets import Net
from routecode.circuit.plant import IN
from routecode.ground.finding import Severity
from routecode.ground.place import At
from routecode.rules.rule import Fault, Rule, Scene, place_key


def check(scene: Scene) -> Iterator[Fault]:
    """Nets of inputs without anything that drives, joined by a cord or straight by a cable."""
    for net in scene.survey.silent:
        if len(net.ins) < 2 or net.passive:
            continue
        places = _cords(scene, net) if scene.setup is not None else _cables(scene, net)
        if places:
            yield Fault(
                scene.names(net.ins),
                f"{scene.words.nodes(net.ins)} are joined, and nothing drives them.",
                f"{len(net.ins)} inputs and no output in this net.",
                "Put one end to an output, or correct the name of the port.",
                places[-1],
                tuple(("this one joins inputs too", at) for at in places[:-1]),
            )


def _cords(scene: Scene, net: Net) -> list[At]:
    members = set(net.nodes)
    return sorted({cord.b.at for cord in scene.state.cords if cord.a.node in members}, key=place_key)


def _cables(scene: Scene, net: Net) -> list[At]:
    """The cables that lead straight from input to input."""
    direction = scene.plant.direction
    found = {
        wire.at
        for node in net.ins
        for wire in scene.plant.wires_of(node)
        if direction[wire.a] == direction[wire.b] == IN
    }
    return sorted(found, key=place_key)


RULE = Rule("inputs-joined", Severity.ERROR, check)
