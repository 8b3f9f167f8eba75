"""loom-mixed: kinds of signal that disturb each other run in one loom.

Loudspeaker lines and time code beside microphone lines for metres are heard in the microphones. Told at the cables of the loom that carry
microphones, once for each loom. They run in looms of their own, with a hand's breadth between (common practice, no source).

Bad:

    [unit.mic]
    rack = "left"
    [[unit.mic.port]]
    name = "out"
    direction = "out"
    signal = "mic"
    [unit.pre]
    rack = "left"
    [[unit.pre.port]]
    name = "mic"
    direction = "in"
    signal = "mic"
    [unit.amp]
    rack = "left"
    [[unit.amp.port]]
    name = "out"
    direction = "out"
    signal = "speaker-level"
    [unit.speaker]
    rack = "left"
    [[unit.speaker.port]]
    name = "in"
    direction = "in"
    signal = "speaker-level"
    [[cable]]
    from = "mic/out"
    to = "pre/mic"
    loom = "W4"
    [[cable]]
    from = "amp/out"
    to = "speaker/in"
    loom = "W4"

Good:

    [unit.mic]
    rack = "left"
    [[unit.mic.port]]
    name = "out"
    direction = "out"
    signal = "mic"
    [unit.pre]
    rack = "left"
    [[unit.pre.port]]
    name = "mic"
    direction = "in"
    signal = "mic"
    [unit.amp]
    rack = "left"
    [[unit.amp.port]]
    name = "out"
    direction = "out"
    signal = "speaker-level"
    [unit.speaker]
    rack = "left"
    [[unit.speaker.port]]
    name = "in"
    direction = "in"
    signal = "speaker-level"
    [[cable]]
    from = "mic/out"
    to = "pre/mic"
    loom = "W4"
    [[cable]]
    from = "amp/out"
    to = "speaker/in"
    loom = "W5"

Accept:

    [[accept]]
    rule = "loom-mixed"
    at = "pre/mic"
    because = "Half a metre only, at right angles."
"""

from collections.abc import Iterator

from routecode.circuit.plant import Wire
from routecode.ground.finding import Severity
from routecode.rules.cabling import cabling
from routecode.rules.electric import kinds
from routecode.rules.rule import Fault, Rule, Scene

_LOUD = {"speaker-level": "a loudspeaker line", "timecode": "time code"}


def check(scene: Scene) -> Iterator[Fault]:
    """Looms with a microphone and something loud in them."""
    looms: dict[str, list[Wire]] = {}
    for wire in scene.unpatched.kept(cabling).said:
        if wire.loom is not None:
            looms.setdefault(wire.loom, []).append(wire)
    for name, wires in sorted(looms.items()):
        carried = [(wire, _kinds(scene, wire)) for wire in wires]
        quiet = [wire for wire, found in carried if "mic" in found]
        loud = sorted({kind for _, found in carried for kind in found & _LOUD.keys()})
        if not quiet or not loud:
            continue
        nodes = [node for wire in quiet for node in (wire.a, wire.b) if node in _hearing(scene, wire)]
        yield Fault(
            scene.names(nodes or [quiet[0].a]),
            f"Loom {name} carries microphone lines and {_LOUD[loud[0]]}.",
            "What is loud in a loom is heard in the microphones beside it.",
            "Run them in looms of their own, apart from each other.",
            quiet[0].at,
        )


def _kinds(scene: Scene, wire: Wire) -> set[str]:
    kind, net = scene.plant.of_units(kinds), scene.state.net_of(wire.a)
    ports = [node for node in (net.nodes if net is not None else ()) if node < scene.plant.ports]
    return {kind[node] for node in ports}


def _hearing(scene: Scene, wire: Wire) -> list[int]:
    net = scene.state.net_of(wire.a)
    return net.hears if net is not None else []


RULE = Rule("loom-mixed", Severity.WARNING, check, "unpatched")
