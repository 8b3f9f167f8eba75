"""phantom-too-little: what is left of phantom power at a microphone is not enough.

Told where a port needs phantom power of one kind and another kind arrives, where it draws more than the kind allows (10 mA for P48 and
P24, 15 mA for P12), or where less than half of the nominal voltage may be left at its current, at the low end of the tolerances. The
figures are those of IEC 61938; the current is what the port says in `phantom_ma`.

Bad:

    [unit.pre]
    rack = "left"
    phantom_on = "mic"
    [[unit.pre.port]]
    name = "mic"
    direction = "in"
    signal = "mic"
    phantom = "supply"
    [unit.mic]
    room = "control"
    [[unit.mic.port]]
    name = "out"
    direction = "out"
    signal = "mic"
    phantom = "needs"
    phantom_ma = 9
    [[cable]]
    from = "mic/out"
    to = "pre/mic"

Good:

    [unit.pre]
    rack = "left"
    phantom_on = "mic"
    [[unit.pre.port]]
    name = "mic"
    direction = "in"
    signal = "mic"
    phantom = "supply"
    [unit.mic]
    room = "control"
    [[unit.mic.port]]
    name = "out"
    direction = "out"
    signal = "mic"
    phantom = "needs"
    phantom_ma = 3
    [[cable]]
    from = "mic/out"
    to = "pre/mic"

Accept:

    [[accept]]
    rule = "phantom-too-little"
    at = "mic/out"
    because = "Its maker states that it works from 9 V on."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.physics.phantom import SUPPLIES
from routecode.rules.electric import fed_with_phantom, place_of_net
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Ports with too little of the phantom power they need."""
    for net, _ in scene.kept(fed_with_phantom):
        for node in net.nodes:
            if node >= scene.plant.ports or scene.plant.socket(node).written.phantom != "needs":
                continue
            found = _too_little(scene, node)
            if found is not None:
                place, also = place_of_net(scene, net, [node])
                text = f"{scene.words.node(node)} gets too little phantom power."
                yield Fault(scene.names([node]), text, *found, place, also)


def _too_little(scene: Scene, node: int) -> tuple[str, str] | None:
    """Why, and what to do."""
    phantom = scene.figures.phantom
    arriving = phantom.at(node)
    if arriving is None or not arriving.supplied:
        return None
    wanted, milliamperes = phantom.kind(node), scene.plant.socket(node).written.phantom_ma
    if arriving.kinds != (wanted,):
        kinds = " and ".join(arriving.kinds)
        return f"It needs {wanted}, and {kinds} arrives.", f"Use an input that gives {wanted}."
    most = SUPPLIES[wanted].most * 1000
    if milliamperes is not None and milliamperes > most:
        return f"It draws {milliamperes:g} mA; {wanted} gives at most {most:g} mA.", "Feed it from a supply of its own."
    left = phantom.left(node)
    if left is None or milliamperes is None or left[0] >= SUPPLIES[wanted].volts / 2:
        return None
    why = f"At {milliamperes:g} mA between {max(left[0], 0):.1f} and {left[1]:.1f} V are left of {wanted}."
    return why, "Check what its maker says it works on; else feed it from a supply of its own."


RULE = Rule("phantom-too-little", Severity.WARNING, check)
