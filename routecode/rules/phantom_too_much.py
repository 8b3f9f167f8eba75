"""phantom-too-much: a microphone gets phantom power of more volts than it is made for.

Told where a port needs phantom power of one kind (`phantom_kind = "P12"`) and one of more volts arrives: its resistors are not made to
drop the rest, so a microphone for 12 V sees 40 V and more, and its capacitors and transistors can fail. A microphone that takes several
kinds says the one of most volts that it takes. The other way round is `phantom-too-little`.

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
    phantom_ma = 2
    phantom_kind = "P12"
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
    phantom_kind = "P12"
    [unit.mic]
    room = "control"
    [[unit.mic.port]]
    name = "out"
    direction = "out"
    signal = "mic"
    phantom = "needs"
    phantom_ma = 2
    phantom_kind = "P12"
    [[cable]]
    from = "mic/out"
    to = "pre/mic"

Accept:

    [[accept]]
    rule = "phantom-too-much"
    at = "mic/out"
    because = "The adapter in its plug takes 48 V."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.phantom_told import Told, folded, needing, too_much, volts
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Ports with more phantom power than they are made for."""
    return folded(scene, _told(scene))


def _told(scene: Scene) -> Iterator[Told]:
    for one in scene.kept(needing):
        left = scene.figures.phantom.left(one.node, others_off=False)
        if left is None or not too_much(scene, one):
            continue
        kinds = " and ".join(one.arriving.kinds)
        at = "with no current" if one.milliamperes is None else f"at {one.milliamperes:g} mA"
        tail = f"made for {one.wanted} phantom power and {{}} {kinds}."
        why = f"{at[0].upper()}{at[1:]} {volts(left)} reach it: what it is made of can fail."
        do = f"Switch it off at that input, and use one that gives {one.wanted}."
        yield Told(one.net, one.node, f"is {tail.format('gets')}", f"are {tail.format('get')}", why, do)


RULE = Rule("phantom-too-much", Severity.HAZARD, check)
