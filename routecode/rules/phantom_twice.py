"""phantom-twice: two inputs give phantom power to one line.

Two supplies side by side give a stiffer source than a microphone is made for, a short circuit takes the current of both, and small
differences circulate between them. Of two kinds, such as P48 and P12, the higher one drives current back into the lower one all the time.
Told at the inputs. Where a line is split, one input gives the power, by the direct output, and the others stand behind transformers: an
input that is only switched off may hold the line at half the voltage (`phantom-low`).

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
from routecode.physics.phantom import SUPPLIES, back_amperes, joined_volts
from routecode.rules.electric import fed_with_phantom, place_of_net
from routecode.rules.phantom_told import milliamperes_of_a_leg
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Lines with several supplies."""
    for net, supplies in scene.kept(fed_with_phantom):
        if len(supplies) > 1:
            place, also = place_of_net(scene, net, supplies)
            yield Fault(
                scene.names(supplies),
                f"{scene.words.nodes(supplies, most=2)} give phantom power to one line.",
                _why(scene, supplies),
                "Let one of them give the power and switch the others off, or split with a transformer.",
                place,
                also,
            )


def _why(scene: Scene, supplies: list[int]) -> str:
    kinds = [scene.figures.phantom.kind(node) for node in supplies]
    short = f"A short of one leg takes {milliamperes_of_a_leg(scene, supplies):.1f} mA"
    if len(set(kinds)) == 1:
        return f"{short} instead of {milliamperes_of_a_leg(scene, supplies[:1]):.1f}, and differences circulate."
    feeds = [(SUPPLIES[kind].volts, SUPPLIES[kind].ohms / 2) for kind in kinds]
    line = joined_volts(feeds)
    lower = [node for node, feed in zip(supplies, feeds, strict=True) if feed[0] < line]
    back = f"{back_amperes(feeds) * 1000:.1f} mA flow back into {scene.words.nodes(lower, most=2)}"
    return f"{' and '.join(sorted(set(kinds)))} meet: {back} all the time. {short}."


RULE = Rule("phantom-twice", Severity.WARNING, check)
