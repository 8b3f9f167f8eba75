"""phantom-missing: a microphone that needs phantom power gets none.

Told at a port with `phantom = "needs"` that is wired to an input and gets no phantom power there: it is switched off, the input gives
none, or an open shield, a transformer or a capacitor stops it on the way. Where one leg still arrives it is `phantom-too-little`. A setup
that switches it on, or that brings the line to another input, is judged by itself.

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

from routecode.circuit.nets import Net
from routecode.ground.finding import Severity
from routecode.rules.electric import figured, place_of_net
from routecode.rules.rule import Fault, Rule, Scene, place_key


def check(scene: Scene) -> Iterator[Fault]:
    """Ports that need phantom power, feed something, and get none."""
    plant, phantom = scene.plant, scene.figures.phantom
    for net in scene.kept(figured):
        for node in net.drives:
            hearers = [hearer for hearer in net.hears if hearer != node]
            if plant.socket(node).written.phantom != "needs" or not hearers:
                continue
            arriving = phantom.at(node)
            if arriving is None:
                yield _none(scene, net, node, hearers)
            elif not arriving.shield:
                yield _no_way_back(scene, net, node)


def _text(scene: Scene, node: int) -> str:
    return f"{scene.words.node(node)} needs phantom power and gets none."


def _no_way_back(scene: Scene, net: Net, node: int) -> Fault:
    wires = scene.figures.analogue.conductors(net).wires
    lifted = sorted({wire.at for wire in wires if wire.details.shield in ("a", "b")}, key=place_key)
    return Fault(
        scene.names([node]),
        _text(scene, node),
        "The shield is open on the way, so the current has no way back.",
        f"It is on at the input. Connect the shield at both ends of {'that cable' if len(lifted) == 1 else 'these cables'}.",
        lifted[0],
        tuple(("the shield is lifted here too", at) for at in lifted[1:]),
    )


def _none(scene: Scene, net: Net, node: int, hearers: list[int]) -> Fault:
    able = [hearer for hearer in hearers if scene.plant.socket(hearer).written.phantom == "supply"]
    if able:
        why, do = f"{scene.words.nodes(able)} has it switched off.", "Switch it on at that input, in phantom_on."
    else:
        why, do = (
            f"{scene.words.nodes(hearers)} gives none.",
            "Use an input that gives it, without a transformer between.",
        )
    place, also = place_of_net(scene, net, [node])
    return Fault(scene.names([node]), _text(scene, node), why, do, place, also)


RULE = Rule("phantom-missing", Severity.WARNING, check)
