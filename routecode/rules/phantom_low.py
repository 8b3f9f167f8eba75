"""phantom-low: little phantom power may be left at a microphone.

Told for orientation, with what is left, where nothing is against the standard. One cause is the current of the microphone: within what
its kind allows (10 mA for P48 and P24, 15 mA for P12), but less than half of the nominal voltage may be left at the low end of the
tolerances. The other is a second input on the line that could give phantom power and is off: some circuits disconnect their resistors,
others leave them at 0 V, and then half of the voltage is left, or less under load. What a microphone works on its maker says.

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
    rule = "phantom-low"
    at = "mic/out"
    because = "Its maker states that it works from 9 V on."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.physics.phantom import SUPPLIES
from routecode.rules.phantom_told import Needing, Told, folded, needing, volts
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Ports that may have little left, within the standard."""
    return folded(scene, _told(scene))


def _told(scene: Scene) -> Iterator[Told]:
    for one in scene.kept(needing):
        if one.arriving.supplied and one.arriving.kinds == (one.wanted,):
            causes = [cause for cause in (_current(scene, one), _off(scene, one)) if cause is not None]
            if causes:
                why, do = (" ".join(part) for part in zip(*causes, strict=True))
                yield Told(
                    one.net,
                    one.node,
                    "may have little phantom power left.",
                    "may have little phantom power left.",
                    why,
                    do,
                )


def _current(scene: Scene, one: Needing) -> tuple[str, str] | None:
    kind, left = SUPPLIES[one.wanted], scene.figures.phantom.left(one.node, others_off=False)
    if one.milliamperes is None or left is None or one.milliamperes > kind.most * 1000 or left[0] >= kind.volts / 2:
        return None
    why = f"At {one.milliamperes:g} mA, which {one.wanted} allows, {volts(left)} are left of it."
    return why, "See what its maker asks for."


def _off(scene: Scene, one: Needing) -> tuple[str, str] | None:
    off, left = scene.figures.phantom.off(one.net), scene.figures.phantom.left(one.node)
    if not off or left is None:
        return None
    at = "with no current" if one.milliamperes is None else f"at {one.milliamperes:g} mA"
    why = f"{scene.words.nodes(off)} is off, and may hold its resistors at 0 V: {at} {volts(left)} are left."
    return why, "Measure at the microphone under load; split with a transformer if it is too little."


RULE = Rule("phantom-low", Severity.NOTE, check)
