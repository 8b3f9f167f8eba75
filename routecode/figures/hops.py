"""What one feed does to its signal, in numbers: level, loss, load, headroom, corner, legs, phantom power, length. Judges nothing."""

from math import isfinite

from attrs import frozen

from routecode.circuit.nets import Net
from routecode.figures.analogue import Loaded
from routecode.figures.figures import StateFigures
from routecode.figures.headroom import headroom
from routecode.figures.legs import Arrival
from routecode.figures.ports import Known

BALANCED, UNBALANCED, GROUNDED, ONE_LEG = "balanced", "unbalanced", "cold grounded", "one leg"


@frozen
class Powered:
    """Phantom power at the driving end: whether both legs and the shield arrive, and the volts that may be left (least, most)."""

    supplied: bool
    volts: tuple[float, float] | None


@frozen
class Hop:
    """The figures of a feed; None: not known, or no matter for its kind.

    Levels in dBu, `loss` (in loads, cables and legs) and `headroom` in dB (`dbfs`: against full scale), impedances in ohms, `corner` in Hz,
    `metres` of cable as far as they are known (`whole`: all of them are). `receivers`: how many inputs the driver feeds. `less`: how many dB
    less than `arriving` may arrive, since it is not said how the output drives its legs.
    """

    kind: str
    arriving: Known | None = None
    source: Known | None = None
    load: Known | None = None
    loss: Known | None = None
    headroom: Known | None = None
    dbfs: Known | None = None
    corner: Known | None = None
    legs: str | None = None
    powered: Powered | None = None
    metres: float = 0.0
    whole: bool = True
    receivers: int = 1
    less: float = 0.0

    @property
    def usual(self) -> bool:
        """Whether any figure of level and load rests on one that nobody wrote down."""
        figures = (self.arriving, self.source, self.load, self.loss, self.headroom, self.dbfs)
        return any(one is not None and one.default for one in figures)


def hop_of(figures: StateFigures, driver: int, hearer: int) -> Hop | None:
    """The figures of the feed from one port (node) to another; None where they are not in one net."""
    net = figures.state.net_of(hearer)
    if net is None or net is not figures.state.net_of(driver):
        return None
    kind = figures.ports.of(driver).kind
    length = figures.ways(driver).get(hearer, (0.0, False))
    receivers = sum(1 for node in net.hears if node not in net.drives)
    if not figures.analogue.is_analogue(net):
        return Hop(kind, metres=length[0], whole=length[1], receivers=receivers)
    return _analogue(figures, net, driver, hearer, kind, length, receivers)


def _analogue(
    figures: StateFigures, net: Net, driver: int, hearer: int, kind: str, length: tuple[float, bool], receivers: int
) -> Hop:
    analogue = figures.analogue
    alone = analogue.driver(net) == driver
    source, loaded = (analogue.source(driver), analogue.loaded(net)) if alone else (None, None)
    arriving, port, legs = analogue.arriving(hearer), figures.ports.of(hearer), analogue.arrival(net, driver, hearer)
    room = headroom(figures.ports, analogue, net, hearer) if alone else None
    return Hop(
        kind,
        arriving,
        source.ohms if source is not None else None,
        loaded.ohms if loaded is not None else None,
        _lost(loaded, legs, hearer),
        room.room if room is not None else None,
        _above(arriving, port.full_scale),
        analogue.corner(net) if alone else None,
        ONE_LEG if legs.lost else _legs(figures, net, driver, hearer),
        _powered(figures, driver),
        *length,
        receivers,
        legs.told - legs.least if legs.told is not None and not legs.lost and isfinite(legs.least) else 0.0,
    )


def _lost(loaded: Loaded | None, legs: Arrival, hearer: int) -> Known | None:
    if loaded is None or legs.told is None:
        return None
    lost = loaded.lost(hearer)
    return Known(lost.amount + legs.told, lost.default or not legs.sure)


def _above(arriving: Known | None, top: Known | None) -> Known | None:
    if arriving is None or top is None:
        return None
    return Known(arriving.amount - top.amount, top.default or arriving.default)


def _legs(figures: StateFigures, net: Net, driver: int, hearer: int) -> str | None:
    both = (figures.ports.of(driver).balanced, figures.ports.of(hearer).balanced)
    if both[0] is None or both[1] is None:
        return None
    legs = figures.analogue.conductors(net)
    if not both[0].yes or not both[1].yes:
        return UNBALANCED
    if not legs.cold_joins(driver, hearer):
        return ONE_LEG
    return GROUNDED if legs.grounded_by(hearer) else BALANCED


def _powered(figures: StateFigures, driver: int) -> Powered | None:
    arriving = figures.phantom.at(driver)
    return None if arriving is None else Powered(arriving.supplied, figures.phantom.left(driver))
