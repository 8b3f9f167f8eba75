"""title-twice: two units or bays have the same title.

Sentences, drawings and labels use titles. With one title on two things nobody can tell which of them is meant. A
unit without a title is called by its id.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    title = "Machine"
    [unit.rec]
    model = "recorder"
    rack = "left"
    title = "Machine"
    [[cable]]
    from = "deck/out 1..2"
    to = "rec/in 1..2"

Good:

    [unit.deck]
    model = "player"
    rack = "left"
    title = "Playing machine"
    [unit.rec]
    model = "recorder"
    rack = "left"
    title = "Recording machine"
    [[cable]]
    from = "deck/out 1..2"
    to = "rec/in 1..2"

Accept:

    [[accept]]
    rule = "title-twice"
    at = ["deck", "rec"]
    because = "That is what is printed on both."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.words import listed


def check(scene: Scene) -> Iterator[Fault]:
    """Titles that several units or bays are known by; without a title the id is one."""
    plant = scene.plant
    titled: dict[str, list[str]] = {}
    for unit in plant.units.values():
        titled.setdefault(unit.title, []).append(unit.id)
    for bay in plant.bays.values():
        titled.setdefault(bay.title, []).append(bay.id)
    for title, names in sorted(titled.items()) if len(titled) < len(plant.units) + len(plant.bays) else ():
        if len(names) < 2:
            continue
        tables = [
            plant.units[name].written if name in plant.units else plant.bays[name].written for name in sorted(names)
        ]
        places = [table.where("title") for table in tables if table.title is not None]
        yield Fault(
            tuple(names),
            f"{len(names)} things are called {title}.",
            f"They are {listed(sorted(names), 5)}.",
            "Give each its own title: where it stands, or what it is for.",
            places[-1],
            tuple(("this one is called so too", at) for at in places[:-1]),
        )


RULE = Rule("title-twice", Severity.WARNING, check, "unpatched")
