"""level-step: the nominal levels of two ports that are joined differ by a step.

Professional equipment works at +4 dBu, consumer equipment at -10 dBV; the step between them is 11.8 dB. Signal that arrives that much
too strong overdrives, that much too weak gets noisy. Told at the input where both ports say their `level` and what arrives is more than
8 dB from it, loading and the legs of the line included; where it is not said how a balanced output drives an unbalanced input, by as
little as it may be.

Bad:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "line"
    level = "+4 dBu"
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    level = "-10 dBV"
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
    level = "+4 dBu"
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    level = "+4 dBu"
    [[cable]]
    from = "desk/out"
    to = "rec/in"

Accept:

    [[accept]]
    rule = "level-step"
    at = "rec/in"
    because = "Its input control is turned down."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import figured_feeds, place_of_net
from routecode.rules.rule import Fault, Rule, Scene

MOST_DB = 8.0


def check(scene: Scene) -> Iterator[Fault]:
    """Inputs at which a level arrives that is a step from what they say."""
    ports, analogue = scene.figures.ports, scene.figures.analogue
    for net, driver, hearer in scene.kept(figured_feeds):
        wanted, bounds = ports.of(hearer).level, analogue.bounds(hearer)
        if wanted is None or bounds is None or wanted.default or bounds[0].default:
            continue
        low, high = (bound.amount - wanted.amount for bound in bounds)
        step = max(low, 0.0) + min(high, 0.0)  # nothing where it may be no step at all
        if round(abs(step), 1) <= MOST_DB:
            continue
        place, also = place_of_net(scene, net, [hearer])
        yield Fault(
            scene.names([hearer]),
            f"{scene.words.node(driver)} arrives {abs(step):.1f} dB too {'strong' if step > 0 else 'weak'} "
            f"at {scene.words.node(hearer)}.",
            f"{wanted.amount + step:+.1f} dBu arrive, and its nominal level is {wanted.amount:+.1f} dBu.",
            "Switch one of the two to the other level, or put a level converter between them.",
            place,
            also,
        )


RULE = Rule("level-step", Severity.WARNING, check)
