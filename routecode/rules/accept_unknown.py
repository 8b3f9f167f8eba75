"""accept-unknown: something is accepted of a rule that does not exist.

An acceptance with a mistyped rule accepts nothing, and the finding it was written for
is told again. `routecode rules` lists what can be accepted.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [[accept]]
    rule = "outputs-unusd"
    at = "deck/out 1..2"
    because = "Kept for a second recorder."
    [unit.rec]
    model = "recorder"
    rack = "left"
    [[cable]]
    from = "deck/out 1..2"
    to = "rec/in 1..2"

Good:

    [unit.deck]
    model = "player"
    rack = "left"
    [[accept]]
    rule = "outputs-unused"
    at = "deck/out 1..2"
    because = "Kept for a second recorder."

Accept:

    Correct or delete the acceptance; it cannot be accepted itself.
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.ground.nearest import did_you_mean
from routecode.rules.accepting import Accepting, AcceptRule
from routecode.rules.rule import Fault


def check(accepting: Accepting) -> Iterator[Fault]:
    """Acceptances whose rule is none."""
    for acceptance in accepting.acceptances:
        rule = acceptance.written.rule or ""
        if rule not in accepting.rules:
            yield Fault(
                acceptance.subjects,
                f"There is no rule {rule} that could be accepted.",
                "This acceptance accepts nothing.",
                did_you_mean(rule, accepting.rules) or "The rules are listed by: routecode rules",
                acceptance.written.where("rule"),
            )


RULE = AcceptRule("accept-unknown", Severity.WARNING, check)
