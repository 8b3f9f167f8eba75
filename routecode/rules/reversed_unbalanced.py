"""reversed-unbalanced: hot and cold are exchanged between two places that both have one of them at ground.

Hot and cold are exchanged an odd number of times, by cables, cords or hardwired insides, between two ports that are unbalanced (or an
impedance-balanced output and one that is, or a plug that joins cold to the shield): the signal contact of each meets the ground of the
other. The output is shorted, and nothing arrives. Told at the unbalanced ports. Where only one end is unbalanced the exchange shorts
nothing: it arrives with reversed polarity, which is told as `polarity-reversed`.

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

from routecode.figures.conductors import Conductors
from routecode.ground.finding import Severity
from routecode.rules.electric import place_of_net
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.turned import turned


def check(scene: Scene) -> Iterator[Fault]:
    """Unbalanced ports that an exchange of hot and cold lies between."""
    for one in scene.kept(turned):
        if one.turn is None:
            continue  # hot meets cold within the net: told as that
        legs = scene.figures.analogue.conductors(one.net)
        grounded = _grounded(scene, legs)
        for node in legs.said_unbalanced:
            against = [
                other for other in grounded if one.turn[other] != one.turn[node] and legs.shield_joins(node, other)
            ]
            if not against:
                continue
            place, also = place_of_net(scene, one.net, [node])
            yield Fault(
                scene.names([node]),
                f"Hot and cold are exchanged between {scene.words.node(node)} and {scene.words.nodes(against)}, and each has a leg at ground.",
                "The signal contact of each meets the ground of the other: the source is shorted, and nothing arrives.",
                "Exchange them back at one end of that line, or correct `polarity`.",
                place,
                also,
            )


def _grounded(scene: Scene, legs: Conductors) -> list[int]:
    """Places of a net whose cold leg is at ground, by what is said."""
    found = set(legs.said_unbalanced)
    found.update(node for node in legs.net.outs if scene.plant.socket(node).written.drive == "impedance")
    found.update(wire.a if wire.details.cold == "a" else wire.b for wire in legs.tying if not wire.reversed)
    return sorted(found)


RULE = Rule("reversed-unbalanced", Severity.ERROR, check)
