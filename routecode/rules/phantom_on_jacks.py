"""phantom-on-jacks: phantom power is on jacks that short on insertion.

Jacks of the telephone kind (bantam, A-gauge, B-gauge, miniature) short one leg for a moment whenever a plug goes in or out. With phantom
power on them that is a bang, and a danger for dynamic and ribbon microphones. One warning for each bay, with its jacks; a hazard of its
own where a setup's cord really goes there. Bays that do not say their `contact` are left alone.

Bad:

    [unit.pre]
    rack = "left"
    phantom_on = "mic"
    [[unit.pre.port]]
    name = "mic"
    direction = "in"
    signal = "mic"
    phantom = "supply"
    [unit.box]
    model = "box"
    room = "control"
    [bay.north]
    rack = "left"
    columns = 1
    contact = "bantam"
    [[bay.north.column]]
    at = 1
    top = "box/line 1"
    bottom = "pre/mic"
    normal = "full"

Good:

    [unit.pre]
    rack = "left"
    phantom_on = "mic"
    [[unit.pre.port]]
    name = "mic"
    direction = "in"
    signal = "mic"
    phantom = "supply"
    [unit.box]
    model = "box"
    room = "control"
    [bay.north]
    rack = "left"
    columns = 1
    contact = "pin"
    [[bay.north.column]]
    at = 1
    top = "box/line 1"
    bottom = "pre/mic"
    normal = "full"

Accept:

    [[accept]]
    rule = "phantom-on-jacks"
    at = ["north/top 1", "north/bottom 1"]
    because = "Nothing is patched there while phantom power is on."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import SHORTING, fed_with_phantom
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.words import counted


def check(scene: Scene) -> Iterator[Fault]:
    """Bays whose jacks short on insertion, with phantom power on some of them."""
    plant = scene.plant
    by_bay: dict[str, list[int]] = {}
    for net, _ in scene.kept(fed_with_phantom):
        for node in net.nodes:
            if plant.is_jack(node) and plant.bay_of(node).written.contact in SHORTING:
                by_bay.setdefault(plant.bay_of(node).id, []).append(node)
    for name, jacks in sorted(by_bay.items()):
        bay = plant.bays[name]
        yield Fault(
            scene.names(jacks),
            f"Phantom power is on {counted(len(jacks), 'jack')} of {bay.title}, which short a leg as a plug goes in.",
            f"A {bay.written.contact} plug joins one leg to ground for a moment, with 48 V on the other.",
            "Plug there only with phantom power off for a minute, or use sealed contacts for microphone lines.",
            bay.written.where("contact"),
        )


RULE = Rule("phantom-on-jacks", Severity.WARNING, check, "unpatched")
