"""clock-masters: a clock master is clocked by another.

A domain has one master. A port that says `clock = "master"` gives the clock; where the unit that has it also hears the clock of another
master, or two masters drive inputs of one unit that follows, they fight: clicks, or no lock. Told at the inputs that follow.

Bad:

    [unit.one]
    rack = "left"
    [[unit.one.port]]
    name = "clock out"
    direction = "out"
    signal = "wordclock"
    clock = "master"
    [unit.two]
    rack = "left"
    [[unit.two.port]]
    name = "clock out"
    direction = "out"
    signal = "wordclock"
    clock = "master"
    [unit.conv]
    rack = "left"
    [[unit.conv.port]]
    name = "clock in 1..2"
    direction = "in"
    signal = "wordclock"
    clock = "follows"
    [[cable]]
    from = "one/clock out"
    to = "conv/clock in 1"
    [[cable]]
    from = "two/clock out"
    to = "conv/clock in 2"

Good:

    [unit.one]
    rack = "left"
    [[unit.one.port]]
    name = "clock out 1..2"
    direction = "out"
    signal = "wordclock"
    clock = "master"
    [unit.conv]
    rack = "left"
    [[unit.conv.port]]
    name = "clock in 1..2"
    direction = "in"
    signal = "wordclock"
    clock = "follows"
    [[cable]]
    from = "one/clock out 1..2"
    to = "conv/clock in 1..2"

Accept:

    [[accept]]
    rule = "clock-masters"
    at = ["conv/clock in 1..2"]
    because = "The second is a spare; a switch chooses."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import figured_ports
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Units that follow the clocks of several masters."""
    plant = scene.plant
    following: dict[str, dict[int, set[str]]] = {}
    for node in scene.plant.of_units(figured_ports):
        if plant.socket(node).written.clock != "follows":
            continue
        net = scene.state.net_of(node)
        for driver in net.drives if net is not None else ():
            if driver != node and plant.socket(driver).written.clock == "master":
                masters = following.setdefault(plant.unit_of(node).id, {})
                masters.setdefault(node, set()).add(plant.unit_of(driver).title)
    for unit, inputs in sorted(following.items()):
        titles = sorted(set().union(*inputs.values()))
        if len(titles) < 2:
            continue
        wires = plant.wires_of(min(inputs))
        yield Fault(
            scene.names(inputs),
            f"{plant.units[unit].title} follows {len(titles)} clock masters: {' and '.join(titles[:2])}.",
            "A domain has one master; two drift against each other.",
            "Let one of them follow the other, or take its cable away.",
            wires[0].at if wires else plant.units[unit].written.place,
        )


RULE = Rule("clock-masters", Severity.WARNING, check)
