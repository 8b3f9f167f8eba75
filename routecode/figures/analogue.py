"""Level, load and corner of analogue nets: what each source gives, what it is loaded with, what arrives. Judges nothing.

A net with one driver is a source behind an impedance, loaded by everything that hears it and by the capacitance of its cables. A
transformer or a capacitor between passive ports carries both on to the next net. Nets with several drivers have no figures here.
"""

from functools import cached_property
from math import inf

from attrs import define, field, frozen

from routecode.circuit.nets import Net
from routecode.circuit.parts import Branch, PlacedUnit
from routecode.circuit.passive import two_way
from routecode.circuit.paths import closed_branches
from routecode.circuit.state import State
from routecode.figures.conductors import Conductors
from routecode.figures.ports import Known, Ports
from routecode.language.signals import ANALOGUE
from routecode.physics.cable import corner_hz
from routecode.physics.levels import db_of_ratio
from routecode.physics.load import divider, parallel

_DEEPEST = 50
"""Nets one behind another that a level is followed back through."""


@frozen
class Source:
    """What drives a net: its level with nothing connected, in dBu, and the impedance behind it, in ohms."""

    level: Known | None
    ohms: Known | None


@frozen
class Loaded:
    """What a source is loaded with: `ohms` of all its loads together, and what that costs in dB (0 or less)."""

    ohms: Known
    loss_db: Known


