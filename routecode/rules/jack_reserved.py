"""jack-reserved: something is wired or patched to a reserved column.

`reserved` keeps a column free for something that is to come. A cable behind it, or a cord into it, means that the
plan has changed and the text has not.

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
    reserved = "second machine"

Good:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [bay.north]
    rack = "left"
    columns = 4
    [[bay.north.column]]
    at = "1..2"
    top = "deck/out 1..2"
    bottom = "rec/in 1..2"
    normal = "half"
    [[bay.north.column]]
    at = "3..4"
    reserved = "second machine"

Accept:

    [[accept]]
    rule = "jack-reserved"
    at = "north"
    because = "Lent until the second machine comes."
"""

from collections.abc import Iterator

from routecode.circuit.plant import PlacedBay
from routecode.ground.finding import Severity
from routecode.ground.place import At
from routecode.rules.cabling import cabling
from routecode.rules.rule import Fault, Rule, Scene, cord_ends, place_key
from routecode.rules.words import listed


def check(scene: Scene) -> Iterator[Fault]:
    """Reserved columns with cables (unpatched) or cords (in setups), one fault for each bay and purpose."""
    for bay in scene.plant.bays.values():
        if not bay.reserved:
            continue
        used = _wired(scene, bay) if scene.setup is None else _corded(scene, bay)
        for purpose in sorted({bay.reserved[number] for number, _, _ in used}):
            jacks = sorted({jack for number, jack, _ in used if bay.reserved[number] == purpose})
            places = sorted({at for number, _, at in used if bay.reserved[number] == purpose}, key=place_key)
            named = "" if purpose == "reserved" else f" for {listed([purpose])}"
            yield Fault(
                scene.names(jacks),
                f"{scene.words.nodes(jacks)} {'is' if len(jacks) == 1 else 'are'} {'wired' if scene.setup is None else 'patched'} though reserved.",
                f"The column is reserved{named}.",
                "Use another column, or take `reserved` away.",
                places[-1],
                tuple(("this uses it too", at) for at in places[:-1]),
            )


def _wired(scene: Scene, bay: PlacedBay) -> list[tuple[int, int, At]]:
    behind = scene.kept(cabling).behind
    rows = ("top", "bottom")[: bay.rows]
    jacks = [(number, bay.jack(row, number)) for number in sorted(bay.reserved) for row in rows]
    return [(number, jack, scene.plant.wires_of(jack)[0].at) for number, jack in jacks if behind[jack]]


def _corded(scene: Scene, bay: PlacedBay) -> list[tuple[int, int, At]]:
    found = []
    for node, ends in scene.kept(cord_ends).items():
        if bay.first <= node < bay.first + bay.columns * bay.rows:
            number = bay.place(node)[1]
            found += [(number, node, end.at) for _, end in ends if number in bay.reserved]
    return found


RULE = Rule("jack-reserved", Severity.WARNING, check)
