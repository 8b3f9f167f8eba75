"""leg-grounded: an output that drives both legs has one of them grounded.

A balanced output that drives both legs against ground (`drive = "symmetric"`) feeds an unbalanced input, or a cable whose cold leg is
joined to the shield: one of its two amplifiers works into a short. It distorts, gets hot, and the current flows in the shield. Floating
and transformer outputs are made for it, impedance-balanced ones do not mind. Told at the output, with what grounds it. Left open at the
unbalanced end, hot alone gives half the level; a floating or transformer output must not be left open so.

Bad:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "line"
    balanced = true
    drive = "symmetric"
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

Good:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "line"
    balanced = true
    drive = "symmetric"
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
    cold = "open"

Accept:

    [[accept]]
    rule = "leg-grounded"
    at = "desk/out"
    because = "Its maker allows it."
"""

from collections.abc import Iterator

from routecode.figures.conductors import Conductors
from routecode.ground.finding import Severity
from routecode.rules.electric import figured, place_of_net
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.words import listed


def check(scene: Scene) -> Iterator[Fault]:
    """Symmetric outputs with a grounded leg."""
    for net in scene.kept(figured):
        for driver in net.outs:
            if scene.plant.socket(driver).written.drive != "symmetric":
                continue
            legs = scene.figures.analogue.conductors(net)
            plain = [node for node in legs.said_unbalanced if legs.cold_joins(node, driver)]
            if driver in plain:
                continue  # it has no cold leg: told as a contradiction
            tied = tied_ends(legs, driver)
            if not plain and not tied:
                continue
            place, also = place_of_net(scene, net, plain + tied)
            cable = "Lead the cold leg through, joined to nothing else (take `cold` from that cable)."
            plug = 'Leave the cold leg open at the unbalanced end (cold = "open"), or use a transformer.'
            yield Fault(
                scene.names([driver]),
                f"{grounding(scene, plain, tied)} the cold leg of {scene.words.node(driver)}.",
                "That output drives both legs against ground: one side works into a short.",
                plug if plain else cable,
                place,
                also,
            )


def tied_ends(legs: Conductors, node: int) -> list[int]:
    """The ends of cables at which the cold leg, as it arrives at a place, is joined to the shield."""
    ends = {wire.a if wire.details.cold == "a" else wire.b for wire in legs.tying}
    return sorted(end for end in ends if legs.cold_joins(end, node))


def grounding(scene: Scene, plain: list[int], tied: list[int]) -> str:
    """What grounds, with its verb: unbalanced ports, and cables at their ends."""
    phrases = [*map(scene.words.node, plain), *(f"the cable at {scene.words.node(node)}" for node in tied)]
    said = listed(phrases)
    return f"{said[0].upper() if not plain else said[0]}{said[1:]} {'grounds' if len(phrases) == 1 else 'ground'}"


RULE = Rule("leg-grounded", Severity.WARNING, check)
