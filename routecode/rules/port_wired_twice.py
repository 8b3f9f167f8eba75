"""port-wired-twice: another cable is on a port that has one.

A socket takes one plug. A second cable is either a mistake in the record or a joint that nobody will find again. A
split that is meant is stated as one: one side of a `[[cable]]` as a list of lists. The rear and the front (`front =
true`) of a passive socket are two places; a socket with hardwired insides has one.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec-a]
    model = "recorder"
    rack = "left"
    [unit.rec-b]
    model = "recorder"
    rack = "left"
    [[cable]]
    from = "deck/out 1..2"
    to = "rec-a/in 1..2"
    [[cable]]
    from = "deck/out 1..2"
    to = "rec-b/in 1..2"

Good:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec-a]
    model = "recorder"
    rack = "left"
    [unit.rec-b]
    model = "recorder"
    rack = "left"
    [[cable]]
    from = "deck/out 1..2"
    to = [["rec-a/in 1..2"], ["rec-b/in 1..2"]]

Accept:

    [[accept]]
    rule = "port-wired-twice"
    at = "deck/out 1..2"
    because = "Spliced in the wall; nobody dares to open it."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.crowding import faults
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Ports with two cables that are no stated split."""
    return faults(scene, jacks=False)


RULE = Rule("port-wired-twice", Severity.ERROR, check, "unpatched")
