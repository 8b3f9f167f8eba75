"""Headroom of a feed: how far its nominal level is from the first thing that clips. Judges nothing.

It is the smallest of three: the maximum of the output above its own nominal level, the maximum of the input above what arrives, full
scale above what arrives (of an output that is a converter: its full scale is a maximum too). Nominal against maximum, never maximum
against maximum. A maximum that nobody wrote down counts only where none is written. Of a load that nobody wrote down nothing is taken off.
"""

from collections.abc import Iterator

from attrs import frozen

from routecode.circuit.nets import Net
from routecode.figures.analogue import Analogue
from routecode.figures.ports import Known, Ports

MAXIMUM, FULL_SCALE = "its maximum", "full scale"


@frozen
class Headroom:
    """`room` in dB between `level` and `top` (both dBu) at the port `node`; `limit` says which of its figures `top` is."""

    room: Known
    node: int
    limit: str
    level: float
    top: float


def headroom(ports: Ports, analogue: Analogue, net: Net, hearer: int, *, sure: bool = False) -> Headroom | None:
    """The headroom of the feed of one input; None where nothing is known of it.

    `sure`: as much as there is at least by what is written down alone, with the lowest level that may arrive.
    """
    found = [*_of_output(ports, analogue, net), *_of_input(ports, analogue, hearer, sure)]
    said = [one for one in found if not one.room.default]
    return min(said or ([] if sure else found), key=lambda one: one.room.amount, default=None)


def _of_output(ports: Ports, analogue: Analogue, net: Net) -> Iterator[Headroom]:
    driver = analogue.driver(net)
    source = analogue.source(driver) if driver is not None else None
    if driver is None or source is None or source.level is None:
        return
    yield from _below(ports, driver, source.level)


def _of_input(ports: Ports, analogue: Analogue, hearer: int, sure: bool) -> Iterator[Headroom]:
    bounds = analogue.bounds(hearer)
    if bounds is not None:
        yield from _below(ports, hearer, bounds[0 if sure else 1])


def _below(ports: Ports, node: int, level: Known) -> Iterator[Headroom]:
    figures = ports.of(node)
    for limit, top in ((MAXIMUM, figures.max_level), (FULL_SCALE, figures.full_scale)):
        if top is not None and abs(level.amount) != float("inf"):
            room = Known(top.amount - level.amount, top.default or level.default)
            yield Headroom(room, node, limit, level.amount, top.amount)
