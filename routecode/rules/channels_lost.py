"""channels-lost: a link carries fewer channels at this sample rate.

An eight-channel optical link carries 8 channels up to 48 kHz, 4 up to 96 and 2 up to 192; a MADI link 64, 32 (AES10) and 16. The channels
above are silent. Told at the input, in the setup (or the studio) whose `sample_rate` is higher, where something feeds a channel that is lost.

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

from collections.abc import Callable, Iterator, Mapping

from routecode.ground.finding import Severity
from routecode.physics.line import madi_channels, optical_channels
from routecode.rules.line_too_long import rate_of
from routecode.rules.rule import Fault, Rule, Scene

_LINKS: Mapping[str, tuple[str, Callable[[int], int]]] = {
    "optical8": ("An eight-channel optical link", optical_channels),
    "madi": ("A MADI link", madi_channels),
}
"""Family of signals -> what such a link is called, and the channels that it carries at a sample rate."""


def check(scene: Scene) -> Iterator[Fault]:
    """Inputs of links that lose channels at this rate."""
    plant, rate = scene.plant, rate_of(scene)
    if rate is None or not any(family in plant.family_names for family in _LINKS):
        return
    for unit in plant.units.values():
        for index, socket in enumerate(unit.kit.sockets):
            if socket.family not in _LINKS:
                continue
            called, carries = _LINKS[socket.family]
            node, left = unit.first + index, carries(rate)
            net = scene.state.net_of(node)
            if net is None or node not in net.hears or not net.drives or left >= plant.channels[node]:
                continue
            wires = plant.wires_of(node)
            yield Fault(
                scene.names([node]),
                f"{scene.words.node(node)} gets channels 1-{left} only."
                if left
                else f"{scene.words.node(node)} gets nothing.",
                f"{called} carries {left} channels at {rate / 1000:g} kHz.",
                "Use a second link for the other channels, or a lower sample rate.",
                wires[0].at if wires else unit.written.place,
            )


RULE = Rule("channels-lost", Severity.WARNING, check)
