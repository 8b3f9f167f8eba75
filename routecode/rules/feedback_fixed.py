"""feedback-fixed: a signal comes back to its own input, and nothing can turn it down.

A loop of cables, normals, cords and insides without a fader, a pot or a crosspoint in it howls as soon as it is
closed, at full level: a danger to ears, loudspeakers and amplifiers. A recorder normalled to its own input is the
classic.

Bad:

    [unit.comp]
    model = "processor"
    rack = "left"
    [[cable]]
    from = "comp/out 1..2"
    to = ["comp/in 2", "comp/in 1"]

Good:

    [unit.comp]
    model = "processor"
    rack = "left"
    [bay.north]
    columns = 2
    rack = "left"
    [[bay.north.column]]
    at = "1..2"
    top = "comp/out 1..2"
    bottom = "comp/in 1..2"
    normal = "none"

Accept:

    [[accept]]
    rule = "feedback-fixed"
    at = ["comp/in 1..2", "comp/out 1..2"]
    because = "An oscillator made of it on purpose, into a limiter."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.feedback import fault
from routecode.rules.loops import loops
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Loops in which no inside has a control."""
    found = scene.kept(loops)
    for group in found.fixed:
        yield fault(
            scene,
            found,
            group,
            "no fader or crosspoint lies in it.",
            "Then open the loop: take out a cord, or the normal that closes it.",
        )


RULE = Rule("feedback-fixed", Severity.HAZARD, check)
