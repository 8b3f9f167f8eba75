"""stereo-into-balanced: a stereo headphone output feeds a balanced input.

A headphone output carries left and right on the two contacts on which a balanced input expects hot and cold: what arrives is the
difference of the two channels, so everything in the middle of the picture disappears. Told at the input. Two unbalanced inputs, or a
cable made for it, are what is missing.

Bad:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "phones"
    direction = "out"
    signal = "headphone"
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    balanced = true
    [[cable]]
    from = "desk/phones"
    to = "rec/in"

Good:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "phones"
    direction = "out"
    signal = "headphone"
    [unit.amp]
    rack = "left"
    [[unit.amp.port]]
    name = "in"
    direction = "in"
    signal = "headphone"
    [[unit.amp.port]]
    name = "out"
    direction = "out"
    signal = "line"
    [[unit.amp.inside]]
    from = "in"
    to = "out"
    control = "level"
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    balanced = true
    [[cable]]
    from = "desk/phones"
    to = "amp/in"
    [[cable]]
    from = "amp/out"
    to = "rec/in"

Accept:

    [[accept]]
    rule = "stereo-into-balanced"
    at = "rec/in"
    because = "The plug takes left only."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import crossed, of_feed
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Balanced inputs that a headphone output feeds."""
    for one in scene.kept(crossed):
        said = scene.figures.ports.of(one.hearer).balanced
        if one.gives == "headphone" and said is not None and said.yes and not said.default:
            yield of_feed(
                scene,
                one,
                "{driver} carries left and right, and {hearer} takes them for hot and cold.",
                "A balanced input hears the difference: whatever both channels share is gone.",
                "Use two unbalanced inputs, or a cable that takes one channel only.",
            )


RULE = Rule("stereo-into-balanced", Severity.WARNING, check)
