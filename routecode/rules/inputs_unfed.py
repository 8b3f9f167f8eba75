"""inputs-unfed: inputs of a unit that nothing can feed.

No cable leads there that carries anything, no jack is on the way, and no cord of any setup goes there. Spare inputs
are ordinary; a forgotten cable looks just the same. One note a unit.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [[cable]]
    from = "deck/out 1..2"
    to = "rec/in 1..2"
    [unit.spare]
    model = "recorder"
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
    rule = "inputs-unfed"
    at = "spare"
    because = "Kept under a cloth."
"""

from collections.abc import Iterator

from routecode.circuit.plant import IN
from routecode.ground.finding import Severity
from routecode.rules.idle_ports import unit_faults
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Units with such inputs."""
    return unit_faults(scene, IN, "input", "Nothing feeds", "Wire them, put them on a bay, or leave them as spares.")


RULE = Rule("inputs-unfed", Severity.NOTE, check, "unpatched")