@define(eq=False)
class Analogue:
    """The analogue figures of one state; everything is worked out when first asked for."""

    state: State
    ports: Ports
    _sources: dict[int, Source | None] = field(factory=dict)
    _conductors: dict[int, Conductors] = field(factory=dict)

    @cached_property
    def family(self) -> int:
        """The number of the analogue family; 0 where the studio has none."""
        names = self.state.plant.family_names
        return names.index(ANALOGUE) if ANALOGUE in names else 0

    def is_analogue(self, net: Net) -> bool:
        """Whether all ports of a net are analogue."""
        return net.kinds == 1 << self.family

    def conductors(self, net: Net) -> Conductors:
        """The legs of a net."""
        found = self._conductors.get(id(net))
        if found is None:
            found = self._conductors[id(net)] = Conductors(self.state, net, self.ports)
        return found

    def driver(self, net: Net) -> int | None:
        """The one port that drives an analogue net; None where it is none, or several."""
        return net.drives[0] if len(net.drives) == 1 and self.is_analogue(net) and not net.either else None

    # -- loads ----------------------------------------------------------------------------------------------------------

    def loads(self, net: Net) -> list[tuple[int, Known | None]]:
        """The ports that load the driver of a net, each with its ohms (None: not known)."""
        return [(node, self._load(node)) for node in self._loading(net)]

    def _loading(self, net: Net) -> list[int]:
        """The ports that load a net: those that hear it, and its driver itself where a further transformer hangs on it."""
        return [node for node in net.hears if node not in net.drives or node in self._onward]

    def _load(self, node: int, depth: int = 0, without: int | None = None) -> Known | None:
        """What a port loads its net with; at a transformer what its far sides present, `without` one of them."""
        onward = self._onward.get(node)
        if onward is None or depth > _DEEPEST:
            return self.ports.of(node).loads
        return _beside([self._through(other, ratio, depth) for other, ratio in onward if other != without])

    def _through(self, other: int, ratio: float, depth: int) -> Known | None:
        net = self.state.net_of(other)
        beside = _beside([] if net is None else [self._load(hearer, depth + 1) for hearer in self._loading(net)])
        return None if beside is None else Known(beside.amount / ratio**2, beside.default)

    def loaded(self, net: Net, without: int | None = None) -> Loaded | None:
        """What the driver of a net is loaded with; `without`: as if one of the loads were not there. None where it is not known."""
        driver = self.driver(net)
        source = self.source(driver) if driver is not None else None
        loads = [load for node, load in self.loads(net) if node != without]
        ohms = _beside(loads) if loads else None
        if source is None or source.ohms is None or ohms is None:
            return None
        return Loaded(
            ohms, Known(db_of_ratio(_share(source.ohms.amount, ohms.amount)), ohms.default or source.ohms.default)
        )

    # -- sources --------------------------------------------------------------------------------------------------------

    def source(self, node: int, depth: int = 0) -> Source | None:
        """What a driving port is as a source; None in a ring of insides that says no level."""
        if node in self._sources:
            return self._sources[node]
        self._sources[node] = None  # met again on the way: a ring
        found = self._sources[node] = self._source(node, depth)
        return found

    def _source(self, node: int, depth: int) -> Source | None:
        back = self._back.get(node)
        port = self.ports.of(node)
        if back is not None and depth < _DEEPEST:
            return self._behind(node, *back[0], depth) if len(back) == 1 else None
        if port.socket.written.level is None and (gain := self._gains.get(node)) is not None and depth < _DEEPEST:
            arriving = self._arriving(gain[0], depth + 1)
            if arriving is not None:
                return Source(Known(arriving.amount + gain[1], arriving.default), port.drives)
        return Source(port.level, port.drives)

    def _behind(self, speaking: int, listening: int, ratio: float, depth: int) -> Source | None:
        """The source that a transformer or capacitor makes of the net at its other side."""
        net = self.state.net_of(listening)
        driver = self.driver(net) if net is not None else None
        if net is None or driver is None:
            return None
        source = self.source(driver, depth + 1)
        if source is None or source.ohms is None:
            return None
        others = [load for node, load in self.loads(net) if node != listening]
        if len(self._onward[listening]) > 1:
            others.append(self._load(listening, depth + 1, without=speaking))
        beside = _beside(others)
        if beside is None:
            return None
        default = source.ohms.default or beside.default
        share = _share(source.ohms.amount, beside.amount)
        level = source.level and Known(
            source.level.amount + db_of_ratio(share * ratio), source.level.default or (default and bool(others))
        )
        return Source(level, Known(parallel(source.ohms.amount, beside.amount) * ratio**2, default))

    # -- what arrives ---------------------------------------------------------------------------------------------------

    def arriving(self, node: int) -> Known | None:
        """The level at a port that hears, in dBu, with everything connected; None where it is not known."""
        return self._arriving(node, 0)

    def _arriving(self, node: int, depth: int) -> Known | None:
        net = self.state.net_of(node)
        driver = self.driver(net) if net is not None else None
        if net is None or driver is None or node not in net.hears:
            return None
        source, loaded = self.source(driver, depth), self.loaded(net)
        if source is None or source.level is None or loaded is None:
            return None
        return Known(source.level.amount + loaded.loss_db.amount, source.level.default or loaded.loss_db.default)

    # -- the corner -----------------------------------------------------------------------------------------------------

    def farads(self, net: Net) -> tuple[float, bool]:
        """The capacitance of the cables of a net as far as it is known, and whether that is all of it."""
        types = self.state.plant.studio.cable_type
        total, whole = 0.0, not self.state.cords
        for wire in self.conductors(net).wires:
            kind = types.get(wire.type or "")
            if kind is None or kind.pf_per_metre is None or wire.metres is None:
                whole = False
            else:
                total += wire.metres * kind.pf_per_metre * 1e-12
        return total, whole

    def corner(self, net: Net) -> Known | None:
        """The frequency in Hz at which the source, its loads and the cables of a net lose 3 dB; at most this, where some are not known."""
        driver = self.driver(net)
        source, loaded = (self.source(driver), self.loaded(net)) if driver is not None else (None, None)
        farads, _ = self.farads(net)
        if source is None or source.ohms is None or loaded is None or not farads:
            return None
        ohms = parallel(source.ohms.amount, loaded.ohms.amount)
        return Known(corner_hz(ohms, farads), source.ohms.default or loaded.ohms.default)

    # -- insides --------------------------------------------------------------------------------------------------------

    @cached_property
    def _crossings(self) -> list[tuple[PlacedUnit, Branch, int, int]]:
        """Closed insides that are no amplifiers and no conductors: (unit, inside, listening port, speaking port)."""
        plant, taken = self.state.plant, self.state.passives.taken
        found = []
        for unit, branch in plant.passive:
            if branch.kind not in ("transformer", "capacitor") or not self.state.closed(unit, branch):
                continue
            a, b = unit.first + branch.source, unit.first + branch.target
            if not two_way(plant, a, b, branch) or (a, b) in taken:
                found.append((unit, branch, a, b))
            if two_way(plant, a, b, branch) and (b, a) in taken:
                found.append((unit, branch, b, a))
        return found

    @cached_property
    def _onward(self) -> dict[int, list[tuple[int, float]]]:
        """Listening port of transformers or capacitors -> (a speaking port, the voltage it makes of 1 V) of each."""
        found: dict[int, list[tuple[int, float]]] = {}
        for unit, branch, listening, speaking in self._crossings:
            found.setdefault(listening, []).append((speaking, _ratio(unit, branch, listening)))
        return found

    @cached_property
    def _back(self) -> dict[int, list[tuple[int, float]]]:
        found: dict[int, list[tuple[int, float]]] = {}
        for listening, ways in self._onward.items():
            for speaking, ratio in ways:
                found.setdefault(speaking, []).append((listening, ratio))
        return found

    @cached_property
    def _gains(self) -> dict[int, tuple[int, float]]:
        """Output whose level follows that of the one input that leads to it -> (that input, dB)."""
        plant = self.state.plant
        found: dict[int, list[tuple[int, float | None]]] = {}
        says = any(_gain(branch) is not None for unit in plant.units.values() for branch in unit.kit.branches)
        for source, target, branch in closed_branches(self.state) if says else ():
            found.setdefault(plant.node_of(target), []).append((plant.node_of(source), _gain(branch)))
        return {
            node: (one[0][0], gain) for node, one in found.items() if len(one) == 1 and (gain := one[0][1]) is not None
        }


def _beside(loads: list[Known | None]) -> Known | None:
    """Loads side by side; infinite with none, None where one is not known."""
    known = [load for load in loads if load is not None]
    if len(known) < len(loads):
        return None
    finite = [load.amount for load in known if load.amount != inf]
    return Known(parallel(*finite) if finite else inf, any(load.default for load in known))


def _share(source_ohms: float, load_ohms: float) -> float:
    """The share of a source's voltage at a load that may be infinite."""
    return 1.0 if load_ohms == inf else divider(source_ohms, load_ohms)


def _gain(branch: Branch) -> float | None:
    """What an inside adds to the level, where it says so: an amplifier by its gain, a transformer by its ratio."""
    if branch.gain_db is not None or branch.kind == "active":
        return branch.gain_db
    return db_of_ratio(branch.ratio)


def _ratio(unit: PlacedUnit, branch: Branch, listening: int) -> float:
    """What a crossing makes of 1 V at its listening side."""
    return branch.ratio if listening == unit.first + branch.source else 1 / branch.ratio
