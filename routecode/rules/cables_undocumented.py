"""cables-undocumented: some cables say less than others of their studio.

Where most cables of a studio say their type and length, those that do not have been forgotten: no capacitance, no cable schedule, no
length to order. One note for the studio, with the count; a studio that says nothing of its cables is left alone.

Bad:

    [cable_type.pair]
    pf_per_metre = 100
    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out 1..3"
    direction = "out"
    signal = "line"
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in 1..3"
    direction = "in"
    signal = "line"
    [[cable]]
    from = "desk/out 1..2"
    to = "rec/in 1..2"
    type = "pair"
    metres = 5
    [[cable]]
    from = "desk/out 3"
    to = "rec/in 3"

Good:

    [cable_type.pair]
    pf_per_metre = 100
    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out 1..3"
    direction = "out"
    signal = "line"
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in 1..3"
    direction = "in"
    signal = "line"
    [[cable]]
    from = "desk/out 1..3"
    to = "rec/in 1..3"
    type = "pair"
    metres = 5

Accept:

    [[accept]]
    rule = "cables-undocumented"
    at = "rec/in 3"
    because = "Nobody can get at it to measure."
"""

from collections.abc import Iterator

from routecode.circuit.jackets import jackets
from routecode.circuit.plant import Wire
from routecode.ground.finding import Severity
from routecode.rules.cabling import cabling
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.words import counted


def check(scene: Scene) -> Iterator[Fault]:
    """Cables without type or length, where most have both."""
    wires = scene.plant.wires
    known = {id(wire) for wire in scene.kept(cabling).said if wire.type is not None and wire.metres is not None}
    if 2 * len(known) <= len(wires) or len(known) == len(wires):
        return
    bare = [wire for wire in wires if id(wire) not in known]
    cables = [[id(wire) for wire in each] for each in jackets(scene.plant)]  # as the cable schedule counts them
    first = min(bare, key=lambda wire: scene.names([_end(scene, wire)]))
    yield Fault(
        scene.names([_end(scene, wire) for wire in bare]),
        f"{counted(sum(not known.issuperset(each) for each in cables), 'cable')} of {len(cables):,} say no type or no length.",
        "Their capacitance, their place in the cable schedule and what to order are not known.",
        "Add `type` and `metres` to them, in a [[cable]] table.",
        first.at,
    )


def _end(scene: Scene, wire: Wire) -> int:
    """The end of a cable that is told: an input, else the jack, else the second."""
    return wire.a if wire.a in _hears(scene, wire) else wire.b


def _hears(scene: Scene, wire: Wire) -> list[int]:
    net = scene.state.net_of(wire.a)
    return net.hears if net is not None else []


RULE = Rule("cables-undocumented", Severity.NOTE, check, "unpatched")
