"""level-step: the nominal levels of two ports that are joined differ by a step.

Professional equipment works at +4 dBu, consumer equipment at -10 dBV; the step between them is 11.8 dB. Signal that arrives that much
too strong overdrives, that much too weak gets noisy. Told at the input where both ports say their `level` and what arrives is more than
8 dB from it, loading included.

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
        wanted, arriving, given = ports.of(hearer).level, analogue.arriving(hearer), analogue.source(driver)
        if wanted is None or arriving is None or given is None or given.level is None:
            continue
        level = given.level if arriving.default else arriving  # of a load that nobody wrote down nothing is taken off
        step = level.amount - wanted.amount
        if wanted.default or given.level.default or abs(step) <= MOST_DB:
            continue
        place, also = place_of_net(scene, net, [hearer])
        yield Fault(
            scene.names([hearer]),
            f"{scene.words.node(driver)} arrives {abs(step):.1f} dB too {'strong' if step > 0 else 'weak'} "
            f"at {scene.words.node(hearer)}.",
            f"{level.amount:+.1f} dBu arrive, and its nominal level is {wanted.amount:+.1f} dBu.",
            "Switch one of the two to the other level, or put a level converter between them.",
            place,
            also,
        )


RULE = Rule("level-step", Severity.WARNING, check)
