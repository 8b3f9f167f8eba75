"""route-without-effect: a route closes nothing.

A route closes the crosspoint (`control = "routed"`) of one unit between the channels it names, or joins channels of
two network ports that lie in one net. This one finds neither: the inside is no crosspoint, its switch stands
elsewhere, or the two ports are not joined.

Bad:

    [unit.stage]
    model = "network-box"
    room = "control"
    [unit.pc]
    model = "network-box"
    rack = "left"
    [[route]]
    from = "stage/net ch 1..2"
    to = "pc/net ch 1..2"

Good:

    [unit.stage]
    model = "network-box"
    room = "control"
    [unit.pc]
    model = "network-box"
    rack = "left"
    [[cable]]
    from = "stage/net"
    to = "pc/net"
    [[route]]
    from = "stage/net ch 1..2"
    to = "pc/net ch 1..2"

Accept:

    [[accept]]
    rule = "route-without-effect"
    at = ["stage/net", "pc/net"]
    because = "The network cable is laid on the day."
"""

from collections.abc import Iterator

from routecode.circuit.plant import BOTH
from routecode.circuit.reach import Reach
from routecode.ground.finding import Severity
from routecode.language.written import Route
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.words import counted


def check(scene: Scene) -> Iterator[Fault]:
    """Routes of the state itself that have no effect, one fault a statement."""
    routes = scene.plant.routes if scene.setup is None else scene.placed.routes
    reach = Reach(scene.state) if routes else None
    idle: dict[int, tuple[Route, list[tuple[int, int]]]] = {}
    for (source, target), route in routes.items():
        if reach is not None and not _works(scene, reach, source, target):
            idle.setdefault(id(route), (route, []))[1].append((source, target))
    for route, pairs in idle.values():
        plant, (source, target) = scene.plant, pairs[0]
        more = f" and {counted(len(pairs) - 1, 'route')} more" if len(pairs) > 1 else ""
        yield Fault(
            tuple(plant.channel_name(channel) for pair in pairs for channel in pair),
            f"The route from {scene.words.channel(source)} to {scene.words.channel(target)}{more} has no effect.",
            _why(scene, source, target),
            "Correct its ends, join the two ports, or delete the route.",
            route.where("from"),
        )


def _works(scene: Scene, reach: Reach, source: int, target: int) -> bool:
    """Whether the route closes a crosspoint or makes a feed; routes of units that are away are not judged."""
    plant = scene.plant
    a, b = plant.node_of(source), plant.node_of(target)
    if plant.unit_of(a).written.away is not None or plant.unit_of(b).written.away is not None:
        return True
    if any(other == target and branch.control == "routed" for other, branch in reach.insides(source)):
        return True
    return plant.direction[a] == BOTH and target in reach.hearers(source)


def _why(scene: Scene, source: int, target: int) -> str:
    plant = scene.plant
    a, b = plant.node_of(source), plant.node_of(target)
    if plant.unit_of(a) is plant.unit_of(b):
        return f"{plant.unit_of(a).title} has no crosspoint there that is closed with its switches as they stand."
    if plant.direction[a] != BOTH or plant.direction[b] != BOTH:
        return "The two are in different units, and not both are network ports."
    return "The two network ports are not in one net of one family."


RULE = Rule("route-without-effect", Severity.WARNING, check)
