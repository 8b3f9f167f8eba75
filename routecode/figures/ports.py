"""The figures of a port: what it says, and where it says nothing what is usual for its kind of signal."""

from typing import NamedTuple

from attrs import frozen

from routecode.circuit.parts import IN, OUT, Socket
from routecode.circuit.plant import Plant
from routecode.language.defaults import default_of
from routecode.language.quantities import read_quantity
from routecode.language.signals import kind_of
from routecode.language.written import LEVELS
from routecode.physics.levels import dbu_from


class Known(NamedTuple):
    """A figure; `default`: it rests on a usual figure that nobody wrote down."""

    amount: float
    default: bool = False


class Said(NamedTuple):
    """Yes or no, and whether that is only what is usual."""

    yes: bool
    default: bool = False


@frozen(eq=False)
class PortFigures:
    """Figures of one port. Levels in dBu, impedances in ohms; None: neither said nor usual.

    `drives` is what a source is when it drives (its own impedance), `loads` what an input loads a line with; a passive port has both.
    """

    socket: Socket
    kind: str
    level: Known | None
    max_level: Known | None
    full_scale: Known | None
    drives: Known | None
    loads: Known | None
    balanced: Said | None
    line: Known | None

    @property
    def declared(self) -> bool:
        """Whether it says any electrical figure of its own."""
        return any(getattr(self.socket.written, key) is not None for key in ELECTRICAL)


ELECTRICAL = (
    *("level", "max_level", "phantom", "phantom_kind", "phantom_ma", "phantom_bank", "ohms", "balanced", "drive"),
    *("min_ohms", "bridged", "needs_load", "terminates", "clock", "full_scale", "pairs"),
)
"""The keys of a port that say figures."""


class Ports:
    """The figures of all ports of a plant, each socket worked out once."""

    def __init__(self, plant: Plant) -> None:
        self.plant = plant
        self._known: dict[int, PortFigures] = {}

    def of(self, node: int) -> PortFigures:
        """The figures of a port (its node)."""
        socket = self.plant.socket(node)
        found = self._known.get(id(socket))
        if found is None:
            found = self._known[id(socket)] = self._figures(socket)
        return found

    def _figures(self, socket: Socket) -> PortFigures:
        port = socket.written
        kind = kind_of(socket.signal, self.plant.studio.signal) or socket.signal
        usual = default_of(kind)
        ohms = None if port.ohms is None else Known(port.ohms)
        return PortFigures(
            socket,
            kind,
            _level(port.level, None if socket.direction == IN else usual.level),
            _level(port.max_level, usual.max_level),
            _level(port.full_scale, None),
            None if socket.direction == IN else ohms or _usual(usual.out_ohms),
            None if socket.direction == OUT else ohms or _usual(usual.in_ohms),
            _said(port.balanced, usual.balanced),
            _usual(usual.line_ohms),
        )


def _level(text: str | None, usual: float | None) -> Known | None:
    found = read_quantity(text, LEVELS) if text is not None else None
    return Known(dbu_from(*found)) if found is not None else _usual(usual)


def _usual(amount: float | None) -> Known | None:
    return None if amount is None else Known(amount, default=True)


def _said(said: bool | None, usual: bool | None) -> Said | None:
    if said is not None:
        return Said(said)
    return None if usual is None else Said(usual, default=True)
