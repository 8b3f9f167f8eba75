"""line-into-mic: a line output is wired to a microphone input.

A microphone input expects millivolts; line level overdrives it, most often before its gain can be turned down far enough. Told at the
input. An attenuator between the two, or a line input, is what is missing.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "mic-recorder"
    rack = "left"
    [[cable]]
    from = "deck/out 1..2"
    to = "rec/mic 1..2"

Good:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [[cable]]
    from = "deck/out 1..2"
    to = "rec/in 1..2"

Accept:

    [[accept]]
    rule = "line-into-mic"
    at = "rec/mic 1..2"
    because = "Its pad is always in."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import crossed, of_feed
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Microphone inputs that a line output feeds."""
    for one in scene.kept(crossed):
        if (one.gives, one.takes) == ("line", "mic"):
            yield of_feed(
                scene,
                one,
                "{driver} gives line level, and {hearer} takes microphone level.",
                "Line level is some 50 dB too strong for a microphone input.",
                "Use a line input or an attenuator, or correct `signal` of one port.",
            )


RULE = Rule("line-into-mic", Severity.WARNING, check)
