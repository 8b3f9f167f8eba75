"""monitors-without-control: nothing turns these loudspeakers or headphones down.

Somewhere between a source and ears there must be a knob: a monitor controller, a fader, the pot of the amplifier. Where no inside with
`control = "level"` lies on any way to a loudspeaker or a headphone, whatever is plugged upstream arrives at full level. Told at the
loudspeaker or headphone; only where some way to it is complete, from a source on.

Bad:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.amp]
    rack = "left"
    [[unit.amp.port]]
    name = "in 1..2"
    direction = "in"
    signal = "line"
    [[unit.amp.port]]
    name = "out 1..2"
    direction = "out"
    signal = "speaker-level"
    [[unit.amp.inside]]
    from = "in 1..2"
    to = "out 1..2"
    [unit.speakers]
    room = "control"
    [[unit.speakers.port]]
    name = "in 1..2"
    direction = "in"
    signal = "speaker-level"
    [[cable]]
    from = "deck/out 1..2"
    to = "amp/in 1..2"
    [[cable]]
    from = "amp/out 1..2"
    to = "speakers/in 1..2"

Good:

    [unit.deck]
    model = "player"
    rack = "left"
    [unit.amp]
    rack = "left"
    [[unit.amp.port]]
    name = "in 1..2"
    direction = "in"
    signal = "line"
    [[unit.amp.port]]
    name = "out 1..2"
    direction = "out"
    signal = "speaker-level"
    [[unit.amp.inside]]
    from = "in 1..2"
    to = "out 1..2"
    control = "level"
    [unit.speakers]
    room = "control"
    [[unit.speakers.port]]
    name = "in 1..2"
    direction = "in"
    signal = "speaker-level"
    [[cable]]
    from = "deck/out 1..2"
    to = "amp/in 1..2"
    [[cable]]
    from = "amp/out 1..2"
    to = "speakers/in 1..2"

Accept:

    [[accept]]
    rule = "monitors-without-control"
    at = "speakers/in 1..2"
    because = "The deck has a volume control that the model does not show."
"""

from collections.abc import Iterator

from routecode.circuit.reach import Reach, ways_of
from routecode.ground.finding import Severity
from routecode.rules.electric import of_kind, place_of_net
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Loudspeakers and headphones with a way from a source on which nothing has a level control."""
    plant, reach = scene.plant, Reach(scene.state)
    for net in of_kind(scene, "speaker-level", "headphone"):
        for node in net.hears:
            if plant.socket(node).signal not in ("speaker-level", "headphone"):
                continue
            source = _uncontrolled(reach, plant.first_channel[node])
            if source is None:
                continue
            place, also = place_of_net(scene, net, [node])
            yield Fault(
                scene.names([node]),
                f"{scene.words.channel(source)} reaches {scene.words.node(node)} with no level control between.",
                "Whatever is plugged upstream is heard at full level: it can harm ears and loudspeakers.",
                'Put a level control between them, or say control = "level" at the inside that has one.',
                place,
                also,
            )


def _uncontrolled(reach: Reach, channel: int) -> int | None:
    """A source two or more feeds away that reaches this channel with no control of level on the way; None where there is none."""
    seen = {channel}
    queue = [(channel, 0)]
    for hearing, steps in queue:
        for driving in sorted(reach.drivers(hearing)):  # whichever cord is stated first
            back = reach.insides(driving, back=True)
            if not back and steps and not _brought(reach, driving):
                return driving
            for other, branch in back:
                if branch.control != "level" and other not in seen:
                    seen.add(other)
                    queue.append((other, steps + 1))
    return None


def _brought(reach: Reach, channel: int) -> bool:
    """Whether its unit has an inside that leads to a channel, closed or not: then it is no source, only idle."""
    unit = reach.plant.unit_of(reach.plant.node_of(channel))
    return channel - unit.first_channel in ways_of(unit.kit).up


RULE = Rule("monitors-without-control", Severity.HAZARD, check)
