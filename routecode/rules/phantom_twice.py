"""phantom-twice: two inputs give phantom power to one line.

Two supplies side by side give a stiffer source than a microphone is made for, a short circuit takes twice the current, and small
differences circulate between them. With one switched off, its feed may hold the line at half the voltage. Told at the inputs. Where a
line is split, one input gives the power, by the direct output, and the others stand behind transformers.

Bad:

    [unit.mic]
    room = "control"
    [[unit.mic.port]]
    name = "out"
    direction = "out"
    signal = "mic"
    [unit.pre]
    rack = "left"
    phantom_on = "mic 1..2"
    [[unit.pre.port]]
    name = "mic 1..2"
    direction = "in"
    signal = "mic"
    phantom = "supply"
    [[cable]]
    from = "mic/out"
    to = [["pre/mic 1"], ["pre/mic 2"]]

Good:

    [unit.mic]
    room = "control"
    [[unit.mic.port]]
    name = "out"
    direction = "out"
    signal = "mic"
    [unit.pre]
    rack = "left"
    phantom_on = "mic 1"
    [[unit.pre.port]]
    name = "mic 1..2"
    direction = "in"
    signal = "mic"
    phantom = "supply"
    [[cable]]
    from = "mic/out"
    to = [["pre/mic 1"], ["pre/mic 2"]]

Accept:

    [[accept]]
    rule = "phantom-twice"
    at = ["pre/mic 1", "pre/mic 2"]
    because = "The two are one supply inside."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import fed_with_phantom, place_of_net
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Lines with several supplies."""
    for net, supplies in scene.kept(fed_with_phantom):
        if len(supplies) > 1:
            place, also = place_of_net(scene, net, supplies)
            yield Fault(
                scene.names(supplies),
                f"{scene.words.nodes(supplies, most=2)} give phantom power to one line.",
                f"A short of one leg takes {7.06 * len(supplies):.1f} mA instead of 7.1, and differences circulate.",
                "Let one of them give the power and switch the others off, or split with a transformer.",
                place,
                also,
            )


RULE = Rule("phantom-twice", Severity.WARNING, check)
