"""families-mixed: two kinds of signal that do not understand each other share a wire.

Analogue audio, AES3, word clock, control contacts and so on are families of their own: joined, none of them works,
and a contact or a loudspeaker voltage can harm an audio input. No signal is followed across such a net. Kinds of one
family (microphone and line, AES3 and S/PDIF) may be joined.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "digital-recorder"
    rack = "left"
    [[cable]]
    from = "deck/out 1..2"
    to = "rec/aes in 1..2"

Good:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [[cable]]
    from = "deck/out 1..2"
    to = "rec/in 1..2"

Accept:

    [[accept]]
    rule = "families-mixed"
    at = ["deck/out 1..2", "rec/aes in 1..2"]
    because = "The recorder's digital inputs are switched to analogue by links inside."
"""

from collections.abc import Iterator

from routecode.circuit.nets import Net
from routecode.ground.finding import Severity
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.words import HUSH, counted


def check(scene: Scene) -> Iterator[Fault]:
    """Nets with ports of two families or more."""
    for net in scene.survey.mixed:
        by_family = _by_family(scene, net)
        (first, some), (second, others) = by_family[:2]
        place, also = scene.net_faults_at(net, others)
        ports = [node for _, nodes in by_family for node in nodes]
        yield Fault(
            scene.names(ports),
            f"{scene.words.nodes(some, 1)} ({first}) and {scene.words.nodes(others, 1)} ({second}) share a wire.",
            f"{counted(len(by_family), 'family', 'families')} of signal in one net: nothing is understood there.",
            f"{HUSH} Take one of them off the wire, or correct `signal` of the port.",
            place,
            also,
        )


def _by_family(scene: Scene, net: Net) -> list[tuple[str, list[int]]]:
    """Families of a net with their ports, the one with the most ports first."""
    plant = scene.plant
    found: dict[str, list[int]] = {}
    for node in net.nodes:
        if node < plant.ports:
            found.setdefault(plant.family_names[plant.family[node]], []).append(node)
    return sorted(found.items(), key=lambda each: (-len(each[1]), each[0]))


RULE = Rule("families-mixed", Severity.ERROR, check)
