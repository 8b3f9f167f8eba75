"""amplifier-load-low: an output is loaded with less than it may be.

An output that says `min_ohms` is joined to inputs that together load it with less. Power amplifiers overheat or shut down, line outputs
distort. Only loads that say their `ohms` count, so that nothing rests on what is usual; the resistance of the cables to them counts
where their type says it. Told at the output.

Bad:

    [unit.amp]
    rack = "left"
    [[unit.amp.port]]
    name = "out"
    direction = "out"
    signal = "speaker-level"
    min_ohms = 4
    [unit.pair]
    room = "control"
    [[unit.pair.port]]
    name = "in 1..3"
    direction = "in"
    signal = "speaker-level"
    ohms = 8
    [[cable]]
    from = "amp/out"
    to = [["pair/in 1"], ["pair/in 2"], ["pair/in 3"]]

Good:

    [unit.amp]
    rack = "left"
    [[unit.amp.port]]
    name = "out"
    direction = "out"
    signal = "speaker-level"
    min_ohms = 4
    [unit.pair]
    room = "control"
    [[unit.pair.port]]
    name = "in 1..2"
    direction = "in"
    signal = "speaker-level"
    ohms = 8
    [[cable]]
    from = "amp/out"
    to = [["pair/in 1"], ["pair/in 2"]]

Accept:

    [[accept]]
    rule = "amplifier-load-low"
    at = "amp/out"
    because = "Only ever two of the three are switched on."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import figured, place_of_net
from routecode.rules.quantities import number, ohms
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.words import counted


def check(scene: Scene) -> Iterator[Fault]:
    """Outputs whose declared loads are less than they may be."""
    plant, analogue = scene.plant, scene.figures.analogue
    for net in scene.kept(figured):
        for driver in net.outs:
            least = plant.socket(driver).written.min_ohms
            if least is None:
                continue
            loads = [(node, load) for node, load in analogue.loads(net) if load and not load.default]
            seen = analogue.seen(net, driver, loads).amount
            if seen >= least * 0.999:
                continue
            place, also = place_of_net(scene, net, [driver])
            yield Fault(
                scene.names([driver]),
                f"{scene.words.node(driver)} is loaded with {ohms(seen)}; it may be loaded with {number(least)}.",
                f"{counted(len(loads), 'load lies', 'loads lie side by side')} on it.",
                "Switch the amplifier off, then take a load away or wire two in series as its maker allows.",
                place,
                also,
            )


RULE = Rule("amplifier-load-low", Severity.HAZARD, check)
