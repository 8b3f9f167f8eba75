"""accept-ran-out: an acceptance held until a day that is past.

From the day after `until` the finding is told again. Without a date (`until` left out) an acceptance holds for ever.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [[accept]]
    rule = "outputs-unused"
    at = "deck/out 1..2"
    because = "The second recorder comes in June."
    until = 2001-06-30

Good:

    [unit.deck]
    model = "player"
    rack = "left"
    [[accept]]
    rule = "outputs-unused"
    at = "deck/out 1..2"
    because = "The second recorder comes one day."

Accept:

    Give a later day, or put the fault right; it cannot be accepted itself.
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.accepting import Accepting, AcceptRule
from routecode.rules.rule import Fault
from routecode.rules.words import counted, listed, runs


def check(accepting: Accepting) -> Iterator[Fault]:
    """Acceptances whose day is past while their finding is still there."""
    for acceptance in accepting.acceptances:
        written = acceptance.written
        if acceptance.ran_out and acceptance.meets:
            yield Fault(
                acceptance.subjects,
                f"The acceptance of {written.rule} at {listed(runs(acceptance.subjects), 1)} ran out.",
                f"It held until {written.until}; {counted(len(acceptance.meets), 'finding')} told again.",
                "Put the fault right, or give a later day and the reason.",
                written.where("until"),
            )


RULE = AcceptRule("accept-ran-out", Severity.NOTE, check)
