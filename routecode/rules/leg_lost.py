"""leg-lost: only one leg of a line arrives, or the signal has no way back.

The cold leg is left open on the way to a balanced input: half of the signal is gone where the output drives both legs, nearly all of it
where the output floats or has a transformer, and so is all rejection of noise. From an unbalanced output the cold leg of the input
floats: it belongs joined to the shield at the source. Into an unbalanced input an open cold leg is right for symmetric and
impedance-balanced outputs only; a floating one, or a line with neither cold nor shield through, has no way back. Told at the input.

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

from routecode.figures.legs import FLOATING_COLD, NO_RETURN, ONE_LEG, OPEN, SOME_LEG
from routecode.ground.finding import Severity
from routecode.rules.electric import figured_feeds, place_of_net
from routecode.rules.rule import Fault, Rule, Scene

_ONE = "Only the hot leg of {driver} arrives at {hearer}."
_NONE = "{driver} has no way back from {hearer}: its signal is lost."
_THROUGH = "Connect the cold leg at both ends."
_FLOATS = "That output floats, and its cold leg is open: what arrives is hum and stray signal."
_SAID = {
    ONE_LEG: (
        _ONE,
        "That output drives both legs: half of the signal (6 dB) is lost, and noise is not rejected.",
        _THROUGH,
    ),
    SOME_LEG: (
        _ONE,
        "6 dB are lost where the output drives both legs, nearly all where it floats, and noise is not rejected.",
        _THROUGH,
    ),
    FLOATING_COLD: (
        _ONE,
        "The other leg of the input floats: 6 dB may be lost, or all with a transformer, and noise is not rejected.",
        _THROUGH,
    ),
    NO_RETURN: (_NONE, _FLOATS, _THROUGH),
    OPEN: (
        _NONE,
        "The cold leg is open, and so is the shield: what arrives is hum and stray signal.",
        "Connect the cold leg or the shield at both ends.",
    ),
}
"""What is lost -> what is told, why, and what to do."""
_SOURCE_UNBALANCED = (
    _ONE,
    "The cold leg of the input floats: 6 dB are lost, or all with a transformer, and hum comes in.",
    'Join the cold leg to the shield at the source (`cold = "shield-at-from"` where the cable starts there).',
)
_INTO_UNBALANCED = (_NONE, _FLOATS, "Lead the cold leg through, and join it to the shield at the unbalanced end.")


def check(scene: Scene) -> Iterator[Fault]:
    """Inputs that a leg of the line does not reach, or from which no current returns."""
    for net, driver, hearer in scene.kept(figured_feeds):
        lost = scene.figures.analogue.arrival(net, driver, hearer).lost
        if not lost:
            continue
        text, why, do = _said(scene, lost, driver, hearer)
        place, also = place_of_net(scene, net, [hearer])
        said = text.format(driver=scene.words.node(driver), hearer=scene.words.node(hearer))
        yield Fault(scene.names([hearer]), said, why, do, place, also)


def _said(scene: Scene, lost: str, driver: int, hearer: int) -> tuple[str, str, str]:
    gives, takes = (scene.figures.ports.of(node).balanced for node in (driver, hearer))
    if lost == FLOATING_COLD and gives is not None and not gives.yes:
        return _SOURCE_UNBALANCED
    if lost == NO_RETURN and takes is not None and not takes.yes:
        return _INTO_UNBALANCED
    return _SAID[lost]


RULE = Rule("leg-lost", Severity.WARNING, check)
