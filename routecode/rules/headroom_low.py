"""headroom-low: less than 10 dB lie between the nominal level and clipping.

Headroom is the maximum level of an input, or full scale of a converter, less the nominal level that arrives, or the
maximum of the output less its own nominal level, whichever is the smallest: never maximum against maximum. Less than
10 dB is too little for music and speech that are not compressed. Told at what clips first, the output or the input,
where both the level and the maximum are written down.

Bad:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "line"
    level = "+4 dBu"
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    max_level = "+12 dBu"
    [[cable]]
    from = "desk/out"
    to = "rec/in"

Good:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "line"
    level = "+4 dBu"
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    max_level = "+24 dBu"
    [[cable]]
    from = "desk/out"
    to = "rec/in"

Accept:

    [[accept]]
    rule = "headroom-low"
    at = "rec/in"
    because = "Only test tones go there."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.headroom import narrow
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Outputs and inputs with less than 10 dB of headroom."""
    return narrow(scene, None, 10.0)


RULE = Rule("headroom-low", Severity.WARNING, check)
