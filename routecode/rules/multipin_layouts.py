"""multipin-layouts: two connectors with different pin layouts are joined.

Multipin connectors of one shape exist with several layouts: a straight cable between an AES59 connector and one of the other kind is
wrong on nearly every pin. Told where a port of a multipin that says its `layout` is wired directly to a port of a multipin that says
another. A cable made for the two is a map of its own; accept it then.

Bad:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out 1..8"
    direction = "out"
    signal = "line"
    [[unit.desk.multipin]]
    name = "D 1"
    layout = "aes59"
    carries = "out 1..8"
    [unit.conv]
    rack = "left"
    [[unit.conv.port]]
    name = "in 1..8"
    direction = "in"
    signal = "line"
    [[unit.conv.multipin]]
    name = "D 1"
    layout = "in-a-row"
    carries = "in 1..8"
    [[cable]]
    from = "desk/out 1..8"
    to = "conv/in 1..8"

Good:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out 1..8"
    direction = "out"
    signal = "line"
    [[unit.desk.multipin]]
    name = "D 1"
    layout = "aes59"
    carries = "out 1..8"
    [unit.conv]
    rack = "left"
    [[unit.conv.port]]
    name = "in 1..8"
    direction = "in"
    signal = "line"
    [[unit.conv.multipin]]
    name = "D 1"
    layout = "aes59"
    carries = "in 1..8"
    [[cable]]
    from = "desk/out 1..8"
    to = "conv/in 1..8"

Accept:

    [[accept]]
    rule = "multipin-layouts"
    at = ["desk/out 1..8", "conv/in 1..8"]
    because = "The cable is made for the two."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Pairs of connectors with different layouts that cables join."""
    carried = scene.kept(carrying)
    joined: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for node, number in carried.items():
        for other in scene.plant.wired(node):
            if other in carried and node < other and carried[other] != number:
                joined.setdefault((number, carried[other]), []).append((node, other))
    layouts = scene.kept(connectors)
    for (one, two), pairs in sorted(joined.items()):
        (name, layout), (other_name, other_layout) = layouts[one], layouts[two]
        if layout is None or other_layout is None or layout.casefold() == other_layout.casefold():
            continue
        wire = scene.plant.wires_of(pairs[0][0])[0]
        yield Fault(
            scene.names([node for pair in pairs for node in pair]),
            f"{name} and {other_name} have different pin layouts.",
            f"{layout} against {other_layout}: a straight cable is wrong on nearly every pin.",
            "Use a cable made for these two layouts, or correct `layout`. Power both down before lifting it.",
            wire.at,
        )


def connectors(scene: Scene) -> list[tuple[str, str | None]]:
    """Every multipin of the studio: what people call it, and its layout."""
    return [
        (f"{unit.title} {multipin.written.name}", multipin.written.layout)
        for unit in scene.plant.units.values()
        for multipin in unit.kit.multipins
    ]


def carrying(scene: Scene) -> dict[int, int]:
    """Port (node) -> the number of the multipin that carries it."""
    found: dict[int, int] = {}
    number = 0
    for unit in scene.plant.units.values():
        for multipin in unit.kit.multipins:
            found.update((unit.first + socket, number) for socket in multipin.sockets)
            number += 1
    return found


RULE = Rule("multipin-layouts", Severity.ERROR, check, "unpatched")
