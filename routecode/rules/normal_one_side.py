"""normal-one-side: a normal is written, and one of its jacks has nothing behind it.

The normal joins a wire to nothing. Either the wiring of the other row is missing in the record, or the normal is a
leftover. Not told: normals that a bay has by its own default, a pattern laid over a whole range of which other
columns are complete, and reserved columns.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [bay.north]
    rack = "left"
    columns = 2
    [[bay.north.column]]
    at = "1..2"
    top = "deck/out 1..2"
    normal = "half"

Good:

    [unit.deck]
    model = "player"
    rack = "left"
    [bay.north]
    rack = "left"
    columns = 2
    normal = "half"
    [[bay.north.column]]
    at = "1..2"
    top = "deck/out 1..2"

Accept:

    [[accept]]
    rule = "normal-one-side"
    at = "north/bottom 1..2"
    because = "The second recorder comes in June."
"""

from collections import Counter
from collections.abc import Collection, Iterator

from routecode.circuit.plant import NormalJoint
from routecode.ground.finding import Severity
from routecode.language.written import Bay, Column
from routecode.rules.cabling import Cabling, cabling
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.words import counted

Statement = tuple[int, str]
"""The table that says a normal, by its `id`, and the key."""


def check(scene: Scene) -> Iterator[Fault]:
    """Statements of normals with one side unwired."""
    laid = scene.kept(cabling)
    behind = laid.behind
    empty: dict[Statement, list[tuple[int, NormalJoint]]] = {}
    for normal in scene.plant.normals:
        one, other = behind[normal.source], behind[normal.target]
        if (not one) != (not other) and _is_written(scene, normal):
            jack = normal.target if one else normal.source
            if not _joined_otherwise(scene, laid, jack):
                empty.setdefault((id(normal.table), normal.key), []).append((jack, normal))
    whole = _whole(scene, behind, empty.keys())
    for statement, found in empty.items():
        jacks, normal = [jack for jack, _ in found], found[0][1]
        if whole[statement] and not _wires(normal):
            continue
        yield Fault(
            scene.names(jacks),
            f"A normal is written at {scene.words.nodes(jacks)}, and nothing is wired there.",
            f"{counted(len(jacks), 'normal')} with one side wired, {whole[statement]} with both.",
            "Write what is wired there, or leave the normal out.",
            normal.at,
        )


def _whole(scene: Scene, behind: bytearray, statements: Collection[Statement]) -> Counter[Statement]:
    """How many normals of each statement have both sides wired."""
    return Counter(
        (id(normal.table), normal.key)
        for normal in (scene.plant.normals if statements else ())
        if (id(normal.table), normal.key) in statements and behind[normal.source] and behind[normal.target]
    )


def _is_written(scene: Scene, normal: NormalJoint) -> bool:
    """Whether a column or a `[[normal]]` says it, and it is made at rest."""
    if not normal.column:
        return True
    bay = scene.plant.bays[normal.bay]
    if normal.column in bay.reserved or isinstance(normal.table, Bay):
        return False
    return not bay.plugs or normal.pattern == bay.destination_row


def _wires(normal: NormalJoint) -> bool:
    """Whether the statement is about these jacks and not a pattern laid over a range."""
    return not isinstance(normal.table, Column) or bool(normal.table.top or normal.table.bottom)


def _joined_otherwise(scene: Scene, laid: Cabling, jack: int) -> bool:
    """Whether a mult or another normal ends at the jack."""
    return jack in laid.joined or len(scene.plant.normals_at(jack)) > 1


RULE = Rule("normal-one-side", Severity.WARNING, check, "unpatched")
