"""accept-names-nothing: an acceptance names a place that does not exist.

`at` of an acceptance takes ports, channels, jacks, whole units and bays, and cable numbers. A name that is none of
these accepts nothing: mistyped, or its unit is gone.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [[accept]]
    rule = "outputs-unused"
    at = ["deck/out 1..2", "deck/out 3"]
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

    Correct or delete the name; it cannot be accepted itself.
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.ground.nearest import did_you_mean
from routecode.rules.accepting import Accepting, AcceptRule
from routecode.rules.rule import Fault
from routecode.rules.words import listed, runs


def check(accepting: Accepting) -> Iterator[Fault]:
    """Acceptances with names that are no names, or cannot be read."""
    for acceptance in accepting.acceptances:
        at = acceptance.written.where("at")
        for mistake in acceptance.faults:
            yield Fault(acceptance.subjects, mistake.text, "This acceptance accepts nothing.", mistake.do, at)
        if acceptance.unknown:
            yield Fault(
                acceptance.unknown,
                f"An acceptance names {listed(runs(acceptance.unknown))}, which is no place here.",
                "`at` takes ports, channels, jacks, units, bays and cable numbers.",
                did_you_mean(acceptance.unknown[0], _known(accepting, acceptance.unknown[0]))
                or "Correct the name, or delete it.",
                at,
            )


def _known(accepting: Accepting, name: str) -> list[str]:
    """Names that may have been meant: places of the same unit or bay, else units and bays."""
    plant = accepting.plant
    head, slash, _ = name.partition("/")
    if slash and head in plant.units:
        return [f"{head}/{port}" for port in plant.units[head].kit.index]
    return [*plant.units, *plant.bays]


RULE = AcceptRule("accept-names-nothing", Severity.WARNING, check)
