"""cable-number-twice: one number is on two cables.

Whoever looks for the number behind the racks finds the wrong cable one time in two. One number for all circuits of a
multipair is written in one `[[cable]]`; a split takes one number for all of its legs.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [[cable]]
    number = "M1"
    from = "deck/out 1"
    to = "rec/in 1"
    [[cable]]
    number = "M1"
    from = "deck/out 2"
    to = "rec/in 2"

Good:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [[cable]]
    number = "M1"
    from = "deck/out 1..2"
    to = "rec/in 1..2"

Accept:

    [[accept]]
    rule = "cable-number-twice"
    at = "M1"
    because = "Printed so by the installer."
"""

from collections.abc import Iterator

from routecode.circuit.plant import Wire
from routecode.ground.finding import Severity
from routecode.ground.place import At
from routecode.language.written import Cable
from routecode.rules.cabling import cabling
from routecode.rules.rule import Fault, Rule, Scene, place_key
from routecode.rules.words import counted, listed


def check(scene: Scene) -> Iterator[Fault]:
    """Numbers given by several statements to different cables."""
    wanted = set(scene.kept(cabling).again)
    wires: dict[str, list[Wire]] = {}
    for wire in scene.plant.wires if wanted else ():
        if wire.number in wanted:
            wires.setdefault(wire.number, []).append(wire)
    for number in sorted(wires):
        groups = _cables(wires[number])
        if len(groups) < 2:
            continue
        places = sorted((_place(group[0]) for group in groups), key=place_key)
        starts = [min(scene.words.node(group[0].a), scene.words.node(group[0].b)) for group in groups]
        yield Fault(
            (number,),
            f"The number {number} is on {counted(len(groups), 'cable')}.",
            f"They start at {listed(sorted(starts), 5)}.",
            "Give each cable its own number; circuits of one multipair belong in one statement.",
            places[-1],
            tuple(("the number is on this cable too", at) for at in places[:-1]),
        )


def _tables(wire: Wire) -> set[int]:
    return {id(said.table) for said in wire.said if isinstance(said.table, Cable) and said.table.number}


def _place(wire: Wire) -> At:
    tables = [said.table for said in wire.said if isinstance(said.table, Cable) and said.table.number]
    return tables[0].where("number") if tables else wire.at


def _cables(wires: list[Wire]) -> list[list[Wire]]:
    """The wires of one number by cable: those that share a statement are circuits of one multipair."""
    groups: list[tuple[set[int], list[Wire]]] = []
    for wire in wires:
        tables, members = _tables(wire), [wire]
        rest = []
        for known, others in groups:
            if known & tables:
                tables, members = tables | known, others + members
            else:
                rest.append((known, others))
        groups = [*rest, (tables, members)]
    return [members for _, members in groups]


RULE = Rule("cable-number-twice", Severity.WARNING, check, "unpatched")
