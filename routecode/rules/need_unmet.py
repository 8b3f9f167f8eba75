"""need-unmet: a setup needs a path that does not exist.

`[[setup.x.need]]` names where a signal starts and the inputs it must arrive at, in order. With all cords, plugs,
switch positions and routes of the setup in, it does not get there. Said is how far it gets.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [bay.north]
    columns = 2
    rack = "left"
    [[bay.north.column]]
    at = "1..2"
    top = "deck/out 1..2"
    bottom = "rec/in 1..2"
    normal = "half"
    [setup.take]
    [[setup.take.need]]
    path = ["deck/out 1", "rec/in 2"]

Good:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [bay.north]
    columns = 2
    rack = "left"
    [[bay.north.column]]
    at = "1..2"
    top = "deck/out 1..2"
    bottom = "rec/in 1..2"
    normal = "half"
    [setup.take]
    [[setup.take.cord]]
    from = "deck/out 1"
    to = "rec/in 2"
    [[setup.take.need]]
    path = ["deck/out 1", "rec/in 2"]

Accept:

    [[accept]]
    rule = "need-unmet"
    at = ["deck/out 1", "rec/in 2"]
    because = "The cord is bought in May."
    setup = "take"
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.rules.needing import Standing, standings
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.words import listed


def check(scene: Scene) -> Iterator[Fault]:
    """Needs that must exist and do not."""
    words = scene.words
    for standing in scene.kept(standings):
        need = standing.need
        if need.written.never or standing.exists:
            continue
        wanted, last = need.steps[standing.reached], need.steps[standing.reached - 1]
        yield Fault(
            need.names,
            f"{words.channel(last)} does not reach {words.channel(wanted)}, and {words.setup(scene.placed.id)} needs it.",
            " ".join([*_away(scene, standing), _stops(scene, standing, last), _waits(scene, wanted)]),
            "Add the cord, plug, switch position or route it takes, or correct the need.",
            need.written.where("path"),
        )


def _away(scene: Scene, standing: Standing) -> Iterator[str]:
    plant = scene.plant
    units = {plant.unit_of(plant.node_of(step)).id: plant.unit_of(plant.node_of(step)) for step in standing.need.steps}
    for unit in units.values():
        if unit.written.away is not None:
            yield f"{unit.title} is away ({unit.written.away})."


def _stops(scene: Scene, standing: Standing, last: int) -> str:
    """Where the signal ends: the jacks it gets to, or the channels that lead no further."""
    plant, words = scene.plant, scene.words
    nets = {id(net): net for vertex in standing.below if (net := scene.state.net_of(plant.node_of(vertex // 2)))}
    if not nets:
        return f"Nothing is joined to {words.channel(last)}."
    stuck = [net for net in nets.values() if not net.hears] or list(nets.values())
    ends = {words.node(jack) for net in stuck if (jack := _farthest(scene, net.nodes, standing)) is not None}
    if ends:
        return f"It stops at {listed(sorted(ends))}."
    heard = [words.channel(vertex // 2) for vertex in standing.below if not vertex % 2 and vertex // 2 != last]
    return f"It gets as far as {listed(heard[-1:])}." if heard else f"It stops at {words.channel(last)}."


def _farthest(scene: Scene, nodes: list[int], standing: Standing) -> int | None:
    """The jack of a net that is farthest from what the need's signal drives it by."""
    plant = scene.plant
    drivers = {plant.node_of(vertex // 2) for vertex in standing.below}
    distance = {node: 0 for node in nodes if node in drivers}
    queue = list(distance)
    for node in queue:
        for other in scene.state.joined(node):
            if other not in distance:
                distance[other] = distance[node] + 1
                queue.append(other)
    jacks = [node for node in distance if plant.is_jack(node)]
    return max(jacks, key=lambda jack: (distance[jack], plant.jack_key(jack)), default=None)


def _waits(scene: Scene, wanted: int) -> str:
    """Where the wanted input can be reached."""
    node = scene.plant.node_of(wanted)
    jacks = [other for other in scene.plant.wired(node) if scene.plant.is_jack(other)]
    if not jacks:
        return f"{scene.words.node(node)} is on no jack."
    return f"{scene.words.node(node)} is on {scene.words.nodes(jacks)}."


RULE = Rule("need-unmet", Severity.ERROR, check, "setups")
