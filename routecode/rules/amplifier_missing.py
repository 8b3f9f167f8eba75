"""amplifier-missing: a line or a microphone is wired straight to a loudspeaker.

A loudspeaker without an amplifier of its own takes watts; a line output gives milliwatts, into a load that is far too low for it. Hardly
anything is heard, and the output works into what is nearly a short. Told at the loudspeaker. A power amplifier between the two is what is
missing, or the loudspeaker has an amplifier built in, and its input takes line level: then the signal kind of one port is written wrongly.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.speakers]
    room = "control"
    [[unit.speakers.port]]
    name = "in 1..2"
    direction = "in"
    signal = "speaker-level"
    [[cable]]
    from = "deck/out 1..2"
    to = "speakers/in 1..2"

Good:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.speakers]
    room = "control"
    [[unit.speakers.port]]
    name = "in 1..2"
    direction = "in"
    signal = "line"
    [[cable]]
    from = "deck/out 1..2"
    to = "speakers/in 1..2"

Accept:

    [[accept]]
    rule = "amplifier-missing"
    at = "speakers/in 1..2"
    because = "The amplifier hangs in the cable, and is drawn nowhere."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import crossed, of_feed
from routecode.rules.rule import Fault, Rule, Scene

_WEAK = {"mic": "microphone level", "line": "line level", "instrument": "instrument level"}


def check(scene: Scene) -> Iterator[Fault]:
    """Loudspeakers that no amplifier drives."""
    for one in scene.kept(crossed):
        if one.takes == "speaker-level" and one.gives in _WEAK:
            yield of_feed(
                scene,
                one,
                f"{{driver}} gives {_WEAK[one.gives]}, and {{hearer}} is a loudspeaker.",
                "A loudspeaker needs a power amplifier; to a line output it is nearly a short.",
                "Put an amplifier between them, or correct `signal` of one port.",
            )


RULE = Rule("amplifier-missing", Severity.WARNING, check)
