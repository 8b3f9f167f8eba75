"""split-costs: a split costs the source more than a decibel.

Inputs side by side load a source together. Where the others cost an input more than 1 dB against having the source for itself, the split
is heard: the level moves when a cord goes in or out. Told at the source, where it and all its loads say their `ohms`.

Bad:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "line"
    ohms = 200
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    ohms = 10000
    [unit.meter]
    rack = "left"
    [[unit.meter.port]]
    name = "in"
    direction = "in"
    signal = "line"
    ohms = 1500
    [[cable]]
    from = "desk/out"
    to = [["rec/in"], ["meter/in"]]

Good:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "line"
    ohms = 200
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    ohms = 10000
    [unit.meter]
    rack = "left"
    [[unit.meter.port]]
    name = "in"
    direction = "in"
    signal = "line"
    ohms = 10000
    [[cable]]
    from = "desk/out"
    to = [["rec/in"], ["meter/in"]]

Accept:

    [[accept]]
    rule = "split-costs"
    at = "desk/out"
    because = "The meter is plugged in for line-up only."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import figured, place_of_net
from routecode.rules.quantities import ohms
from routecode.rules.rule import Fault, Rule, Scene

MOST_DB = 1.0


def check(scene: Scene) -> Iterator[Fault]:
    """Sources whose inputs cost each other more than a decibel."""
    analogue = scene.figures.analogue
    for net in scene.kept(figured):
        driver, loads = analogue.driver(net), analogue.loads(net)
        if driver is None or len(loads) < 2 or scene.figures.ports.of(driver).kind == "speaker-level":
            continue
        source, together = analogue.source(driver), analogue.loaded(net)
        if source is None or source.ohms is None or together is None or source.ohms.default or together.ohms.default:
            continue
        alone = [analogue.loaded(net, without=node) for node, _ in loads]
        costs = max((one.loss_db.amount - together.loss_db.amount for one in alone if one is not None), default=0.0)
        if costs <= MOST_DB:
            continue
        place, also = place_of_net(scene, net, [driver])
        yield Fault(
            scene.names([driver]),
            f"Splitting {scene.words.node(driver)} to {scene.words.nodes([node for node, _ in loads], most=2)} costs {costs:.1f} dB.",
            f"{ohms(source.ohms.amount)} into {ohms(together.ohms.amount)} lose {-together.loss_db.amount:.1f} dB in all.",
            "Use inputs of higher impedance, or a distribution amplifier.",
            place,
            also,
        )


RULE = Rule("split-costs", Severity.WARNING, check)
