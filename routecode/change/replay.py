"""A side with some facts of the other side put in their place: what a studio would do if only these edits were made.

The plant is put together anew from the parts of both sides, by the numbers they share, and compiled as any other. Facts that
cannot stand without others (a cable to a unit that is not there) give no plant.
"""

from collections.abc import Collection, Iterator
from typing import Any

from attrs import define, evolve, field

from routecode.change.fact import Fact
from routecode.change.gear import stated_insides
from routecode.change.matched import AFTER, BEFORE, Matched
from routecode.circuit.circuit import Circuit
from routecode.circuit.parts import (
    Bond,
    Branch,
    CordEnd,
    Details,
    Kit,
    NormalJoint,
    PlacedBay,
    PlacedCord,
    PlacedSetup,
    PlacedUnit,
    Wire,
)
from routecode.circuit.plant import Plant

OTHER = {BEFORE: AFTER, AFTER: BEFORE}


class NotThereError(Exception):
    """A fact needs a place that this mixture has not. Never leaves this module."""


@define(eq=False)
class Mixture:
    """A circuit made of both sides. `channel`: shared channel -> its own; `node`: its own node -> shared."""

    circuit: Circuit
    channel: dict[int, int]
    node: dict[int, int]


def mixture(
    matched: Matched, facts: list[Fact], side: str, flipped: Collection[int], setup: str | None
) -> Mixture | None:
    """The circuit of `side` with the facts whose `id` is in `flipped` as on the other side; only one setup is made.

    None where these facts cannot stand alone.
    """
    maker = _Maker(matched, facts, side, frozenset(flipped), setup)
    try:
        return maker.make()
    except NotThereError:
        return None


