"""aes3-tapped: a digital line goes over a half normal.

A half normal lets a cord in the top jack listen in. On AES3 a second receiver halves the load of the line (110 to 55 ohms): the return
loss falls to 9.5 dB and the level by 3.5 dB, and it may work today and not tomorrow. Told as a note at the bay's jacks; a warning of its
own where two receivers really are on the line. Digital lines are normalled full.

Bad:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "aes"
    direction = "out"
    signal = "aes3"
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "aes"
    direction = "in"
    signal = "aes3"
    [bay.digital]
    rack = "left"
    columns = 1
    [[bay.digital.column]]
    at = 1
    top = "desk/aes"
    bottom = "rec/aes"
    normal = "half"

Good:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "aes"
    direction = "out"
    signal = "aes3"
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "aes"
    direction = "in"
    signal = "aes3"
    [bay.digital]
    rack = "left"
    columns = 1
    [[bay.digital.column]]
    at = 1
    top = "desk/aes"
    bottom = "rec/aes"
    normal = "full"

Accept:

    [[accept]]
    rule = "aes3-tapped"
    at = "digital/top 1"
    because = "Nobody listens in there."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import of_kind
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Half and parallel normals with a digital line on them, once for each bay."""
    plant = scene.plant
    by_bay: dict[str, list[int]] = {}
    for net in of_kind(scene, "aes3", "aes3id", "spdif"):
        for node in net.nodes if net.drives else ():
            for number in plant.normals_at(node) if plant.is_jack(node) else ():
                normal = plant.normals[number]
                if normal.source == node and normal.column and normal.pattern in ("half", "parallel"):
                    by_bay.setdefault(normal.bay, []).append(node)
    for name, jacks in sorted(by_bay.items()):
        yield Fault(
            scene.names(jacks),
            f"A cord in {scene.words.nodes(sorted(jacks), most=2)} taps a digital line.",
            "Two receivers on one line of 110 ohms leave 9.5 dB of return loss, and cost 3.5 dB.",
            'Make these columns normal = "full"; to feed two inputs, use a distribution amplifier.',
            plant.bays[name].written.place,
        )


RULE = Rule("aes3-tapped", Severity.NOTE, check, "unpatched")
