"""aes3-two-receivers: a digital line feeds several inputs.

One output, one cable, one input: each input of AES3, AES-3id or S/PDIF ends the line with its impedance. Two of them side by side are a
mismatch (on 110 ohms: 55 ohms, 9.5 dB of return loss, 3.5 dB less level). It may lock and click now and then. Told at the output.

Bad:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "aes"
    direction = "out"
    signal = "aes3"
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "aes 1..2"
    direction = "in"
    signal = "aes3"
    [[cable]]
    from = "desk/aes"
    to = [["rec/aes 1"], ["rec/aes 2"]]

Good:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "aes 1..2"
    direction = "out"
    signal = "aes3"
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "aes 1..2"
    direction = "in"
    signal = "aes3"
    [[cable]]
    from = "desk/aes 1..2"
    to = "rec/aes 1..2"

Accept:

    [[accept]]
    rule = "aes3-two-receivers"
    at = "desk/aes"
    because = "One of them is switched to high impedance."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.physics.line import return_loss_db, terminated_db
from routecode.rules.electric import of_kind, place_of_net
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Digital outputs with several receivers."""
    ports = scene.figures.ports
    for net in of_kind(scene, "aes3", "aes3id", "spdif"):
        hearers = [node for node in net.hears if node not in net.drives]
        if len(net.drives) != 1 or len(hearers) < 2:
            continue
        driver = net.drives[0]
        line = ports.of(driver).line
        ohms = line.amount if line is not None else 110.0
        lost, level = return_loss_db(ohms / len(hearers), ohms), terminated_db(ohms, *[ohms] * len(hearers))
        place, also = place_of_net(scene, net, hearers)
        yield Fault(
            scene.names([driver]),
            f"{scene.words.node(driver)} feeds {len(hearers)} digital inputs: {scene.words.nodes(hearers, most=2)}.",
            f"{ohms / len(hearers):.3g} ohms on a line of {ohms:g}: {lost:.1f} dB of return loss, {level:.1f} dB of level.",
            "Feed each input from an output of its own, or use a distribution amplifier.",
            place,
            also,
        )


RULE = Rule("aes3-two-receivers", Severity.WARNING, check)
