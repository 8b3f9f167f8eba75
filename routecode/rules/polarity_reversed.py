"""polarity-reversed: hot and cold arrive exchanged.

Between an output and an input a cable, a cord or a hardwired inside exchanges hot and cold an odd number of times.
Alone it is hardly heard; against another microphone, or in one loudspeaker of two, the bass is gone. Told at the
input. What a unit turns round inside itself is its own affair.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [[cable]]
    from = "deck/out 1"
    to = "rec/in 1"
    polarity = "reversed"
    [[cable]]
    from = "deck/out 2"
    to = "rec/in 2"

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
    normal = "half"
    [[cable]]
    from = "deck/out 1..2"
    to = "north/top 1..2"
    polarity = "reversed"
    [[cable]]
    from = "north/bottom 1..2"
    to = "rec/in 1..2"
    polarity = "reversed"

Accept:

    [[accept]]
    rule = "polarity-reversed"
    at = "rec/in 1"
    because = "The recorder has pin 3 hot there."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.turned import Turned, turned
from routecode.rules.words import counted


def check(scene: Scene) -> Iterator[Fault]:
    """Inputs at which a driver arrives reversed; of passive places that feed each other, each pair once."""
    for one in scene.kept(turned):
        if one.turn is not None:
            yield from _pairs(scene, one, one.turn)


def _pairs(scene: Scene, one: Turned, turn: dict[int, str]) -> Iterator[Fault]:
    words = scene.words
    arriving: dict[int, list[int]] = {}
    name = scene.plant.name
    for driver, hearer in one.net.pairs():
        if turn[driver] != turn[hearer] and (not one.net.either or name(driver) < name(hearer)):
            arriving.setdefault(hearer, []).append(driver)
    for hearer, drivers in arriving.items():
        yield Fault(
            scene.names([hearer, *drivers]) if one.net.either else scene.names([hearer]),
            f"{words.nodes(drivers)} {'arrives' if len(drivers) == 1 else 'arrive'} reversed at {words.node(hearer)}.",
            f"{counted(one.joints, 'joint')} of this net {'exchanges' if one.joints == 1 else 'exchange'} hot and cold.",
            "Exchange hot and cold at one end of that cable, or correct `polarity`.",
            one.places[-1] if one.places else None,
            tuple(("hot and cold are exchanged here too", at) for at in one.places[:-1]),
        )


RULE = Rule("polarity-reversed", Severity.WARNING, check)
