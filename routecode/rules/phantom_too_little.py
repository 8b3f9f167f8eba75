"""phantom-too-little: what is left of phantom power at a microphone is not enough.

Told where a port needs phantom power of one kind and one of less volts arrives, where it draws more than the kind allows (10 mA for P48
and P24, 15 mA for P12), or where one leg alone is left: the other is open, or grounded by a cable or by an unbalanced input on the line.
One resistor leaves V - I R instead of V - I R / 2, and a microphone with a centre-tapped transformer gets nothing from a line with a
grounded leg. The figures are those of IEC 61938; the current is what the port says in `phantom_ma`. Microphones of which the same is
told are told as one. Within the allowed current what is left is a note (`phantom-low`).

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
    phantom_ma = 12
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
    because = "Its second supply is not drawn here."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.physics.phantom import SUPPLIES
from routecode.rules.phantom_told import Needing, Told, folded, leg_grounded, needing, too_much, volts
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Ports with too little of the phantom power they need."""
    return folded(scene, _told(scene))


def _told(scene: Scene) -> Iterator[Told]:
    for one in scene.kept(needing):
        causes = [cause for cause in (_leg(scene, one), _kind(scene, one), _current(one)) if cause is not None]
        if causes:
            why, do = (" ".join(dict.fromkeys(part)) for part in zip(*causes, strict=True))
            yield Told(one.net, one.node, "gets too little phantom power.", "get too little phantom power.", why, do)


def _leg(scene: Scene, one: Needing) -> tuple[str, str] | None:
    """One leg alone."""
    if one.arriving.supplied:
        return None
    left, kinds = scene.figures.phantom.left(one.node), " and ".join(one.arriving.kinds)
    if one.milliamperes is None or left is None:
        amount = f"one leg of {kinds} is left at most"
    else:
        amount = f"at {one.milliamperes:g} mA {volts(left)} are left of {kinds}"
    if one.arriving.grounded:
        where = leg_grounded(scene, one.arriving)
        return f"{where}: {amount}.", "Free that leg, or put a transformer before what grounds it."
    return f"A leg is open on the way: {amount}.", "Connect both legs at both ends."


def _kind(scene: Scene, one: Needing) -> tuple[str, str] | None:
    """Another kind, of less volts; two kinds on one line count by what they make of each other."""
    wanted, arriving = SUPPLIES[one.wanted], one.arriving
    open_volts = scene.figures.phantom.open_volts(arriving)
    if arriving.kinds == (one.wanted,) or too_much(scene, one) or open_volts >= wanted.volts - wanted.volts_tolerance:
        return None
    if len(arriving.kinds) == 1:
        return f"It needs {one.wanted}, and {arriving.kinds[0]} arrives.", f"Use an input that gives {one.wanted}."
    together = f"{' and '.join(arriving.kinds)} on one line make {open_volts:.1f} V of each other"
    return f"It needs {one.wanted}; {together}.", f"Switch all off but one that gives {one.wanted}."


def _current(one: Needing) -> tuple[str, str] | None:
    """More current than its kind allows."""
    most = SUPPLIES[one.wanted].most * 1000
    if one.milliamperes is None or one.milliamperes <= most:
        return None
    return (
        f"It draws {one.milliamperes:g} mA; {one.wanted} gives at most {most:g} mA.",
        "Feed it from a supply of its own.",
    )


RULE = Rule("phantom-too-little", Severity.WARNING, check)
