"""jack-wired-twice: another cable is on a jack that has one.

The rear of a jack takes one cable. A second one is either a mistake in the record, left over from an earlier layout,
or a joint that nobody will find again. A split that is meant is stated as one: one side of a `[[cable]]` as a list of
lists.

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
    [bay.north]
    rack = "left"
    columns = 2
    [[bay.north.column]]
    at = "1..2"
    top = "deck/out 1..2"
    bottom = "rec-a/in 1..2"
    normal = "half"
    [[cable]]
    from = "north/bottom 1..2"
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
    [bay.north]
    rack = "left"
    columns = 2
    [[bay.north.column]]
    at = "1..2"
    top = "deck/out 1..2"
    normal = "half"
    [[cable]]
    from = "north/bottom 1..2"
    to = [["rec-a/in 1..2"], ["rec-b/in 1..2"]]

Accept:

    [[accept]]
    rule = "jack-wired-twice"
    at = "north/bottom 1..2"
    because = "Spliced in the wall; nobody dares to open it."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.crowding import faults
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Jacks with two cables that are no stated split."""
    return faults(scene, jacks=True)


RULE = Rule("jack-wired-twice", Severity.ERROR, check, "unpatched")
