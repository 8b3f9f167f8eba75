"""corner-low: the cable takes away treble.

The impedance of the source and the capacitance of all the cables on the line are a low-pass. Told at the source where 1 dB or more is
gone at 20 kHz (a corner below 39 kHz), from what is written: source `ohms`, `metres` and `pf_per_metre`. Cables that do not say them
only make it worse.

Bad:

    [cable_type.pair]
    pf_per_metre = 100
    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "line"
    ohms = 600
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    ohms = 10000
    [[cable]]
    from = "desk/out"
    to = "rec/in"
    type = "pair"
    metres = 120

Good:

    [cable_type.pair]
    pf_per_metre = 100
    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "line"
    ohms = 60
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    ohms = 10000
    [[cable]]
    from = "desk/out"
    to = "rec/in"
    type = "pair"
    metres = 120

Accept:

    [[accept]]
    rule = "corner-low"
    at = "desk/out"
    because = "It carries talkback."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.physics.cable import loss_db
from routecode.physics.load import parallel
from routecode.rules.electric import figured, place_of_net
from routecode.rules.quantities import ohms
from routecode.rules.rule import Fault, Rule, Scene

TREBLE, MOST_DB = 20_000.0, 1.0


def check(scene: Scene) -> Iterator[Fault]:
    """Sources that lose a decibel or more at 20 kHz to their cables."""
    analogue = scene.figures.analogue
    for net in scene.kept(figured):
        driver = analogue.driver(net)
        corner = analogue.corner(net) if driver is not None else None
        source = analogue.source(driver) if driver is not None else None
        if driver is None or corner is None or source is None or source.ohms is None or source.ohms.default:
            continue
        lost = -loss_db(TREBLE, corner.amount)
        if lost < MOST_DB:
            continue
        place, also = place_of_net(scene, net, [driver])
        farads, _ = analogue.farads(net)
        loaded = analogue.loaded(net)
        together = source.ohms.amount if loaded is None else parallel(source.ohms.amount, loaded.ohms.amount)
        yield Fault(
            scene.names([driver]),
            f"{scene.words.node(driver)} loses {lost:.1f} dB at 20 kHz to its cables.",
            f"{ohms(together)} (the source with its load beside it) and {farads * 1e12:,.0f} pF make a corner of {corner.amount / 1000:.1f} kHz.",
            "Shorten the cable, use one of less capacitance, or a source of lower impedance.",
            place,
            also,
        )


RULE = Rule("corner-low", Severity.WARNING, check)
