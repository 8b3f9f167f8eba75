"""phantom-plugged: a cord goes into a jack with phantom power that shorts on insertion.

A jack of the telephone kind joins tip and ring to the sleeve for a moment as a plug goes in. With phantom power on the line, one leg is
at ground while the other still carries 48 V: a dynamic microphone gets a thump of direct current, a ribbon may be torn, and everything
downstream bangs. Told at the jack, in the setup whose cord goes there. Sealed contacts (`pin`, `xlr`, `bnc`, `8p8c`) short nothing.

Bad:

    [unit.box]
    model = "box"
    room = "control"
    [unit.pre]
    rack = "left"
    phantom_on = "mic"
    [[unit.pre.port]]
    name = "mic"
    direction = "in"
    signal = "mic"
    phantom = "supply"
    [bay.north]
    rack = "left"
    columns = 2
    contact = "bantam"
    [[bay.north.column]]
    at = 1
    top = "box/line 1"
    [[bay.north.column]]
    at = 2
    bottom = "pre/mic"
    [setup.take]
    [[setup.take.cord]]
    from = "north/top 1"
    to = "north/bottom 2"
    [[accept]]
    rule = "phantom-on-jacks"
    at = "north/bottom 2"
    because = "Known; told in the setup."

Good:

    [unit.box]
    model = "box"
    room = "control"
    [unit.pre]
    rack = "left"
    phantom_on = "mic"
    [[unit.pre.port]]
    name = "mic"
    direction = "in"
    signal = "mic"
    phantom = "supply"
    [bay.north]
    rack = "left"
    columns = 2
    contact = "pin"
    [[bay.north.column]]
    at = 1
    top = "box/line 1"
    [[bay.north.column]]
    at = 2
    bottom = "pre/mic"
    [setup.take]
    [[setup.take.cord]]
    from = "north/top 1"
    to = "north/bottom 2"

Accept:

    [[accept]]
    rule = "phantom-plugged"
    at = ["north/bottom 2", "north/top 1"]
    setup = "take"
    because = "Patched with phantom power off, as the sheet says."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.electric import SHORTING, fed_with_phantom
from routecode.rules.rule import Fault, Rule, Scene, cord_ends


def check(scene: Scene) -> Iterator[Fault]:
    """Jacks that short on insertion, with a cord in them and phantom power on them."""
    plant, ends = scene.plant, scene.kept(cord_ends)
    for net, supplies in scene.kept(fed_with_phantom):
        jacks = [
            node
            for node in net.nodes
            if plant.is_jack(node) and node in ends and plant.bay_of(node).written.contact in SHORTING
        ]
        if jacks:
            yield Fault(
                scene.names(jacks),
                f"Phantom power of {scene.words.nodes(supplies)} is on {scene.words.nodes(jacks)}, where a cord goes in.",
                "These jacks short one leg for a moment on insertion, with 48 V on the other.",
                "Mute the channel, switch phantom power off and wait a minute; then plug.",
                ends[jacks[0]][0][1].at,
            )


RULE = Rule("phantom-plugged", Severity.HAZARD, check, "setups")
