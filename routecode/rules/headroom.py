"""Headroom of inputs as faults: what the two rules about it share."""

from collections.abc import Iterator

from routecode.rules.electric import figured_feeds, place_of_net
from routecode.rules.rule import Fault, Scene


def narrow(scene: Scene, least: float | None, below: float) -> Iterator[Fault]:
    """Inputs whose headroom in dB is at least `least` (None: whatever it is) and less than `below`, on declared figures alone."""
    ports, analogue = scene.figures.ports, scene.figures.analogue
    for net, driver, hearer in scene.kept(figured_feeds):
        figures, arriving, source = ports.of(hearer), analogue.arriving(hearer), analogue.source(driver)
        tops = [("its maximum", figures.max_level), ("full scale", figures.full_scale)]
        known = [(top.amount, word) for word, top in tops if top is not None and not top.default]
        if arriving is None or source is None or source.level is None or source.level.default or not known:
            continue
        level = source.level if arriving.default else arriving  # of a load that nobody wrote down nothing is taken off
        top, word = min(known)
        room = top - level.amount
        if room >= below or (least is not None and room < least):
            continue
        place, also = place_of_net(scene, net, [hearer])
        yield Fault(
            scene.names([hearer]),
            f"{scene.words.node(hearer)} has {room:.1f} dB of headroom.",
            f"{scene.words.node(driver)} arrives at {level.amount:+.1f} dBu, and {word} is {top:+.1f} dBu.",
            "Turn the source down, or pad the input.",
            place,
            also,
        )
