"""link-plug-first: a link plug is in the jack that a cord goes into.

On a bay with link plugs the plug itself sits in a jack and makes the normal. A cord into that jack means that the
link plug comes out first and goes into the box. Write it as `[[setup.x.plug]]` with `set = "out"`, so that whoever
patches takes it out and puts it back.

Bad:

    [unit.wall]
    model = "box"
    room = "control"
    [unit.pre]
    model = "preamp"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [[cable]]
    from = "pre/out 1..2"
    to = "rec/in 1..2"
    [bay.north]
    rack = "left"
    columns = 2
    normalling = "plugs"
    [[bay.north.column]]
    at = "1..2"
    top = "wall/line 1..2"
    bottom = "pre/mic 1..2"
    plug = "bottom"
    [setup.take]
    [[setup.take.plug]]
    at = "north/top 1"
    set = "out"
    [[setup.take.cord]]
    from = "north/top 1"
    to = "pre/mic 2"

Good:

    [unit.wall]
    model = "box"
    room = "control"
    [unit.pre]
    model = "preamp"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [[cable]]
    from = "pre/out 1..2"
    to = "rec/in 1..2"
    [bay.north]
    rack = "left"
    columns = 2
    normalling = "plugs"
    [[bay.north.column]]
    at = "1..2"
    top = "wall/line 1..2"
    bottom = "pre/mic 1..2"
    plug = "bottom"
    [setup.take]
    [[setup.take.plug]]
    at = "north/top 1..2"
    set = "out"
    [[setup.take.cord]]
    from = "north/top 1"
    to = "pre/mic 2"

Accept:

    [[accept]]
    rule = "link-plug-first"
    at = "north/bottom 2"
    because = "Everyone here knows."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.rule import Fault, Rule, Scene, cord_ends
from routecode.rules.words import MUTE


def check(scene: Scene) -> Iterator[Fault]:
    """Cords into jacks that hold a link plug in this setup."""
    plant, links = scene.plant, scene.placed.links
    for node, ends in scene.kept(cord_ends).items():
        if not plant.is_jack(node):
            continue
        bay = plant.bay_of(node)
        row, column = bay.place(node)
        seat = links[bay.id, column][0] if (bay.id, column) in links else bay.normals[column]
        if bay.plugs and row and seat == row:
            yield Fault(
                scene.names([node]),
                f"A link plug is in {scene.words.node(node)}, where a cord goes.",
                "It makes the normal of this column and must come out first.",
                f'{MUTE} Write the plug with set = "out".',
                ends[0][1].at,
            )


RULE = Rule("link-plug-first", Severity.NOTE, check, "setups")
