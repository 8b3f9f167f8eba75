"""channels-lost: a link carries fewer channels at this sample rate.

An eight-channel optical link carries 8 channels up to 48 kHz, 4 up to 96 and 2 up to 192: the channels above are silent. Told at the
input, in the setup (or the studio) whose `sample_rate` is higher, where something feeds a channel that is lost.

Bad:

    [unit.pre]
    rack = "left"
    [[unit.pre.port]]
    name = "optical"
    direction = "out"
    signal = "optical8"
    [unit.conv]
    rack = "left"
    [[unit.conv.port]]
    name = "optical"
    direction = "in"
    signal = "optical8"
    [[cable]]
    from = "pre/optical"
    to = "conv/optical"
    [setup.fine]
    sample_rate = 96000

Good:

    [unit.pre]
    rack = "left"
    [[unit.pre.port]]
    name = "optical"
    direction = "out"
    signal = "optical8"
    [unit.conv]
    rack = "left"
    [[unit.conv.port]]
    name = "optical"
    direction = "in"
    signal = "optical8"
    [[cable]]
    from = "pre/optical"
    to = "conv/optical"
    [setup.usual]
    sample_rate = 48000

Accept:

    [[accept]]
    rule = "channels-lost"
    at = "conv/optical"
    because = "Only the first four are used."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.physics.line import optical_channels
from routecode.rules.line_too_long import rate_of
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Optical inputs that lose channels at this rate."""
    plant, rate = scene.plant, rate_of(scene)
    if rate is None or optical_channels(rate) == 8:
        return
    for unit in plant.units.values():
        for index, socket in enumerate(unit.kit.sockets):
            node = unit.first + index
            net = scene.state.net_of(node) if socket.family == "optical8" else None
            if net is None or node not in net.hears or not net.drives:
                continue
            left = optical_channels(rate)
            wires = plant.wires_of(node)
            yield Fault(
                scene.names([node]),
                f"{scene.words.node(node)} gets channels 1-{left} only."
                if left
                else f"{scene.words.node(node)} gets nothing.",
                f"An eight-channel optical link carries {left} channels at {rate / 1000:g} kHz.",
                "Use a second link for the other channels, or a lower sample rate.",
                wires[0].at if wires else unit.written.place,
            )


RULE = Rule("channels-lost", Severity.WARNING, check)
