"""phantom-onto-output: phantom power reaches the output of equipment.

The output stage of most equipment does not like 48 V from outside: it distorts, or its output capacitors and its drivers fail. Told at
an output of line, instrument or headphone level that phantom power reaches over conductors; an output that says `phantom = "safe"` is
left alone. Transformers and capacitors between stop it, and so does pulling the normal.

Bad:

    [unit.pre]
    rack = "left"
    phantom_on = "mic"
    [[unit.pre.port]]
    name = "mic"
    direction = "in"
    signal = "mic"
    phantom = "supply"
    [unit.synth]
    rack = "left"
    [[unit.synth.port]]
    name = "out"
    direction = "out"
    signal = "instrument"
    [[cable]]
    from = "synth/out"
    to = "pre/mic"

Good:

    [unit.pre]
    rack = "left"
    phantom_on = "mic"
    [[unit.pre.port]]
    name = "mic"
    direction = "in"
    signal = "mic"
    phantom = "supply"
    [unit.synth]
    rack = "left"
    [[unit.synth.port]]
    name = "out"
    direction = "out"
    signal = "instrument"
    phantom = "safe"
    [[cable]]
    from = "synth/out"
    to = "pre/mic"

Accept:

    [[accept]]
    rule = "phantom-onto-output"
    at = "synth/out"
    because = "There is an isolating transformer in the plug."
"""

from collections.abc import Iterator

from routecode.circuit.plant import OUT
from routecode.ground.finding import Severity
from routecode.rules.electric import fed_with_phantom, kinds, place_of_net
from routecode.rules.rule import Fault, Rule, Scene

_ACTIVE = ("line", "instrument", "headphone", "speaker-level")


def check(scene: Scene) -> Iterator[Fault]:
    """Outputs of equipment that phantom power reaches."""
    plant, kind = scene.plant, scene.plant.of_units(kinds)
    for net, supplies in scene.kept(fed_with_phantom):
        for node in net.outs:
            port = plant.socket(node).written
            if plant.direction[node] != OUT or kind[node] not in _ACTIVE or port.phantom in ("safe", "harmed", "needs"):
                continue
            place, also = place_of_net(scene, net, [node])
            yield Fault(
                scene.names([node]),
                f"Phantom power of {scene.words.nodes(supplies)} reaches the output {scene.words.node(node)}.",
                "48 V from outside can destroy an output stage.",
                'Switch phantom power off there, use a transformer, or say phantom = "safe" if it stands it.',
                place,
                also,
            )


RULE = Rule("phantom-onto-output", Severity.HAZARD, check)
