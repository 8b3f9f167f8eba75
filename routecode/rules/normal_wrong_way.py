"""normal-wrong-way: a normal leads from an input, or to an output.

A normal leads from the row of sources to the row of destinations (`sources` of the bay; the top row unless said
otherwise). With an input in the row of sources, or an output in the row of destinations, the rows are exchanged: the
plug that should listen in breaks the normal, and the label strip lies.

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
    top = "rec/in 1..2"
    bottom = "deck/out 1..2"
    normal = "half"

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

Accept:

    [[accept]]
    rule = "normal-wrong-way"
    at = ["north/top 1..2", "north/bottom 1..2"]
    because = "Mounted upside down until the rack is rebuilt."
"""

from collections.abc import Iterator

from routecode.circuit.plant import EITHER, IN, OUT, NormalJoint
from routecode.ground.finding import Severity
from routecode.rules.cabling import TIE, cabling
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.words import counted

_MAY_GIVE = 1 << OUT | 1 << EITHER | TIE
_MAY_TAKE = 1 << IN | 1 << EITHER | TIE


def check(scene: Scene) -> Iterator[Fault]:
    """Normals with inputs alone at their source, or outputs alone at their target; one fault a statement."""
    behind = scene.kept(cabling).behind
    found: dict[tuple[int, str], list[NormalJoint]] = {}
    for normal in scene.plant.normals:
        source, target = behind[normal.source], behind[normal.target]
        if source and target and not (source & _MAY_GIVE and target & _MAY_TAKE) and normal.pattern != "none":
            found.setdefault((id(normal.table), normal.key), []).append(normal)
    for normals in found.values():
        sources, targets = [one.source for one in normals], [one.target for one in normals]
        inputs = [node for node in sources if not behind[node] & _MAY_GIVE]
        subject = f"{scene.words.nodes(inputs)} is an input" if inputs else f"{scene.words.nodes(targets)} is an output"
        subject = subject.replace(" is an ", " are ") + "s" if len(inputs or targets) > 1 else subject
        yield Fault(
            scene.names([*sources, *targets]),
            f"{subject}, and a normal leads {'from' if inputs else 'to'} there.",
            f"{counted(len(normals), 'normal')} the wrong way: from {scene.words.nodes(sources)} to {scene.words.nodes(targets)}.",
            "Exchange the two rows, or write which row carries the sources.",
            normals[0].at,
        )


RULE = Rule("normal-wrong-way", Severity.WARNING, check, "unpatched")
