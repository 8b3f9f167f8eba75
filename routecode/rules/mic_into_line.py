"""mic-into-line: a microphone is wired to a line input.

A microphone gives a few millivolts and a line input expects a volt: what arrives is some 50 dB too weak, and the noise with it. There
is no phantom power on a line input either. Told at the input. A preamplifier between the two is what is missing, or the signal kind
of one of the ports is written wrongly.

Bad:

    [unit.hall]
    model = "box"
    room = "control"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [[cable]]
    from = "hall/line 1..2"
    to = "rec/in 1..2"

Good:

    [unit.hall]
    model = "box"
    room = "control"
    [unit.rec]
    model = "mic-recorder"
    rack = "left"
    [[cable]]
    from = "hall/line 1..2"
    to = "rec/mic 1..2"

Accept:

    [[accept]]
    rule = "mic-into-line"
    at = "rec/in 1..2"
    because = "Only line sources are plugged into that box."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import crossed, of_feed
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Line inputs that a microphone feeds."""
    for one in scene.kept(crossed):
        if (one.gives, one.takes) == ("mic", "line"):
            yield of_feed(
                scene,
                one,
                "{driver} gives microphone level, and {hearer} takes line level.",
                "A microphone is some 50 dB too weak for a line input.",
                "Put a preamplifier between them, or correct `signal` of one port.",
            )


RULE = Rule("mic-into-line", Severity.WARNING, check)
