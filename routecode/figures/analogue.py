"""Level, load and corner of analogue nets: what each source gives, what it is loaded with, what arrives. Judges nothing.

A net with one driver is a source behind an impedance, loaded by everything that hears it and by the capacitance of its cables; the
resistance of its cables lies between them. A transformer or a capacitor between passive ports carries all of it on to the next net. Nets
with several drivers have no figures here.
"""

from collections.abc import Iterable
from functools import cached_property
from math import inf

from attrs import define, field, frozen

from routecode.circuit.nets import Net
from routecode.circuit.parts import Branch, PlacedUnit
from routecode.circuit.passive import two_way
from routecode.circuit.paths import closed_branches
from routecode.circuit.state import State
from routecode.figures.conductors import Conductors
from routecode.figures.legs import HALF, Arrival, arrival
from routecode.figures.ports import Known, PortFigures, Ports
from routecode.language.signals import ANALOGUE
from routecode.physics.cable import corner_hz
from routecode.physics.levels import db_of_ratio
from routecode.physics.load import Spread, divider, parallel, spread

_DEEPEST = 50
"""Nets one behind another that a level is followed back through."""


@frozen
class Source:
    """What drives a net: its level with nothing connected, in dBu, and the impedance behind it, in ohms (of one leg where only that works)."""

    level: Known | None
    ohms: Known | None


@frozen
class Loaded:
    """What a source is loaded with: `ohms` of all its loads together, with the cables to them, and what that costs in dB (0 or less).

    `line_db`: port (node) -> what the cables to it cost beside that; ports that are not here lose nothing.
    """

    ohms: Known
    loss_db: Known
    line_db: dict[int, float]

    def lost(self, node: int) -> Known:
        """What is lost on the whole way to a port, in dB (0 or less)."""
        return Known(self.loss_db.amount + self.line_db.get(node, 0.0), self.loss_db.default)


