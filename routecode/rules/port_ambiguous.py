"""port-ambiguous: a cord names a port that is on several jacks.

In a cord, an input or output stands for the jack it is wired to. Wired to several jacks it stands for none: nobody
can tell which of them the plug goes into, and the cord joins nothing.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [bay.north]
    columns = 4
    rack = "left"
    [[cable]]
    from = "deck/out 1..2"
    to = [["north/top 1..2"], ["north/top 3..4"]]
    [[bay.north.column]]
    at = "1..2"
    bottom = "rec/in 1..2"
    [setup.take]
    [[setup.take.cord]]
    from = "deck/out 1"
    to = "north/bottom 1"

Good:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [bay.north]
    columns = 4
    rack = "left"
    [[cable]]
    from = "deck/out 1..2"
    to = [["north/top 1..2"], ["north/top 3..4"]]
    [[bay.north.column]]
    at = "1..2"
    bottom = "rec/in 1..2"
    [setup.take]
    [[setup.take.cord]]
    from = "north/top 3"
    to = "north/bottom 1"

Accept:

    [[accept]]
    rule = "port-ambiguous"
    at = "deck/out 1"
    because = "Either jack does; the cord is not followed."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.words import listed


def check(scene: Scene) -> Iterator[Fault]:
    """Ends of cords that stand for no single jack."""
    for cord in scene.state.cords:
        for end in (cord.a, cord.b):
            if end.how != "ambiguous":
                continue
            node = scene.plant.node(end.named)
            assert node is not None
            jacks = [scene.words.node(jack) for jack in end.jacks]
            yield Fault(
                (scene.plant.name(node),),
                f"A cord names {scene.words.node(node)}, which is on {len(jacks)} jacks.",
                f"It is wired to {listed(jacks, 7)}.",
                f"Name the jack: {scene.plant.name(end.jacks[0])}, for example.",
                end.at,
            )


RULE = Rule("port-ambiguous", Severity.ERROR, check, "setups")
