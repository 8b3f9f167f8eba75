"""feedback-controlled: a signal can come back to its own input when a fader is up.

The loop passes a fader, a pot or a crosspoint, so it is silent until someone opens it. Ordinary on desks with
effects; good to know before the aux knob of an effect return is turned up.

Bad:

    [unit.desk]
    model = "mixer"
    rack = "left"
    [unit.comp]
    model = "processor"
    rack = "left"
    [[cable]]
    from = "desk/out 1..2"
    to = "comp/in 1..2"
    [[cable]]
    from = "comp/out 1..2"
    to = "desk/in 1..2"

Good:

    [unit.desk]
    model = "mixer"
    rack = "left"
    [unit.comp]
    model = "processor"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [unit.deck]
    model = "player"
    rack = "left"
    [[cable]]
    from = "deck/out 1..2"
    to = "desk/in 1..2"
    [[cable]]
    from = "desk/out 1..2"
    to = "comp/in 1..2"
    [[cable]]
    from = "comp/out 1..2"
    to = "rec/in 1..2"

Accept:

    [[accept]]
    rule = "feedback-controlled"
    at = ["desk", "comp"]
    because = "The faders of channels 1 and 2 stay down."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.feedback import fault
from routecode.rules.loops import loops
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Loops that are open once all faders are down and all crosspoints off."""
    found = scene.kept(loops)
    for group in found.controlled:
        yield fault(
            scene,
            found,
            group,
            "every way round it passes a fader or crosspoint.",
            "Keep a fader of the loop down, or leave the crosspoint off.",
        )


RULE = Rule("feedback-controlled", Severity.NOTE, check)
