"""outputs-tied: two outputs drive one wire.

Two outputs joined by cables, normals, cords or mults work into each other instead of into the input. Each is a load
of a few ohms to the other: both are distorted and weak, and some outputs are destroyed. Inputs may share an output;
outputs never share a wire. A passive socket that stands open counts as an output only where something inside its unit
drives it. Switching contacts (`gpio`) may share a wire.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.radio]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [[cable]]
    from = [["deck/out 1..2"], ["radio/out 1..2"]]
    to = "rec/in 1..2"

Good:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec-a]
    model = "recorder"
    rack = "left"
    [unit.rec-b]
    model = "recorder"
    rack = "left"
    [[cable]]
    from = "deck/out 1..2"
    to = [["rec-a/in 1..2"], ["rec-b/in 1..2"]]

Accept:

    [[accept]]
    rule = "outputs-tied"
    at = ["deck/out 1..2", "radio/out 1..2"]
    because = "Both have build-out resistors inside, and only one of them is ever switched on."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.words import HUSH, counted


def check(scene: Scene) -> Iterator[Fault]:
    """Nets with two driving ports or more."""
    words = scene.words
    for net, drivers in scene.survey.tied:
        if "gpio" in {scene.plant.family_names[family] for family in net.families}:
            continue
        place, also = scene.net_faults_at(net, drivers)
        hearers = [node for node in net.hears if node not in drivers]
        into = f", into {words.nodes(hearers, 1)}" if hearers else ""
        yield Fault(
            scene.names(drivers),
            f"{words.nodes(drivers)} drive one wire{into}.",
            f"{counted(len(drivers), 'output')} in one net: each is a load of a few ohms to the others.",
            f"{HUSH} Leave one output on the wire, or mix them in a unit made for it.",
            place,
            also,
        )


RULE = Rule("outputs-tied", Severity.ERROR, check)
