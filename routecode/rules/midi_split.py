"""midi-split: a MIDI output drives several inputs.

A MIDI output drives one current loop, of one input. Two inputs side by side share its 5 mA, and neither may switch. Told at the output.
A thru box, or the thru of the first unit, is what is missing.

Bad:

    [unit.keys]
    rack = "left"
    [[unit.keys.port]]
    name = "midi out"
    direction = "out"
    signal = "midi"
    [unit.box]
    rack = "left"
    [[unit.box.port]]
    name = "midi in 1..2"
    direction = "in"
    signal = "midi"
    [[cable]]
    from = "keys/midi out"
    to = [["box/midi in 1"], ["box/midi in 2"]]

Good:

    [unit.keys]
    rack = "left"
    [[unit.keys.port]]
    name = "midi out"
    direction = "out"
    signal = "midi"
    [unit.box]
    rack = "left"
    [[unit.box.port]]
    name = "midi in"
    direction = "in"
    signal = "midi"
    [[cable]]
    from = "keys/midi out"
    to = "box/midi in"

Accept:

    [[accept]]
    rule = "midi-split"
    at = "keys/midi out"
    because = "The cable holds an active splitter."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import of_kind, place_of_net
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """MIDI outputs with several inputs."""
    for net in of_kind(scene, "midi"):
        hearers = [node for node in net.hears if node not in net.drives]
        if len(net.drives) == 1 and len(hearers) > 1:
            place, also = place_of_net(scene, net, hearers)
            yield Fault(
                scene.names(net.drives),
                f"{scene.words.nodes(net.drives)} drives {len(hearers)} MIDI inputs: {scene.words.nodes(hearers, most=2)}.",
                "One output drives one current loop of 5 mA (IEC 63035); two inputs share it.",
                "Use a thru box, or go on from the thru of the first unit.",
                place,
                also,
            )


RULE = Rule("midi-split", Severity.WARNING, check)
