"""line-too-long: a digital, control or network line is longer than its kind allows.

AES3 100 m (less as the rate rises above 50 kHz), AES-3id 1000 m, S/PDIF and plastic fibre 10 m, MADI on coaxial cable 100 m, MIDI 15 m,
network 100 m. Told at the input, from the `metres` of the cables on the way; cables that do not say theirs only make it longer. The
rate is that of the setup, else of the studio.

Bad:

    [unit.keys]
    rack = "left"
    [[unit.keys.port]]
    name = "midi out"
    direction = "out"
    signal = "midi"
    [unit.box]
    rack = "left"
    [[unit.box.port]]
    name = "midi in"
    direction = "in"
    signal = "midi"
    [[cable]]
    from = "keys/midi out"
    to = "box/midi in"
    metres = 20

Good:

    [unit.keys]
    rack = "left"
    [[unit.keys.port]]
    name = "midi out"
    direction = "out"
    signal = "midi"
    [unit.box]
    rack = "left"
    [[unit.box.port]]
    name = "midi in"
    direction = "in"
    signal = "midi"
    [[cable]]
    from = "keys/midi out"
    to = "box/midi in"
    metres = 12

Accept:

    [[accept]]
    rule = "line-too-long"
    at = "box/midi in"
    because = "There is a repeater in it."
"""

from collections.abc import Iterator

from routecode.circuit.nets import Net
from routecode.figures.lines import line_of
from routecode.ground.finding import Severity
from routecode.physics.line import LONGEST, longest_metres
from routecode.rules.cabling import cabling
from routecode.rules.electric import kinds, of_kind, place_of_net
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Lines that are too long for their kind and rate."""
    kind = scene.plant.of_units(kinds)
    yield from _network(scene)
    for net in of_kind(scene, *LONGEST):
        line = line_of(scene.state, net)
        if line is None:
            continue
        rate = rate_of(scene)
        most = longest_metres(kind[line.driver], rate)
        if most is None or line.metres <= most or (kind[line.driver] == "network" and _told_alone(scene, net, most)):
            continue
        place, also = place_of_net(scene, net, list(line.hearers))
        yield Fault(
            scene.names(line.hearers),
            f"The line to {scene.words.nodes(line.hearers)} is {line.metres:g} m long.",
            _limit(kind[line.driver], most, rate),
            "Take a shorter way, a repeater, or another kind of line.",
            place,
            also,
        )


def _limit(kind: str, most: float, rate: int | None) -> str:
    """How far a line of this kind goes, and who says so."""
    usual, source = LONGEST[kind]
    if rate is None or most == usual:
        return f"{kind} goes {most:,.0f} m ({source})."
    return f"{kind} goes {usual:.0f} m ({source}); in proportion, which is our reading, {most:.0f} m at {rate / 1000:g} kHz."


def _told_alone(scene: Scene, net: Net, most: float) -> bool:
    """Whether one cable of a network line is too long by itself, which is told of the cable."""
    return any((wire.metres or 0) > most for node in net.nodes for wire in scene.plant.wires_of(node))


def _network(scene: Scene) -> Iterator[Fault]:
    """Single network cables; what lies beyond a switch is a line of its own."""
    most, source = LONGEST["network"]
    for wire in scene.kept(cabling).said if scene.setup is None else ():
        ends = [node for node in (wire.a, wire.b) if node < scene.plant.ports]
        if (wire.metres or 0) > most and any(scene.plant.socket(node).family == "network" for node in ends):
            yield Fault(
                scene.names(ends),
                f"The network cable to {scene.words.node(wire.b)} is {wire.metres:g} m long.",
                f"A network line goes {most:g} m ({source}).",
                "Take a shorter way, a switch between, or a fibre.",
                wire.at,
            )


def rate_of(scene: Scene) -> int | None:
    """The sample rate of this state in Hz."""
    placed = scene.state.placed
    return (placed.written.sample_rate if placed is not None else None) or scene.plant.studio.head.sample_rate


RULE = Rule("line-too-long", Severity.WARNING, check)
