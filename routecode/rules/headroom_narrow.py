"""headroom-narrow: less than 14 dB lie between the nominal level and clipping.

Headroom is the maximum level of an input, or full scale of a converter, less the nominal level that arrives, or the
maximum of the output less its own nominal level, whichever is the smallest: never maximum against maximum. Between 10
and 14 dB is little; broadcasters keep 9 dB below permitted maximum, and programme meters read some dB low. Told at what
clips first, the output or the input, where both the level and the maximum are written down.

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
    max_level = "+16 dBu"
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
    rule = "headroom-narrow"
    at = "rec/in"
    because = "Only test tones go there."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.headroom import narrow
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Outputs and inputs with 10 to 14 dB of headroom."""
    return narrow(scene, 10.0, 14.0)


RULE = Rule("headroom-narrow", Severity.NOTE, check)
