"""layout-unknown: the layout of a multipin is no published one, and its name is nearly that of one.

The pins of a layout with a name of your own are not known: no pin table is told for its cables, and it goes only with connectors of the
same name. That is right for a layout of your own; a slip of the pen loses all pins without a word. Capitals do not count.

Bad:

    [unit.conv]
    rack = "left"
    [[unit.conv.port]]
    name = "out 1..8"
    direction = "either"
    signal = "line"
    [[unit.conv.multipin]]
    name = "OUT"
    connector = "db25"
    layout = "aes 59"
    carries = "out 1..8"

Good:

    [unit.conv]
    rack = "left"
    [[unit.conv.port]]
    name = "out 1..8"
    direction = "either"
    signal = "line"
    [[unit.conv.multipin]]
    name = "OUT"
    connector = "db25"
    layout = "AES59"
    carries = "out 1..8"

Accept:

    [[accept]]
    rule = "layout-unknown"
    at = "conv/out 1..8"
    because = "Our own layout has this name."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.ground.nearest import nearest
from routecode.ground.place import At
from routecode.physics.pins import LAYOUTS, layout_pins
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Layouts that are nearly published ones; those of a model once."""
    found: dict[At, tuple[str, str, list[int]]] = {}
    for unit in scene.plant.units.values():
        for many in unit.kit.multipins:
            layout = many.written.layout or ""
            if layout and layout_pins(layout) is None and nearest(layout, LAYOUTS) is not None and many.sockets:
                told = found.setdefault(many.written.where("layout"), (f"{unit.title} {many.written.name}", layout, []))
                told[2].extend(unit.first + socket for socket in many.sockets)
    for place, (called, layout, nodes) in found.items():
        yield Fault(
            scene.names(nodes),
            f"{called} has the layout `{layout[:80]}`, which is not published.",
            "No pins are told for its cables, and only a layout of the same name goes with it.",
            f"Did you mean `{nearest(layout, LAYOUTS)}`?",
            place,
        )


RULE = Rule("layout-unknown", Severity.NOTE, check, "unpatched")
