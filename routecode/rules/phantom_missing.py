"""phantom-missing: a microphone that needs phantom power gets none.

Told at a port with `phantom = "needs"` that is wired to an input and gets no phantom power there: it is switched off, the input gives
none, or a leg, the shield, a transformer or a capacitor stops it on the way. A setup that switches it on, or that brings the line to
another input, is judged by itself.

Bad:

    [unit.mic]
    room = "control"
    [[unit.mic.port]]
    name = "out"
    direction = "out"
    signal = "mic"
    phantom = "needs"
    [unit.rec]
    model = "mic-recorder"
    rack = "left"
    [[cable]]
    from = "mic/out"
    to = "rec/mic 1"
    [[accept]]
    rule = "inputs-unfed"
    at = "rec/mic 2"
    because = "Free."

Good:

    [unit.mic]
    room = "control"
    [[unit.mic.port]]
    name = "out"
    direction = "out"
    signal = "mic"
    phantom = "needs"
    [unit.pre]
    rack = "left"
    phantom_on = "mic"
    [[unit.pre.port]]
    name = "mic"
    direction = "in"
    signal = "mic"
    phantom = "supply"
    [[cable]]
    from = "mic/out"
    to = "pre/mic"

Accept:

    [[accept]]
    rule = "phantom-missing"
    at = "mic/out"
    because = "It has a battery in it."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import figured, place_of_net
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Ports that need phantom power, feed something, and get none."""
    plant, phantom = scene.plant, scene.figures.phantom
    for net in scene.kept(figured):
        for node in net.drives:
            if plant.socket(node).written.phantom != "needs" or not any(hearer != node for hearer in net.hears):
                continue
            arriving = phantom.at(node)
            if arriving is not None and arriving.supplied:
                continue
            place, also = place_of_net(scene, net, [node])
            yield Fault(
                scene.names([node]),
                f"{scene.words.node(node)} needs phantom power and gets none.",
                _why(scene, [hearer for hearer in net.hears if hearer != node], exposed=arriving is not None),
                "Switch it on at that input, in phantom_on; or use an input that gives it.",
                place,
                also,
            )


def _why(scene: Scene, hearers: list[int], *, exposed: bool) -> str:
    if exposed:
        return "A leg or the shield is open on the way, so the current has no way back."
    able = [node for node in hearers if scene.plant.socket(node).written.phantom == "supply"]
    if able:
        return f"{scene.words.nodes(able)} has it switched off."
    return f"{scene.words.nodes(hearers)} gives none."


RULE = Rule("phantom-missing", Severity.WARNING, check)
