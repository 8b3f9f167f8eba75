"""need-only: another signal arrives where a setup wants one alone.

`only = true` says that the end of a path must hear nothing else: the narrator and nothing but the narrator. The path
is there, and so is another source.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.desk]
    model = "mixer"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [[cable]]
    from = "deck/out 1..2"
    to = "desk/in 1..2"
    [[cable]]
    from = "desk/out 1..2"
    to = "rec/in 1..2"
    [setup.take]
    [[setup.take.need]]
    path = ["deck/out 1", "desk/in 1", "rec/in 1"]
    only = true

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
    [setup.take]
    [[setup.take.need]]
    path = ["deck/out 1", "rec/in 1"]
    only = true

Accept:

    [[accept]]
    rule = "need-only"
    at = ["deck/out 1", "desk/in 1", "rec/in 1"]
    because = "The second channel's fader is taped down."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.needing import standings
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.words import counted, listed


def check(scene: Scene) -> Iterator[Fault]:
    """Needs whose end hears other sources too."""
    words = scene.words
    for standing in scene.kept(standings):
        need = standing.need
        if not standing.exists or not standing.others:
            continue
        first, last = words.channel(need.steps[0]), words.channel(need.steps[-1])
        others = [words.channel(other) for other in standing.others]
        yield Fault(
            need.names,
            f"{last} also hears {listed(others, 1)}; {words.setup(scene.placed.id)} wants {first} alone.",
            f"{counted(len(others), 'other source')} can arrive there: {listed(others, 5)}.",
            "Keep the others away: a plug, a switch position, a cord or route less. Or drop `only`.",
            need.written.where("only"),
        )


RULE = Rule("need-only", Severity.ERROR, check, "setups")