@define(eq=False)
class _Maker:
    matched: Matched
    facts: list[Fact]
    side: str
    flipped: frozenset[int]
    setup: str | None
    plant: Plant = field(init=False)
    node: dict[int, int] = field(factory=dict)
    channel: dict[int, int] = field(factory=dict)

    def make(self) -> Mixture:
        """Put the plant together, in the order in which the compiler does."""
        self.plant = Plant(self.matched.plant(self.side).studio)
        for name, unit, side in self._units():
            self._unit(name, unit, side)
        for name, bay, side in self._bays():
            self._bay(name, bay, side)
        self._mults()
        self.plant.add_hubs()
        for wire in self._wires():
            self._wire(wire)
        self.plant.normals += self._normals()
        self.plant.routes.update(self._routes(None))
        self.plant.find_passive()
        self._setup()
        return Mixture(Circuit(self.plant), self.channel, {own: shared for shared, own in self.node.items()})

    def _of(self, *kinds: str) -> Iterator[tuple[Fact, Any]]:
        """The flipped facts of some kinds, with the value they get (None: they go)."""
        for fact in self.facts:
            if fact.kind in kinds and id(fact) in self.flipped and fact.setup in (None, self.setup):
                yield fact, fact.after if self.side == BEFORE else fact.before

    def _at(self, node: int) -> int:
        found = self.node.get(node)
        if found is None:
            raise NotThereError
        return found

    def _channel(self, channel: int) -> int:
        found = self.channel.get(channel)
        if found is None:
            raise NotThereError
        return found

    # -- units ----------------------------------------------------------------------------------------------------------

    def _units(self) -> Iterator[tuple[str, PlacedUnit, str]]:
        """(id as it reads after, unit, side it is taken from)."""
        sides = {side: self._named(side, "units") for side in (BEFORE, AFTER)}
        own, other = sides[self.side], sides[OTHER[self.side]]
        come = {fact.key[0]: value for fact, value in self._of("unit")}
        for name, unit in own.items():
            if name in come and name not in other:
                continue
            yield (name, *self._mixed(name, unit, other.get(name), name in come))
        for name, value in come.items():
            if name not in own and value is not None:
                yield name, other[name], OTHER[self.side]

    def _named(self, side: str, kind: str) -> dict[str, Any]:
        names = getattr(self.matched.identity, kind) if side == BEFORE else {}
        return {names.get(name, name): thing for name, thing in getattr(self.matched.plant(side), kind).items()}

    def _mixed(self, name: str, unit: PlacedUnit, other: PlacedUnit | None, moved: bool) -> tuple[PlacedUnit, str]:
        """A unit of this side with what is flipped of it (away, ports, insides), and the side whose ports it has."""
        if other is None:
            return unit, self.side
        away = (other if moved else unit).written.away
        all_of = [fact for fact in self.facts if fact.kind in ("port", "inside", "switch") and fact.key[0] == name]
        flipped = [fact for fact in all_of if id(fact) in self.flipped]
        if not flipped:
            return evolve(unit, written=evolve(unit.written, away=away)), self.side
        if len(flipped) == len(all_of):
            return evolve(other, written=evolve(other.written, away=away)), OTHER[self.side]
        if any(fact.kind != "inside" for fact in all_of):
            raise NotThereError
        return evolve(unit, written=evolve(unit.written, away=away), kit=self._kit(unit, other, flipped)), self.side

    def _kit(self, unit: PlacedUnit, other: PlacedUnit, flipped: list[Fact]) -> Kit:
        """The kit of a unit with some insides as the other side has them; both have the same ports."""
        if [one.name for one in unit.kit.sockets] != [one.name for one in other.kit.sockets]:
            raise NotThereError
        keys = {fact.key[1:] for fact in flipped}
        parts = {key: part for key, part in stated_insides(unit.kit).items() if key not in keys}
        parts |= {key: part for key, part in stated_insides(other.kit).items() if key in keys}
        branches = tuple(part for _, part in sorted(parts.items()) if isinstance(part, Branch))
        bonds = tuple(part for _, part in sorted(parts.items()) if isinstance(part, Bond))
        bonded = frozenset(end for bond in bonds for end in (bond.source, bond.target))
        return evolve(unit.kit, branches=branches, bonds=bonds, bonded=bonded)

    def _unit(self, name: str, unit: PlacedUnit, side: str) -> None:
        plant, families = self.plant, self.plant.family_names
        families += [socket.family for socket in unit.kit.sockets if socket.family not in families]
        kit = evolve(unit.kit, families=[families.index(socket.family) for socket in unit.kit.sockets])
        plant.add_unit(evolve(unit.written, id=name), kit)
        placed, matched = plant.units[name], self.matched
        for index in range(len(kit.sockets)):
            self.node[matched.shared_node(side, unit.first + index)] = placed.first + index
        for step in range(kit.offsets[-1]):
            self.channel[matched.shared_channel(side, unit.first_channel + step)] = placed.first_channel + step

    # -- bays and joints ------------------------------------------------------------------------------------------------

    def _bays(self) -> Iterator[tuple[str, PlacedBay, str]]:
        own, other = self._named(self.side, "bays"), self._named(OTHER[self.side], "bays")
        come = {fact.key[0]: value for fact, value in self._of("bay")}
        for name, bay in own.items():
            if name not in come:
                yield name, bay, self.side
        for name, value in come.items():
            if value is not None:
                yield name, other[name], OTHER[self.side]

    def _bay(self, name: str, bay: PlacedBay, side: str) -> None:
        first = len(self.plant.direction)
        self.plant.add_bay(evolve(bay, id=name, first=first, mults=[]))
        for step in range(bay.columns * bay.rows):
            self.node[self.matched.shared_node(side, bay.first + step)] = first + step

    def _mults(self) -> None:
        kept = {fact.key for fact, _ in self._of("mult")}
        stated = [
            (sorted(self.matched.shared_node(self.side, jack) for jack in jacks), at)
            for bay in self.matched.plant(self.side).bays.values()
            for jacks, at in bay.mults
        ]
        made = [(tuple(jacks), at) for jacks, at in stated if tuple(jacks) not in kept]
        made += [(fact.key, fact.place[1]) for fact, value in self._of("mult") if value is not None]
        for jacks, at in made:
            owns = tuple(self._at(jack) for jack in jacks)
            self.plant.bay_of(owns[0]).mults.append((owns, at))

    def _wires(self) -> Iterator[Wire]:
        changed = {fact.key: value for fact, value in self._of("cable")}
        for side in (self.side, OTHER[self.side]):
            for wire in self.matched.plant(side).wires:
                a, b = (self.matched.shared_node(side, end) for end in (wire.a, wire.b))
                key = (min(a, b), max(a, b))
                if (key in changed) == (side == self.side) or (key in changed and changed[key] is None):
                    continue
                if side == self.side or key in changed:
                    yield Wire(self._at(a), self._at(b), wire.table, wire.key, Details(wire.reversed, wire.front))

    def _wire(self, wire: Wire) -> None:
        plant = self.plant
        for node in (wire.a, wire.b):
            if node in plant.wire_at:
                plant.more_wires.setdefault(node, []).append(len(plant.wires))
            else:
                plant.wire_at[node] = len(plant.wires)
        plant.wires.append(wire)

    def _normals(self) -> Iterator[NormalJoint]:
        changed = {fact.key for fact, _ in self._of("normal")}
        bays = self.matched.identity.bays
        turned = {
            fact.key[0]
            for fact, _ in self._of("bay")
            if fact.before and fact.after and fact.before[1:] != fact.after[1:]
        }
        for side in (self.side, OTHER[self.side]):
            for normal in self.matched.plant(side).normals:
                key = (self.matched.shared_node(side, normal.source), self.matched.shared_node(side, normal.target))
                bay = bays.get(normal.bay, normal.bay) if side == BEFORE else normal.bay
                if (key in changed or bay in turned) == (side == self.side):
                    continue
                if not normal.rests and not self.node.keys() >= set(key):
                    continue  # a link plug that is out joins nothing, and its column is not here
                yield normal._replace(source=self._at(key[0]), target=self._at(key[1]), bay=bay)

    def _routes(self, setup: str | None) -> dict[tuple[int, int], Any]:
        changed = {fact.key: value for fact, value in self._of("route") if fact.setup == setup}
        found: dict[tuple[int, int], Any] = {}
        for side in (self.side, OTHER[self.side]):
            placed = self._placed(side, setup)
            routes = placed.routes if placed is not None else self.matched.plant(side).routes if setup is None else {}
            for (source, target), route in routes.items():
                key = (self.matched.shared_channel(side, source), self.matched.shared_channel(side, target))
                wanted = key not in changed if side == self.side else changed.get(key) is not None
                if wanted:
                    found[self._channel(key[0]), self._channel(key[1])] = route
        return found

    # -- the setup ------------------------------------------------------------------------------------------------------

    def _placed(self, side: str, setup: str | None) -> PlacedSetup | None:
        if setup is None:
            return None
        names = self.matched.identity.setups if side == BEFORE else {}
        return next(
            (one for name, one in self.matched.plant(side).setups.items() if names.get(name, name) == setup), None
        )

    def _setup(self) -> None:
        own = self._placed(self.side, self.setup)
        if own is None or self.setup is None:
            return
        placed = PlacedSetup(self.setup, own.written)
        placed.cords = tuple(self._cords())
        placed.routes = self._routes(self.setup)
        self._plugs(placed)
        self._positions(placed)
        self.plant.setups[self.setup] = placed

    def _both(self) -> Iterator[tuple[str, PlacedSetup, bool]]:
        for side in (self.side, OTHER[self.side]):
            placed = self._placed(side, self.setup)
            if placed is not None:
                yield side, placed, side == self.side

    def _cords(self) -> Iterator[PlacedCord]:
        changed = {fact.key[1:]: value for fact, value in self._of("cord")}
        for side, placed, own in self._both():
            for cord in placed.cords:
                if min(cord.a.node, cord.b.node) < 0:
                    continue
                a, b = (self.matched.shared_node(side, end.node) for end in (cord.a, cord.b))
                key = (min(a, b), max(a, b))
                if key not in changed if own else changed.get(key) is not None:
                    yield cord._replace(a=self._end(cord.a, a), b=self._end(cord.b, b))

    def _end(self, end: CordEnd, node: int) -> CordEnd:
        return end._replace(node=self._at(node))

    def _plugs(self, placed: PlacedSetup) -> None:
        changed = {fact.key[1]: value for fact, value in self._of("plug")}
        for side, setup, own in self._both():
            home = self.matched.plant(side)
            for jack, plug in setup.dummies.items():
                key = self.matched.shared_node(side, jack)
                if key not in changed if own else changed.get(key) is not None:
                    placed.dummies[self._at(key)] = plug
            for (bay, column), setting in setup.links.items():
                key = self.matched.shared_node(side, home.bays[bay].jack("bottom", column))
                if key not in changed if own else changed.get(key) is not None:
                    node = self._at(key)
                    there = self.plant.bay_of(node)
                    placed.links[there.id, there.place(node)[1]] = setting

    def _positions(self, placed: PlacedSetup) -> None:
        changed = {fact.key[1:]: value for fact, value in self._of("position")}
        for side, setup, own in self._both():
            names = self.matched.identity.units if side == BEFORE else {}
            for (unit, switch), setting in setup.positions.items():
                key = (names.get(unit, unit), switch)
                if key not in changed if own else changed.get(key) is not None:
                    if key[0] not in self.plant.units or switch not in self.plant.units[key[0]].kit.switches:
                        raise NotThereError
                    placed.positions[key] = setting
