"""Headroom of feeds as faults: what the two rules about it share. Told of what clips first, the output or the input, each once."""

from collections.abc import Iterator

from routecode.figures.headroom import headroom
from routecode.rules.electric import figured_feeds, place_of_net
from routecode.rules.rule import Fault, Scene


def narrow(scene: Scene, least: float | None, below: float) -> Iterator[Fault]:
    """Ports whose headroom in dB is at least `least` (None: whatever it is) and less than `below`, as printed, on declared figures alone."""
    ports, analogue = scene.figures.ports, scene.figures.analogue
    told: set[int] = set()
    for net, driver, hearer in scene.kept(figured_feeds):
        found = headroom(ports, analogue, net, hearer, sure=True)
        if found is None or found.node in told:
            continue
        room = round(found.room.amount, 1)
        if room >= below or (least is not None and room < least):
            continue
        told.add(found.node)
        place, also = place_of_net(scene, net, [found.node])
        does = "has a nominal level of" if found.node == driver else "arrives at"
        yield Fault(
            scene.names([found.node]),
            f"{scene.words.node(found.node)} has {found.room.amount:.1f} dB of headroom.",
            f"{scene.words.node(driver)} {does} {found.level:+.1f} dBu, and {found.limit} is {found.top:+.1f} dBu.",
            "Turn the source down." if found.node == driver else "Turn the source down, or pad the input.",
            place,
            also,
        )
