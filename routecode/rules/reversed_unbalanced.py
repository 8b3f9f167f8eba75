"""reversed-unbalanced: hot and cold are exchanged where one of them is ground.

A cable that exchanges hot and cold leads to a port that is unbalanced: its signal contact meets the shield, and its ground meets the
signal. The output is shorted, and nothing arrives. Told at the unbalanced port.

Bad:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "line"
    balanced = false
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    balanced = false
    [[cable]]
    from = "desk/out"
    to = "rec/in"
    polarity = "reversed"
    [[accept]]
    rule = "polarity-reversed"
    at = "rec/in"
    because = "Told by another rule."

Good:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "line"
    balanced = false
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    balanced = false
    [[cable]]
    from = "desk/out"
    to = "rec/in"

Accept:

    [[accept]]
    rule = "reversed-unbalanced"
    at = "desk/out"
    because = "The cable is labelled wrongly; it is straight."
    [[accept]]
    rule = "reversed-unbalanced"
    at = "rec/in"
    because = "The cable is labelled wrongly; it is straight."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import figured, place_of_net
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Unbalanced ports at a cable that exchanges hot and cold."""
    for net in scene.kept(figured):
        legs = scene.figures.analogue.conductors(net)
        reversing = [wire for wire in legs.wires if wire.reversed]
        ports = [node for node in legs.unbalanced(net.nodes) if reversing and not _usual(scene, node)]
        for node in ports:
            place, also = place_of_net(scene, net, [node])
            yield Fault(
                scene.names([node]),
                f"Hot and cold are exchanged on the line of {scene.words.node(node)}, which is unbalanced.",
                "Its signal contact meets the shield: the source is shorted, and nothing arrives.",
                "Exchange them back at one end of that cable, or correct `polarity`.",
                place,
                also,
            )


def _usual(scene: Scene, node: int) -> bool:
    said = scene.figures.ports.of(node).balanced
    return said is None or said.default


RULE = Rule("reversed-unbalanced", Severity.ERROR, check)
