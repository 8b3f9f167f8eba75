"""cord-into-nothing: a cord goes where nothing is wired.

Behind the jack there is no cable, no mult and no normal that is made in this setup; or the passive socket has nothing
behind it. The other end of the cord gains nothing, and loses its normal.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [bay.north]
    rack = "left"
    columns = 3
    [[bay.north.column]]
    at = "1..2"
    top = "deck/out 1..2"
    bottom = "rec/in 1..2"
    normal = "half"
    [setup.take]
    [[setup.take.cord]]
    from = "deck/out 1"
    to = "north/bottom 3"

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
    rule = "cord-into-nothing"
    at = "north/bottom 3"
    because = "A place to park the cord."
"""

from collections.abc import Iterator

from routecode.circuit.plant import EITHER
from routecode.ground.finding import Severity
from routecode.rules.rule import Fault, Rule, Scene, cord_ends
from routecode.rules.words import listed


def check(scene: Scene) -> Iterator[Fault]:
    """Ends of cords with nothing behind them."""
    for node, ends in scene.kept(cord_ends).items():
        if _wired(scene, node):
            continue
        others = sorted(
            {
                scene.words.node(cord.b.node if end is cord.a else cord.a.node)
                for cord, end in ends
                if min(cord.a.node, cord.b.node) >= 0
            }
        )
        yield Fault(
            scene.names([node]),
            f"A cord goes into {scene.words.node(node)}, and nothing is wired there.",
            f"Its other end is in {listed(others)}." if others else "Its other end is in no jack either.",
            "Use the jack that was meant, or write what is wired behind this one.",
            ends[0][1].at,
        )


def _wired(scene: Scene, node: int) -> bool:
    """Whether anything but cords is joined to a place, or an inside is at it."""
    plant = scene.plant
    if node in plant.wire_at or (node < plant.ports and plant.direction[node] != EITHER):
        return True
    if plant.is_jack(node):
        cords = sum(
            node in (cord.a.node, cord.b.node) for cord in scene.state.cords if min(cord.a.node, cord.b.node) >= 0
        )
        return len(scene.state.joined(node)) > cords
    unit = plant.unit_of(node)
    socket = node - unit.first
    return socket in unit.kit.bonded or any(socket in (branch.source, branch.target) for branch in unit.kit.branches)


RULE = Rule("cord-into-nothing", Severity.WARNING, check, "setups")
