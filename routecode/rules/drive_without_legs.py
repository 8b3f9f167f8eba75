"""drive-without-legs: an output says how it drives its cold leg, and that it has none.

`drive` says how a balanced output drives its cold leg; `balanced = false` says that there is no cold leg. One of the two is wrong, and
levels and legs are judged by `balanced` until it is put right. Told at the output.

Bad:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "line"
    balanced = false
    drive = "symmetric"
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    balanced = true
    [[cable]]
    from = "desk/out"
    to = "rec/in"

Good:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "line"
    balanced = true
    drive = "symmetric"
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    balanced = true
    [[cable]]
    from = "desk/out"
    to = "rec/in"

Accept:

    [[accept]]
    rule = "drive-without-legs"
    at = "desk/out"
    because = "Its socket is unbalanced; what drives it is kept as a reminder."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import figured_ports
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Ports with a `drive` that are unbalanced; those of one statement together."""
    plant = scene.plant
    found: dict[tuple[int, int], list[int]] = {}
    for node in plant.of_units(figured_ports):
        port = plant.socket(node).written
        if port.drive is not None and port.balanced is False:
            found.setdefault((plant.unit_of(node).first, id(port)), []).append(node)
    for nodes in found.values():
        port = plant.socket(nodes[0]).written
        verb = "is" if len(nodes) == 1 else "are"
        yield Fault(
            scene.names(nodes),
            f"{scene.words.nodes(nodes)} {verb} unbalanced, and `drive` says how the cold leg is driven.",
            "An unbalanced output has no cold leg to drive: one of the two keys is wrong.",
            f'Take `drive = "{port.drive}"` out, or say `balanced = true`.',
            port.where("drive"),
        )


RULE = Rule("drive-without-legs", Severity.WARNING, check, "unpatched")
