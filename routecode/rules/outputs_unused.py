"""outputs-unused: outputs of a unit that nothing can use.

No cable leads from there to anything that listens, no jack is on the way, and no cord of any setup goes there. Spare
outputs are ordinary; a forgotten cable looks just the same. One note a unit. Sockets for headphones are not told.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"

Good:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [[cable]]
    from = "deck/out 1..2"
    to = "rec/in 1..2"

Accept:

    [[accept]]
    rule = "outputs-unused"
    at = "deck/out 1..2"
    because = "Kept for a second recorder."
"""

from collections.abc import Iterator

from routecode.circuit.plant import OUT
from routecode.ground.finding import Severity
from routecode.rules.idle_ports import unit_faults
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Units with such outputs."""
    return unit_faults(scene, OUT, "output", "Nothing uses", "Wire them, put them on a bay, or leave them as spares.")


RULE = Rule("outputs-unused", Severity.NOTE, check, "unpatched")
