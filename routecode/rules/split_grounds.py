"""split-grounds: one unbalanced input grounds the line for all the others.

A line is split to several inputs, and one of them is unbalanced. Balance belongs to the line, not to an input: a leg grounded at one of
them is grounded for all, and the balanced ones hear hum that they would reject. Told at the unbalanced input.

Bad:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "line"
    balanced = true
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    balanced = true
    [unit.meter]
    rack = "left"
    [[unit.meter.port]]
    name = "in"
    direction = "in"
    signal = "line"
    balanced = false
    [[cable]]
    from = "desk/out"
    to = [["rec/in"], ["meter/in"]]

Good:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "line"
    balanced = true
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    balanced = true
    [unit.meter]
    rack = "left"
    [[unit.meter.port]]
    name = "in"
    direction = "in"
    signal = "line"
    balanced = true
    [[cable]]
    from = "desk/out"
    to = [["rec/in"], ["meter/in"]]

Accept:

    [[accept]]
    rule = "split-grounds"
    at = "meter/in"
    because = "A floating meter, whatever its port says."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import figured, place_of_net
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Unbalanced inputs beside balanced ones."""
    ports = scene.figures.ports
    for net in scene.kept(figured):
        said = {node: ports.of(node).balanced for node in net.hears if node not in net.drives}
        balanced = [node for node, one in said.items() if one is not None and one.yes and not one.default]
        plain = [node for node, one in said.items() if one is not None and not one.yes and not one.default]
        legs = scene.figures.analogue.conductors(net)
        for node in plain:
            others = [other for other in balanced if legs.cold_joins(node, other)]
            if not others:
                continue
            place, also = place_of_net(scene, net, [node])
            yield Fault(
                scene.names([node]),
                f"{scene.words.node(node)} is unbalanced, and grounds the line for {scene.words.nodes(others, most=2)}.",
                "A leg that is grounded at one input is grounded for all inputs of the split.",
                "Feed it through a transformer, or from an output of its own.",
                place,
                also,
            )


RULE = Rule("split-grounds", Severity.WARNING, check)
