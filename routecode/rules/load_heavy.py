"""load-heavy: a source is loaded with less than five times its own impedance.

A microphone loaded so loses level, and its response changes; five times its impedance is what the standards for microphones assume. Told
at the source where it and all that loads it say their `ohms`. Loudspeaker lines are made otherwise and are left alone.

Bad:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "mic"
    ohms = 200
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "mic"
    ohms = 600
    [[cable]]
    from = "desk/out"
    to = "rec/in"

Good:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "mic"
    ohms = 200
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "mic"
    ohms = 2000
    [[cable]]
    from = "desk/out"
    to = "rec/in"

Accept:

    [[accept]]
    rule = "load-heavy"
    at = "desk/out"
    because = "An old moving coil, made for that load."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import figured, place_of_net
from routecode.rules.quantities import number, ohms
from routecode.rules.rule import Fault, Rule, Scene

LEAST = 5.0


def check(scene: Scene) -> Iterator[Fault]:
    """Sources loaded with less than five times their impedance."""
    analogue = scene.figures.analogue
    for net in scene.kept(figured):
        driver = analogue.driver(net)
        if driver is None or scene.figures.ports.of(driver).kind == "speaker-level":
            continue
        source, loaded = analogue.source(driver), analogue.loaded(net)
        if source is None or source.ohms is None or loaded is None or source.ohms.default or loaded.ohms.default:
            continue
        if source.ohms.amount <= 0 or round(loaded.ohms.amount / source.ohms.amount, 1) >= LEAST:
            continue
        place, also = place_of_net(scene, net, [driver])
        yield Fault(
            scene.names([driver]),
            f"{scene.words.node(driver)} is loaded with {_times(loaded.ohms.amount / source.ohms.amount)} times its impedance.",
            f"{ohms(source.ohms.amount)} into {ohms(loaded.ohms.amount)} cost {-loaded.loss_db.amount:.1f} dB.",
            "Use an input of higher impedance, fewer inputs at once, or a splitter with transformers.",
            place,
            also,
        )


def _times(ratio: float) -> str:
    return f"{ratio:.1f}" if ratio >= 1 else number(ratio)


RULE = Rule("load-heavy", Severity.WARNING, check)
