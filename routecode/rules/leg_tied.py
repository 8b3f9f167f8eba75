"""leg-tied: a cable joins the cold leg of a line to its shield, and both ends are balanced.

Joining cold to shield is for unbalanced ends. On a line that is balanced at both ends it gives away what balance is for: noise is no
longer rejected, and an output that drives both legs works into a short. Told at the input. Outputs that say that they drive both legs
are told as `leg-grounded`.

Bad:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "line"
    balanced = true
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    balanced = true
    [[cable]]
    from = "desk/out"
    to = "rec/in"
    cold = "shield-at-from"

Good:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "line"
    balanced = true
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    balanced = true
    [[cable]]
    from = "desk/out"
    to = "rec/in"

Accept:

    [[accept]]
    rule = "leg-tied"
    at = "rec/in"
    because = "The balance of that old output is broken."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import figured_feeds, place_of_net
from routecode.rules.leg_grounded import grounding, tied_ends
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Balanced inputs of balanced outputs with a cold leg that a cable joins to the shield."""
    ports = scene.figures.ports
    for net, driver, hearer in scene.kept(figured_feeds):
        both = (ports.of(driver).balanced, ports.of(hearer).balanced)
        if any(said is None or said.default or not said.yes for said in both):
            continue
        legs = scene.figures.analogue.conductors(net)
        tied = tied_ends(legs, hearer)
        if not tied or scene.plant.socket(driver).written.drive == "symmetric" or legs.said_unbalanced:
            continue
        place, also = place_of_net(scene, net, tied)
        yield Fault(
            scene.names([hearer]),
            f"{grounding(scene, [], tied)} the cold leg from {scene.words.node(driver)} to {scene.words.node(hearer)}.",
            "Both ends are balanced: with one leg at the shield noise is not rejected.",
            "Lead the cold leg through, joined to nothing else (take `cold` from that cable).",
            place,
            also,
        )


RULE = Rule("leg-tied", Severity.NOTE, check)
