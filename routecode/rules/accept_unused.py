"""accept-unused: an acceptance is no longer needed.

What was accepted is not found any more: it was put right, or the acceptance names too little (it must name every
subject of the finding) or the wrong setup. Left standing it would hide the fault when it comes back.

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
    [[accept]]
    rule = "outputs-unused"
    at = "deck/out 1..2"
    because = "Kept for a second recorder."

Good:

    [unit.deck]
    model = "player"
    rack = "left"
    [[accept]]
    rule = "outputs-unused"
    at = "deck/out 1..2"
    because = "Kept for a second recorder."

Accept:

    Delete the acceptance; it cannot be accepted itself.
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.accepting import Accepting, AcceptRule
from routecode.rules.rule import Fault
from routecode.rules.words import listed, runs


def check(accepting: Accepting) -> Iterator[Fault]:
    """Acceptances that meet no finding, unless another rule says why."""
    for acceptance in accepting.acceptances:
        written = acceptance.written
        if acceptance.meets or acceptance.unknown or acceptance.faults or written.rule not in accepting.rules:
            continue
        yield Fault(
            acceptance.subjects,
            f"The acceptance of {written.rule} at {listed(runs(acceptance.subjects), 1)} is not needed.",
            f"No finding of {written.rule} has only these subjects.",
            "Delete it, or name every subject of the finding it is for.",
            written.where("rule"),
        )


RULE = AcceptRule("accept-unused", Severity.NOTE, check)
