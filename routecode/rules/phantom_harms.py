"""phantom-harms: phantom power reaches something that it harms.

A port that says `phantom = "harmed"`, such as a ribbon microphone wired unsafely, or an unbalanced microphone, lies on a line with phantom
power. Any leg that arrives is enough: an open cold leg or an open shield does not protect it. Told at that port.

Bad:

    [unit.pre]
    rack = "left"
    phantom_on = "mic"
    [[unit.pre.port]]
    name = "mic"
    direction = "in"
    signal = "mic"
    phantom = "supply"
    [unit.ribbon]
    room = "control"
    [[unit.ribbon.port]]
    name = "out"
    direction = "out"
    signal = "mic"
    phantom = "harmed"
    [[cable]]
    from = "ribbon/out"
    to = "pre/mic"

Good:

    [unit.pre]
    rack = "left"
    [[unit.pre.port]]
    name = "mic"
    direction = "in"
    signal = "mic"
    phantom = "supply"
    [unit.ribbon]
    room = "control"
    [[unit.ribbon.port]]
    name = "out"
    direction = "out"
    signal = "mic"
    phantom = "harmed"
    [[cable]]
    from = "ribbon/out"
    to = "pre/mic"

Accept:

    [[accept]]
    rule = "phantom-harms"
    at = "ribbon/out"
    because = "Its box holds a transformer that stops the supply."
"""

from collections.abc import Iterator

from routecode.circuit.plant import OUT
from routecode.ground.finding import Severity
from routecode.rules.electric import fed_with_phantom, place_of_net
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Ports that phantom power reaches and harms."""
    plant = scene.plant
    for net, supplies in scene.kept(fed_with_phantom):
        for node in net.nodes:
            if node >= plant.ports or not _harmed(scene, node):
                continue
            bank = plant.socket(supplies[0]).written.phantom_bank
            shared = f" Its switch {bank} feeds other inputs too." if bank else ""
            place, also = place_of_net(scene, net, [node])
            yield Fault(
                scene.names([node]),
                f"Phantom power of {scene.words.nodes(supplies)} reaches {scene.words.node(node)}, which it harms.",
                f"A short of one leg, as when plugging, sends current through it.{shared}",
                "Switch phantom power off and wait a minute before it is plugged. Ribbon microphones out first.",
                place,
                also,
            )


def _harmed(scene: Scene, node: int) -> bool:
    """Whether a port says that phantom power harms it, or is an unbalanced microphone or pickup that does not say it stands it."""
    port = scene.plant.socket(node).written
    if port.phantom is not None:
        return port.phantom == "harmed"
    unbalanced = port.balanced is False and scene.plant.direction[node] == OUT
    return unbalanced and scene.figures.ports.of(node).kind == "mic"


RULE = Rule("phantom-harms", Severity.HAZARD, check)
