"""speaker-cable-thin: the cable to a loudspeaker takes more than a twentieth of what the loudspeaker takes.

The resistance of a loudspeaker's cable, both its conductors together, should be 5 % of the loudspeaker's impedance at most (published
rule for lengths of loudspeaker cable): more costs level, and the loudspeaker is damped less. Told at the loudspeaker, where its `ohms`,
the `metres` of the cables and the gauge, area or resistance of their types are written down.

Bad:

    [cable_type.thin]
    awg = 22
    [unit.amp]
    rack = "left"
    [[unit.amp.port]]
    name = "out"
    direction = "out"
    signal = "speaker-level"
    [unit.speaker]
    room = "control"
    [[unit.speaker.port]]
    name = "in"
    direction = "in"
    signal = "speaker-level"
    ohms = 8
    [[cable]]
    from = "amp/out"
    to = "speaker/in"
    type = "thin"
    metres = 20

Good:

    [cable_type.thick]
    mm2 = 2.5
    [unit.amp]
    rack = "left"
    [[unit.amp.port]]
    name = "out"
    direction = "out"
    signal = "speaker-level"
    [unit.speaker]
    room = "control"
    [[unit.speaker.port]]
    name = "in"
    direction = "in"
    signal = "speaker-level"
    ohms = 8
    [[cable]]
    from = "amp/out"
    to = "speaker/in"
    type = "thick"
    metres = 20

Accept:

    [[accept]]
    rule = "speaker-cable-thin"
    at = "speaker/in"
    because = "It gives talkback only."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.physics.levels import db_of_ratio
from routecode.rules.electric import figured_feeds, place_of_net
from routecode.rules.quantities import number, ohms
from routecode.rules.rule import Fault, Rule, Scene

MOST = 0.05


def check(scene: Scene) -> Iterator[Fault]:
    """Loudspeakers whose cables have more than a twentieth of their impedance."""
    ports, analogue = scene.figures.ports, scene.figures.analogue
    for net, driver, hearer in scene.kept(figured_feeds):
        load = ports.of(hearer).loads
        if ports.of(driver).kind != "speaker-level" or load is None or load.default:
            continue
        loads = [(node, one) for node, one in analogue.loads(net) if one is not None and not one.default]
        share = analogue.shares(net, driver, loads).get(hearer, 1.0)
        line = load.amount * (1 / max(share, 1e-12) - 1)  # what in series with this load alone would leave it as much
        if line <= MOST * load.amount:
            continue
        place, also = place_of_net(scene, net, [hearer])
        yield Fault(
            scene.names([hearer]),
            f"The cable from {scene.words.node(driver)} to {scene.words.node(hearer)} costs {-db_of_ratio(max(share, 1e-12)):.1f} dB.",
            f"There and back it is {ohms(line)} for a load of {number(load.amount)}: {_percent(line / load.amount)}, and 5 % is the most.",
            "Use thicker wire, or a shorter way.",
            place,
            also,
        )


def _percent(ratio: float) -> str:
    return f"{ratio * 100:.1f} %" if ratio < 0.1 else f"{ratio * 100:,.0f} %"


RULE = Rule("speaker-cable-thin", Severity.NOTE, check)
