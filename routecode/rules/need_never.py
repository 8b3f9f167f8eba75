"""need-never: a path exists that a setup forbids.

`never = true` says that a signal must not arrive somewhere: talkback on the recording, the desk in the headphones of
a reader. With everything of the setup in, it does.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [bay.north]
    columns = 2
    rack = "left"
    [[bay.north.column]]
    at = "1..2"
    top = "deck/out 1..2"
    bottom = "rec/in 1..2"
    normal = "half"
    [setup.take]
    [[setup.take.need]]
    path = ["deck/out 1", "rec/in 1"]
    never = true

Good:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [bay.north]
    columns = 2
    rack = "left"
    [[bay.north.column]]
    at = "1..2"
    top = "deck/out 1..2"
    bottom = "rec/in 1..2"
    normal = "half"
    [setup.take]
    [[setup.take.plug]]
    at = "north/bottom 1"
    set = "broken"
    [[setup.take.need]]
    path = ["deck/out 1", "rec/in 1"]
    never = true

Accept:

    [[accept]]
    rule = "need-never"
    at = ["deck/out 1", "rec/in 1"]
    because = "The deck has no tape in it during takes."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.needing import standings
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.words import listed


def check(scene: Scene) -> Iterator[Fault]:
    """Needs that must not exist and do."""
    words = scene.words
    for standing in scene.kept(standings):
        need = standing.need
        if need.written.never and standing.exists:
            passed = [words.channel(step) for step in need.steps]
            yield Fault(
                need.names,
                f"{passed[0]} reaches {passed[-1]}, and {words.setup(scene.placed.id)} says never.",
                f"The way is there: {listed(passed, 6)}.",
                "Open it: a dummy plug, another switch position, a cord or route less. Or drop `never`.",
                need.written.where("never"),
            )


RULE = Rule("need-never", Severity.ERROR, check, "setups")
