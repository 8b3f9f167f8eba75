"""two-places-one-input: several wall sockets lead to one input.

Passive sockets have no output of their own: what is plugged in drives the wire. Two of them on one input are handy as
long as only one is used; with a microphone in each, both are loaded and both arrive.

Bad:

    [unit.hall]
    model = "box"
    room = "control"
    [unit.booth]
    model = "box"
    room = "control"
    [unit.rec]
    model = "mic-recorder"
    rack = "left"
    [[cable]]
    from = [["hall/line 1..2"], ["booth/line 1..2"]]
    to = "rec/mic 1..2"

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
    rule = "two-places-one-input"
    at = ["hall/line 1..2", "booth/line 1..2"]
    because = "One microphone, two doors."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.words import MUTE, counted


def check(scene: Scene) -> Iterator[Fault]:
    """Nets in which several passive places drive inputs."""
    for net in scene.survey.places:
        place, also = scene.net_faults_at(net, net.drives)
        yield Fault(
            scene.names(net.drives),
            f"{scene.words.nodes(net.drives)} all lead to {scene.words.nodes(net.hears, 1)}.",
            f"{counted(len(net.drives), 'place')} where something may be plugged in, on one wire.",
            f"{MUTE} Use one of them at a time, or take the others off.",
            place,
            also,
        )


RULE = Rule("two-places-one-input", Severity.NOTE, check)
