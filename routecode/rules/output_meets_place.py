"""output-meets-place: an output and an open socket lead to one input.

The socket is passive: with nothing plugged in it is only another destination of the output. With a microphone or an
instrument in it, two sources work on one wire. A tie line that is the only destination of an output is ordinary and
not told.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [unit.hall]
    model = "box"
    room = "control"
    [[cable]]
    from = "deck/out 1..2"
    to = [["rec/in 1..2"], ["hall/line 1..2"]]

Good:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.hall]
    model = "box"
    room = "control"
    [[cable]]
    from = "deck/out 1..2"
    to = "hall/line 1..2"

Accept:

    [[accept]]
    rule = "output-meets-place"
    at = "hall/line 1..2"
    because = "Only headphone amplifiers are plugged in there."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Nets of one output, an input, and open ends of passive ports."""
    words = scene.words
    for net, ends in scene.survey.joined:
        drivers = [node for node in net.drives if node not in ends]
        share = "shares" if len(ends) == 1 else "share"
        place, also = scene.net_faults_at(net, ends)
        yield Fault(
            scene.names(ends),
            f"{words.nodes(ends)} {share} the wire of {words.nodes(drivers)} to {words.nodes(net.ins)}.",
            "Whatever is plugged in there works against that output.",
            "Plug in only what listens, or take the socket off this wire.",
            place,
            also,
        )


RULE = Rule("output-meets-place", Severity.NOTE, check)
