"""speaker-level-into-input: an amplifier drives something that is no loudspeaker.

The output of a power amplifier carries tens of volts and tens of amperes. Into a line, microphone or headphone input it can burn the
input, and into headphones on a head it harms ears. Told at the input. There is no case in which this is fine without a box made for it;
such a box has a speaker-level input of its own.

Bad:

    [unit.amp]
    rack = "left"
    [[unit.amp.port]]
    name = "out 1..2"
    direction = "out"
    signal = "speaker-level"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [[cable]]
    from = "amp/out 1..2"
    to = "rec/in 1..2"

Good:

    [unit.amp]
    rack = "left"
    [[unit.amp.port]]
    name = "out 1..2"
    direction = "out"
    signal = "speaker-level"
    [unit.speakers]
    room = "control"
    [[unit.speakers.port]]
    name = "in 1..2"
    direction = "in"
    signal = "speaker-level"
    [[cable]]
    from = "amp/out 1..2"
    to = "speakers/in 1..2"

Accept:

    [[accept]]
    rule = "speaker-level-into-input"
    at = "rec/in 1..2"
    because = "An attenuator for loudspeaker level is built into the plugs."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import crossed, of_feed
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Inputs other than loudspeakers that a power amplifier drives."""
    for one in scene.kept(crossed):
        if one.gives == "speaker-level":
            yield of_feed(
                scene,
                one,
                "{driver} gives loudspeaker level, and {hearer} is no loudspeaker.",
                "A power amplifier gives tens of volts: it can destroy an input, and harm ears on headphones.",
                "Switch the amplifier off first. Then take this joint apart, or correct `signal` of one port.",
            )


RULE = Rule("speaker-level-into-input", Severity.HAZARD, check)
