"""line-mismatched: the parts of a digital or clock line have different impedances.

Output, cable and input of such a line are made for one impedance: 110 ohms for AES3, 75 for AES-3id, S/PDIF and word clock. At a step
a part of the signal is reflected. Told at the input where the return loss of a step is under 15 dB (75 on 110 ohms is 14.5, a category
cable on 110 is 26), from impedances that are written down or given by the standard of the kind.

Bad:

    [cable_type.analogue]
    ohms = 60
    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "aes"
    direction = "out"
    signal = "aes3"
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "aes"
    direction = "in"
    signal = "aes3"
    [[cable]]
    from = "desk/aes"
    to = "rec/aes"
    type = "analogue"

Good:

    [cable_type.digital]
    ohms = 110
    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "aes"
    direction = "out"
    signal = "aes3"
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "aes"
    direction = "in"
    signal = "aes3"
    [[cable]]
    from = "desk/aes"
    to = "rec/aes"
    type = "digital"

Accept:

    [[accept]]
    rule = "line-mismatched"
    at = "rec/aes"
    because = "Two metres, and it has never clicked."
"""

from collections.abc import Iterator

from routecode.figures.lines import line_of, line_ohms
from routecode.ground.finding import Severity
from routecode.physics.line import return_loss_db
from routecode.rules.electric import of_kind, place_of_net
from routecode.rules.rule import Fault, Rule, Scene

LEAST_DB = 15.0


def check(scene: Scene) -> Iterator[Fault]:
    """Lines with a step of impedance."""
    for net in of_kind(scene, "aes3", "aes3id", "spdif", "wordclock", "madi"):
        line = line_of(scene.state, net)
        parts = line_ohms(scene.state, scene.figures.ports, line) if line is not None else []
        values = sorted({known.amount for _, known in parts if known.amount > 0})
        if line is None or len(values) < 2 or (lost := return_loss_db(values[0], values[-1])) >= LEAST_DB:
            continue
        low, high = (next(name for name, known in parts if known.amount == value) for value in (values[0], values[-1]))
        place, also = place_of_net(scene, net, list(line.hearers))
        yield Fault(
            scene.names(line.hearers),
            f"The line to {scene.words.nodes(line.hearers)} steps from {values[-1]:g} to {values[0]:g} ohms.",
            f"{high} is {values[-1]:g} ohms and {low} {values[0]:g}: {lost:.1f} dB of return loss.",
            "Use cable and ports of one impedance, or a transformer made for it.",
            place,
            also,
        )


RULE = Rule("line-mismatched", Severity.WARNING, check)
