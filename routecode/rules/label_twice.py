"""label-twice: two jacks of one row have the same label.

Whoever patches reads the strip. Two jacks with the same words on them are patched wrong one time in two. Labels are
compared within a row and a group; jacks with nothing behind them may all be called spare, and the jacks of a mult may
share a name.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [bay.north]
    rack = "left"
    columns = 2
    [[bay.north.column]]
    at = "1..2"
    top = "deck/out 1..2"
    bottom = "rec/in 1..2"
    normal = "half"
    [[bay.north.column]]
    at = 1
    label_top = "Deck"
    [[bay.north.column]]
    at = 2
    label_top = "Deck"

Good:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [bay.north]
    rack = "left"
    columns = 2
    [[bay.north.column]]
    at = "1..2"
    top = "deck/out 1..2"
    bottom = "rec/in 1..2"
    normal = "half"
    label_top = ["Deck 1", "Deck 2"]

Accept:

    [[accept]]
    rule = "label-twice"
    at = "north/top 1..2"
    because = "A mono machine; both jacks are the same."
"""

from collections.abc import Iterator

from routecode.circuit.plant import PlacedBay
from routecode.ground.finding import Severity
from routecode.ground.place import At
from routecode.language.ranges import spread_whole
from routecode.rules.cabling import cabling
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Rows of bays with a label on several wired jacks."""
    for bay in scene.plant.bays.values():
        if not bay.labels:
            continue
        for (row, _, label), numbers in sorted(_by_label(scene, bay).items()):
            if len(numbers) < 2:
                continue
            jacks = [bay.jack(row, number) for number in sorted(numbers)]
            yield Fault(
                scene.names(jacks),
                f"{scene.words.nodes(jacks)} are all labelled {label}.",
                f"{len(jacks)} wired jacks of one row with one label.",
                "Give each its own label.",
                _place(bay, row, max(numbers)),
            )


def _by_label(scene: Scene, bay: PlacedBay) -> dict[tuple[str, str, str], list[int]]:
    """(row, group, label) -> columns with something behind that jack; of a mult none."""
    laid = scene.kept(cabling)
    found: dict[tuple[str, str, str], list[int]] = {}
    for (row, number), label in bay.labels.items():
        jack = bay.jack(row, number)
        if laid.behind[jack] and jack not in laid.joined:
            found.setdefault((row, bay.groups.get(number, ""), label), []).append(number)
    return found


def _place(bay: PlacedBay, row: str, number: int) -> At:
    """Where a label is written."""
    for column in bay.written.column:
        written = column.label_top if row == "top" else column.label_bottom
        if written and number in spread_whole(column.at, column.where("at"), []):
            return column.where(f"label_{row}")
    return bay.written.place


RULE = Rule("label-twice", Severity.WARNING, check, "unpatched")
