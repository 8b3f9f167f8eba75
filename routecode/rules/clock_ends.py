"""clock-ends: a word clock line does not end as it should.

A word clock line ends once, at its last receiver, with 75 ohms. With no termination the pulses are reflected, with two the level falls
by 3.5 dB; receivers then lose lock now and then. Told at the output that drives the line, where a receiver says `terminates`. A line of
which no port says anything is left alone.

Bad:

    [unit.clock]
    rack = "left"
    [[unit.clock.port]]
    name = "out"
    direction = "out"
    signal = "wordclock"
    [unit.conv]
    rack = "left"
    [[unit.conv.port]]
    name = "in 1..2"
    direction = "in"
    signal = "wordclock"
    terminates = true
    [[cable]]
    from = "clock/out"
    to = [["conv/in 1"], ["conv/in 2"]]

Good:

    [unit.clock]
    rack = "left"
    [[unit.clock.port]]
    name = "out 1..2"
    direction = "out"
    signal = "wordclock"
    [unit.conv]
    rack = "left"
    [[unit.conv.port]]
    name = "in 1..2"
    direction = "in"
    signal = "wordclock"
    terminates = true
    [[cable]]
    from = "clock/out 1..2"
    to = "conv/in 1..2"

Accept:

    [[accept]]
    rule = "clock-ends"
    at = "clock/out"
    because = "The switch of one of them is off, and cannot be said so."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.physics.line import terminated_db
from routecode.rules.electric import of_kind, place_of_net
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Word clock lines with no termination that is said, or with several."""
    for net in of_kind(scene, "wordclock"):
        hearers = [node for node in net.hears if node not in net.drives]
        said = [scene.plant.socket(node).written.terminates for node in hearers]
        ends = said.count(True)
        if (
            len(net.drives) != 1
            or not hearers
            or all(one is None for one in said)
            or ends == 1
            or (None in said and not ends)
        ):
            continue
        place, also = place_of_net(scene, net, hearers)
        level = (
            f"The level falls by {-terminated_db(75.0, *[75.0] * ends):.1f} dB."
            if ends
            else "The pulses are reflected."
        )
        yield Fault(
            scene.names(net.drives),
            f"The clock line of {scene.words.nodes(net.drives)} is terminated {ends or 'not at all'}{' times' if ends else ''}.",
            f"It ends once, at its last receiver. {level}",
            "Terminate the last receiver only, or give each one a line of its own.",
            place,
            also,
        )


RULE = Rule("clock-ends", Severity.WARNING, check)
