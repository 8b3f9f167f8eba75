"""normal-one-side: a normal is written, and one of its jacks has nothing behind it.

The normal joins a wire to nothing. Either the wiring of the other row is missing in the record, or the normal is a leftover. Not told: normals that a
bay has by its own default, a pattern laid over a whole range of which other columns are complete, and reserved columns.

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

from collections.abc import Iterator

from attrs import define, field

from routecode.circuit.plant import NormalJoint
from routecode.ground.finding import Severity
from routecode.ground.place import At
from routecode.rules.cabling import Cabling, cabling
from routecode.rules.rule import Fault, Rule, Scene, place_key
from routecode.rules.words import counted


@define
class _Written:
    """The normals of one statement."""

    whole: int = 0
    empty: list[int] = field(factory=list)
    """Jacks with nothing behind them whose partner has something."""
    wires: bool = False
    """Whether the statement wires jacks too."""


def check(scene: Scene) -> Iterator[Fault]:
    """Statements of normals with one side unwired."""
    written = _written(scene)
    for at in sorted(written, key=place_key):
        said = written[at]
        if not said.empty or (said.whole and not said.wires):
            continue
        yield Fault(
            scene.names(said.empty),
            f"A normal is written at {scene.words.nodes(said.empty)}, and nothing is wired there.",
            f"{counted(len(said.empty), 'normal')} with one side wired, {said.whole} with both.",
            "Write what is wired there, or leave the normal out.",
            at,
        )


def _written(scene: Scene) -> dict[At, _Written]:
    laid = scene.kept(cabling)
    behind, found = laid.behind, dict[At, _Written]()
    for normal in scene.plant.normals:
        one, other = behind[normal.source], behind[normal.target]
        if bool(one) != bool(other) and _is_written(scene, normal):
            empty = normal.target if one else normal.source
            if not _joined_otherwise(scene, laid, empty):
                found.setdefault(normal.at, _Written(wires=_wires(scene, normal))).empty.append(empty)
    for normal in scene.plant.normals if found else ():
        if normal.at in found and behind[normal.source] and behind[normal.target]:
            found[normal.at].whole += 1
    return found


def _is_written(scene: Scene, normal: NormalJoint) -> bool:
    """Whether a column or a `[[normal]]` says it, and it is made at rest."""
    if not normal.column:
        return True
    bay = scene.plant.bays[normal.bay]
    if normal.column in bay.reserved or (bay.plugs and normal.pattern != bay.destination_row):
        return False
    return any(normal.at == table.where("plug" if bay.plugs else "normal") for table in bay.said.get(normal.column, ()))


def _wires(scene: Scene, normal: NormalJoint) -> bool:
    if not normal.column:
        return True
    tables = scene.plant.bays[normal.bay].said[normal.column]
    return any(normal.at == table.where(key) for table in tables if table.top or table.bottom for key in ("plug", "normal"))


def _joined_otherwise(scene: Scene, laid: Cabling, jack: int) -> bool:
    """Whether a mult or another normal ends at the jack."""
    return jack in laid.joined or len(scene.plant.normals_at().get(jack, ())) > 1


RULE = Rule("normal-one-side", Severity.WARNING, check, "unpatched")