@define(eq=False)
class Analogue:
    """The analogue figures of one state; everything is worked out when first asked for."""

    state: State
    ports: Ports
    _sources: dict[int, Source | None] = field(factory=dict)
    _conductors: dict[int, Conductors] = field(factory=dict)
    _spreads: dict[tuple[int, int, tuple[tuple[int, float], ...]], Spread] = field(factory=dict)

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
        if net is None:
            return Known(inf)
        seen = self._seen(net, other, [(hearer, self._load(hearer, depth + 1)) for hearer in self._loading(net)])
        return None if seen is None else Known(seen[0].amount / ratio**2, seen[0].default)

    def _seen(self, net: Net, at: int, loads: Iterable[tuple[int, Known | None]]) -> tuple[Known, Spread | None] | None:
        """What a place of a net sees of loads at ports, through the cables; None where a load is not known. The second: None with no resistance."""
        loads, legs = list(loads), self.conductors(net)
        beside = _beside([load for _, load in loads])
        if beside is None or not legs.joints:
            return None if beside is None else (beside, None)
        by_piece: dict[int, list[Known | None]] = {}
        for node, load in loads:
            by_piece.setdefault(legs.piece(node), []).append(load)
        together = {piece: one.amount for piece, each in by_piece.items() if (one := _beside(each)) is not None}
        key = (id(net), at, tuple(together.items()))
        if key not in self._spreads:
            self._spreads[key] = spread(legs.piece(at), legs.joints, together)
        found = self._spreads[key]
        return Known(found.ohms, beside.default), found

    def seen(self, net: Net, at: int, loads: Iterable[tuple[int, Known]]) -> Known:
        """The ohms that a place of a net sees of some loads at ports, through the cables."""
        found = self._seen(net, at, loads)
        return Known(inf) if found is None else found[0]

    def shares(self, net: Net, at: int, loads: Iterable[tuple[int, Known]]) -> dict[int, float]:
        """Port that hears (node) -> the share it gets of the voltage at a place of its net; empty where no cable has a known resistance."""
        found, legs = self._seen(net, at, loads), self.conductors(net)
        along = None if found is None else found[1]
        return {} if along is None else {node: along.shares[legs.piece(node)] for node in net.hears}

    def loaded(self, net: Net, without: int | None = None) -> Loaded | None:
        """What the driver of a net is loaded with; `without`: as if one of the loads were not there. None where it is not known."""
        driver = self.driver(net)
        source = self.source(driver) if driver is not None else None
        loads = [(node, load) for node, load in self.loads(net) if node != without]
        found = self._seen(net, driver, loads) if driver is not None and loads else None
        if source is None or source.ohms is None or found is None:
            return None
        ohms = found[0]
        lost = Known(db_of_ratio(_share(source.ohms.amount, ohms.amount)), ohms.default or source.ohms.default)
        along = {} if found[1] is None else found[1].shares
        legs = self.conductors(net)
        return Loaded(ohms, lost, {node: db_of_ratio(along[legs.piece(node)]) for node in net.hears} if along else {})

    # -- legs -----------------------------------------------------------------------------------------------------------

    def arrival(self, net: Net, driver: int, hearer: int) -> Arrival:
        """What the legs of a net let through to one of its ports."""
        drive = self.ports.of(driver).socket.written.drive
        return arrival(
            self.conductors(net), driver, hearer, drive or ("transformer" if driver in self._wound else None)
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
                level = Known(arriving.amount + gain[1], arriving.default)
                return Source(level, self._driving_ohms(node, port))
        return Source(port.level, self._driving_ohms(node, port))

    def _driving_ohms(self, node: int, port: PortFigures) -> Known | None:
        """The impedance of a source: half of it where the net takes one leg of an output that drives both, each of which has half."""
        net = self.state.net_of(node)
        if port.drives is None or net is None or port.socket.written.drive != "symmetric" or self.driver(net) != node:
            return port.drives
        halved = [self.arrival(net, node, hearer) == HALF for hearer in net.hears]
        return Known(port.drives.amount / 2, port.drives.default) if halved and all(halved) else port.drives

    def _behind(self, speaking: int, listening: int, ratio: float, depth: int) -> Source | None:
        """The source that a transformer or capacitor makes of the net at its other side."""
        net = self.state.net_of(listening)
        driver = self.driver(net) if net is not None else None
        if net is None or driver is None:
            return None
        source = self.source(driver, depth + 1)
        if source is None or source.ohms is None:
            return None
        others = [(node, load) for node, load in self.loads(net) if node != listening]
        if len(self._onward[listening]) > 1:
            others.append((listening, self._load(listening, depth + 1, without=speaking)))
        found = self._seen(net, driver, others)
        back = self._seen(net, listening, [*others, (driver, source.ohms)])
        if found is None or back is None:
            return None
        default, along, legs = back[0].default, found[1], self.arrival(net, driver, listening)
        share = _share(source.ohms.amount, found[0].amount)
        share *= 1.0 if along is None else along.shares[self.conductors(net).piece(listening)]
        level = None
        if source.level is not None and legs.told is not None:
            rests = source.level.default or not legs.sure or (default and bool(others))
            level = Known(source.level.amount + legs.told + db_of_ratio(share * ratio), rests)
        return Source(level, Known(back[0].amount * ratio**2, default))

    # -- what arrives ---------------------------------------------------------------------------------------------------

    def arriving(self, node: int) -> Known | None:
        """The level at a port that hears, in dBu, with everything connected; None where it is not known."""
        return self._arriving(node, 0)

    def _arriving(self, node: int, depth: int) -> Known | None:
        net = self.state.net_of(node)
        driver = self.driver(net) if net is not None else None
        if net is None or driver is None or node not in net.hears:
            return None
        source, loaded, legs = self.source(driver, depth), self.loaded(net), self.arrival(net, driver, node)
        if source is None or source.level is None or loaded is None or legs.told is None:
            return None
        lost = loaded.lost(node)
        default = source.level.default or lost.default or not legs.sure
        return Known(source.level.amount + legs.told + lost.amount, default)

    def bounds(self, node: int) -> tuple[Known, Known] | None:
        """The least and the most that may arrive at a port, in dBu; None where that is not known.

        Of a load that nobody wrote down nothing is taken off, so that what is not `default` rests on nothing usual.
        """
        net = self.state.net_of(node)
        driver = self.driver(net) if net is not None else None
        source = self.source(driver) if driver is not None else None
        if net is None or driver is None or source is None or source.level is None or node not in net.hears:
            return None
        loaded, legs = self.loaded(net), self.arrival(net, driver, node)
        if loaded is None or legs.told is None:
            return None
        lost = loaded.lost(node)
        level = source.level.amount + (0.0 if lost.default else lost.amount)
        return Known(level + legs.least, source.level.default), Known(level + legs.most, source.level.default)

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
        """The frequency in Hz at which the source, its loads and the cables of a net lose 3 dB; at most this, where some are not known.

        All capacitance is taken to be at the source.
        """
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
    def _wound(self) -> frozenset[int]:
        """The speaking ports of transformers between passive ports: their outputs float."""
        return frozenset(speaking for _, branch, _, speaking in self._crossings if branch.kind == "transformer")

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
