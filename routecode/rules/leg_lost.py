"""leg-lost: only one leg of a balanced line arrives.

The cold leg is left open on the way from a balanced output to a balanced input. Half of the signal is gone (6 dB where the output
drives both legs), and so is all rejection of noise. Told at the input. An open cold leg belongs at an unbalanced end only.

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
    cold = "open"

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
    rule = "leg-lost"
    at = "rec/in"
    because = "Made so to meet a faulty output."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import figured_feeds, place_of_net
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Balanced inputs that the cold leg of a balanced output does not reach."""
    ports, analogue = scene.figures.ports, scene.figures.analogue
    for net, driver, hearer in scene.kept(figured_feeds):
        both = (ports.of(driver).balanced, ports.of(hearer).balanced)
        if any(said is None or said.default or not said.yes for said in both):
            continue
        if analogue.conductors(net).cold_joins(driver, hearer):
            continue
        place, also = place_of_net(scene, net, [hearer])
        yield Fault(
            scene.names([hearer]),
            f"Only the hot leg of {scene.words.node(driver)} arrives at {scene.words.node(hearer)}.",
            "The cold leg is left open on the way: up to 6 dB are lost, and noise is not rejected.",
            "Connect the cold leg at both ends.",
            place,
            also,
        )


RULE = Rule("leg-lost", Severity.WARNING, check)
