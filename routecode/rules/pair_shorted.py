"""pair-shorted: hot and cold of a pair are joined.

Two ways lead through one net, and they exchange hot and cold differently: somewhere hot meets cold, and everything in
the net goes silent or works into a short circuit. Usually one of two parallel cables or cords is made off the other
way round.

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
    at = 1
    top = "deck/out 1"
    bottom = "rec/in 1"
    normal = "parallel"
    [[bay.north.column]]
    at = 2
    top = "deck/out 2"
    bottom = "rec/in 2"
    normal = "half"
    [setup.take]
    [[setup.take.cord]]
    from = "north/top 1"
    to = "north/bottom 1"
    polarity = "reversed"

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
    at = 1
    top = "deck/out 1"
    bottom = "rec/in 1"
    normal = "parallel"
    [[bay.north.column]]
    at = 2
    top = "deck/out 2"
    bottom = "rec/in 2"
    normal = "half"
    [setup.take]
    [[setup.take.cord]]
    from = "north/top 1"
    to = "north/bottom 1"

Accept:

    [[accept]]
    rule = "pair-shorted"
    at = ["deck/out 1", "rec/in 1"]
    because = "A test of what happens then."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.turned import turned
from routecode.rules.words import HUSH, counted


def check(scene: Scene) -> Iterator[Fault]:
    """Nets whose polarity is mixed."""
    for one in scene.kept(turned):
        if one.turn is not None:
            continue
        ports = [node for node in one.net.nodes if node < scene.plant.ports]
        yield Fault(
            scene.names(ports or one.net.nodes),
            f"Hot and cold are shorted where {scene.words.nodes(ports or one.net.nodes)} are joined.",
            f"Two ways lead through this net; {counted(one.joints, 'joint')} of them exchange hot and cold, an odd number round the loop.",
            f"{HUSH} Take one of the two ways out, or make both alike.",
            one.places[-1] if one.places else None,
            tuple(("hot and cold are exchanged here too", at) for at in one.places[:-1]),
        )


RULE = Rule("pair-shorted", Severity.ERROR, check)
