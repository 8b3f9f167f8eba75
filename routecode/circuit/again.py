"""A circuit made of another one that differs in a few tables: what both share is resolved once.

The answers are those of `compile_studio`. Only what keeps every number (ports, channels, jacks, mults) is done this way; for
everything else, and for every mistake, the answer is None and the studio is compiled as a whole.
"""

from collections.abc import Iterable

from routecode.circuit.bays import BayMaker
from routecode.circuit.cables import CableMaker
from routecode.circuit.circuit import Circuit
from routecode.circuit.dead import check_dead
from routecode.circuit.kits import KitMaker
from routecode.circuit.parts import Kit, NormalJoint, PlacedBay, PlacedUnit, Said, Wire
from routecode.circuit.plant import Plant
from routecode.circuit.problems import Problems
from routecode.circuit.restate import Edited
from routecode.circuit.setups import SetupMaker
from routecode.language.written import Cable, Column, Studio, Unit

MOST = 0.2
"""Share of the cables that may be touched; with more, nothing is won."""


def compile_again(studio: Studio, base: Circuit) -> Circuit | None:
    """The circuit of a studio that shares records with the studio of `base`; None where it must be compiled as a whole."""
    old = base.plant.studio
    alike = studio.model == old.model and studio.signal == old.signal and _places(studio) == _places(old)
    if not alike or list(studio.unit) != list(old.unit) or list(studio.bay) != list(old.bay):
        return None
    maker = _Again(base.plant, studio)
    edited = maker.make()
    return None if edited is None or maker.problems.mistakes else Circuit(maker.plant, (base, edited))


def _places(studio: Studio) -> list[object]:
    """Where models say what they do: kits remember it."""
    return [id(model) for model in studio.model.values()]


class _Again:
    """Makes one plant of another."""

    def __init__(self, base: Plant, studio: Studio) -> None:
        self.base = base
        self.studio = studio
        self.problems = Problems()
        self.plant = _with_numbers_of(base, studio)

    def make(self) -> Edited | None:
        """What was changed; None where the numbers change, or too much does."""
        units, bays = self._units(), self._bays()
        if units is None or bays is None:
            return None
        normals = self._normals(bays)
        wires = self._wires(bays)
        if wires is None:
            return None
        check_dead(self.plant, self.problems)
        if units:
            self.plant.find_passive()
        else:
            self.plant.passive = self.base.passive
            self.plant.share_units(self.base)
        SetupMaker(self.plant, self.problems).make()
        remade = {bay for bay in bays if _made_of_words(self.base.bays[bay]) != _made_of_words(self.plant.bays[bay])}
        return Edited(*_wires_otherwise(*wires), *_normals_otherwise(*normals, remade), frozenset(units))

    # -- units ----------------------------------------------------------------------------------------------------------

    def _units(self) -> list[str] | None:
        """Put the units in; the ids of those that are described otherwise."""
        plant, changed = self.plant, []
        kits = KitMaker(plant, self.problems)
        kits.family_numbers = {name: number for number, name in enumerate(plant.family_names)}
        for unit, placed in zip(self.studio.unit.values(), self.base.units.values(), strict=True):
            plant.units[unit.id] = placed
            if unit is placed.written or _stands_as_it_did(unit, placed.written):
                continue
            kit = self._kit(unit, placed, kits)
            if kit is None:
                return None
            changed.append(unit.id)
            plant.units[unit.id] = PlacedUnit(unit.id, unit, kit, placed.first, placed.first_channel)
        plant._unit_list = list(plant.units.values())
        return changed

    def _kit(self, unit: Unit, placed: PlacedUnit, kits: KitMaker) -> Kit | None:
        """The kit of a unit that is described otherwise, if it has the same ports in the same places."""
        if unit.model == placed.written.model and not _has_own(unit) and not _has_own(placed.written):
            return placed.kit
        old, new = placed.kit, kits.kit(unit)
        same = list(old.index) == list(new.index) and old.directions == new.directions
        return new if same and old.families == new.families and old.offsets == new.offsets else None

    # -- bays -----------------------------------------------------------------------------------------------------------

    def _bays(self) -> dict[str, PlacedBay] | None:
        """Put the bays in; those that are described otherwise, as they were."""
        changed: dict[str, PlacedBay] = {}
        self.maker = BayMaker(self.plant, self.problems)
        for bay, placed in zip(self.studio.bay.values(), self.base.bays.values(), strict=True):
            self.plant.bays[bay.id] = placed
            if bay is placed.written:
                continue
            if (bay.columns, bay.rows) != (placed.columns, placed.rows):
                return None
            changed[bay.id] = placed
            made = self.plant.bays[bay.id] = self.maker.empty(bay, placed.first)
            self.maker.fill(made)
            if [jacks for jacks, _ in made.mults] != [jacks for jacks, _ in placed.mults]:
                return None
        self.plant._bay_list = list(self.plant.bays.values())
        return changed

    def _normals(self, changed: dict[str, PlacedBay]) -> tuple[list[NormalJoint], list[NormalJoint]]:
        """Put the normals in; those that are gone and those that come. The changed bays' own are in the plant already."""
        come = self.plant.normals
        same = _identical(self.studio.normal, self.base.studio.normal)
        if not same:
            come += self.maker.explicit_normals()
        gone: list[NormalJoint] = []
        kept: list[NormalJoint] = []
        for normal in self.base.normals:
            stale = normal.bay in changed if normal.column else not same
            (gone if stale else kept).append(normal)
        self.plant.normals = [*kept, *come]
        return gone, list(come)

    # -- cables ---------------------------------------------------------------------------------------------------------

    def _wires(self, bays: dict[str, PlacedBay]) -> tuple[list[Wire], list[Wire]] | None:
        """Put the cables in: those whose statements all stand as they did, and the others stated again."""
        new = {id(cable) for cable in self.studio.cable}
        stale = {id(cable) for cable in self.base.studio.cable if id(cable) not in new}
        stale.update(id(column) for bay in bays.values() for column in bay.written.column)
        old = {id(cable) for cable in self.base.studio.cable}
        fresh = {id(cable) for cable in self.studio.cable if id(cable) not in old}
        while True:
            self._spread(stale)
            gone = [
                index
                for index, wire in enumerate(self.base.wires)
                if id(wire.table) in stale or (wire.details.said and _said_again_by(wire, stale))
            ]
            if len(gone) > MOST * len(self.base.wires) + 1000:
                return None
            more = self._state_again(gone, stale, fresh)
            if not more:
                break
            stale |= more
        first = len(self.base.wires) - len(gone)
        return [self.base.wires[index] for index in gone], self.plant.wires[first:]

    def _spread(self, stale: set[int]) -> None:
        """A table that states a cable together with a stale one is stated again too, whole."""
        several = [{id(said.table) for said in wire.said} for wire in self.base.wires if wire.details.said]
        count = -1
        while count != len(stale):
            count = len(stale)
            for tables in several:
                if not tables.isdisjoint(stale):
                    stale |= tables

    def _state_again(self, gone: list[int], stale: set[int], fresh: set[int]) -> set[int]:
        """State what is stale or fresh on top of what stays; the tables that turn out to state a cable that stays."""
        plant, base = self.plant, self.base
        plant.wires, plant.wire_at = list(base.wires), dict(base.wire_at)
        plant.more_wires = {node: list(more) for node, more in base.more_wires.items()}
        for index in reversed(gone):
            _take_out(plant, index)
        cables = _Restating(plant, self.problems, len(plant.wires))
        cables.splits = max((wire.split for wire in base.wires), default=0)
        kept = {id(column) for bay in plant.bays.values() for column in bay.written.column if id(column) in stale}
        forms = [*self.maker.short_forms, *self._columns_again(kept)]
        cables.short_forms(sorted(forms, key=lambda form: plant.bay_of(form[1]).first))  # as if all bays were placed
        for cable in self.studio.cable:
            if id(cable) in fresh or id(cable) in stale:
                cables.cable(cable)
        return cables.met

    def _columns_again(self, columns: set[int]) -> Iterable[tuple[str, int, Column, str]]:
        """The short forms of stale columns of bays that stand as they did."""
        if not columns:
            return []
        aside = BayMaker(_with_numbers_of(self.base, self.studio), Problems())
        aside.plant.units, aside.plant.bays = self.plant.units, self.plant.bays
        for bay in self.plant.bays.values():
            if any(id(column) in columns for column in bay.written.column):
                aside.fill(aside.empty(bay.written, bay.first))
        return [form for form in aside.short_forms if id(form[2]) in columns]


class _Restating(CableMaker):
    """States cables on top of others that must not be touched: what meets one of those is remembered."""

    def __init__(self, plant: Plant, problems: Problems, kept: int) -> None:
        super().__init__(plant, problems)
        self.kept = {id(wire) for wire in plant.wires[:kept]}
        self.met: set[int] = set()
        """Tables that state a cable which was to stay."""

    def again(
        self, wire: Wire, said: Said, cable: Cable | None, number: str | None, split: int, *, from_b: bool
    ) -> None:
        """A second statement of a cable."""
        if id(wire) in self.kept:
            self.met.update(id(one.table) for one in wire.said)
        else:
            super().again(wire, said, cable, number, split, from_b=from_b)


def _wires_otherwise(gone: list[Wire], come: list[Wire]) -> tuple[list[Wire], list[Wire]]:
    """Cables taken out and put in, without those of which both say the same: most of a bay that is stated again."""
    old = {(wire.a, wire.b): wire for wire in gone}
    alike = set()
    for wire in come:
        ends = (wire.a, wire.b)
        other = old.get(ends)
        if other is not None and wire.key == other.key and wire.details == other.details:
            alike.add(ends)
    return [one for one in gone if (one.a, one.b) not in alike], [one for one in come if (one.a, one.b) not in alike]


def _normals_otherwise(
    gone: list[NormalJoint], come: list[NormalJoint], bays: set[str]
) -> tuple[list[NormalJoint], list[NormalJoint]]:
    """The same of normals; those of `bays` that make something else of the same words are all otherwise."""
    sides: list[dict[tuple[int, int], list[object]]] = []
    for listed in (gone, come):
        by_pair: dict[tuple[int, int], list[object]] = {}
        for normal in listed:
            said = id(normal) if normal.bay in bays else normal[:_WHO_SAYS]
            by_pair.setdefault(normal[:2], []).append(said)
        sides.append(by_pair)
    old, new = sides
    alike = {places for places, said in old.items() if new.get(places) == said}
    return [one for one in gone if one[:2] not in alike], [one for one in come if one[:2] not in alike]


_WHO_SAYS = NormalJoint._fields.index("table")


def _with_numbers_of(base: Plant, studio: Studio) -> Plant:
    """An empty plant with the numbers of another."""
    plant = Plant(studio, family_names=list(base.family_names), ports=base.ports, hubs=base.hubs)
    plant.direction, plant.family, plant.channels = base.direction, base.family, base.channels
    plant.first_channel, plant.hub_jacks = base.first_channel, base.hub_jacks
    plant._unit_starts, plant._bay_starts = base._unit_starts, base._bay_starts
    return plant


def _made_of_words(bay: PlacedBay) -> tuple[bool, str]:
    """What decides what the word of a normal means in a bay."""
    return bay.plugs, bay.destination_row


def _stands_as_it_did(unit: Unit, old: Unit) -> bool:
    """Whether a unit says the same in the same place: its tables too then, since all of it is in one file."""
    return unit.place == old.place and unit.elsewhere is None and old.elsewhere is None and unit == old


def _has_own(unit: Unit) -> bool:
    return bool(unit.port or unit.inside or unit.switch or unit.multipin)


def _identical(some: Iterable[object], others: Iterable[object]) -> bool:
    return list(map(id, some)) == list(map(id, others))


def _said_again_by(wire: Wire, tables: set[int]) -> bool:
    return any(id(said.table) in tables for said in wire.details.said)


def _take_out(plant: Plant, index: int) -> None:
    """Take a cable out; the last one takes its number."""
    _unlist(plant, plant.wires[index], index)
    last = plant.wires.pop()
    if index < len(plant.wires):
        _unlist(plant, last, len(plant.wires))
        plant.wires[index] = last
        for node in (last.a, last.b):
            _list(plant, node, index)


def _unlist(plant: Plant, wire: Wire, index: int) -> None:
    for node in (wire.a, wire.b):
        if plant.wire_at[node] != index:
            plant.more_wires[node].remove(index)
            if not plant.more_wires[node]:
                del plant.more_wires[node]
            continue
        first, *more = plant.more_wires.pop(node, ()) or (-1,)
        if first < 0:
            del plant.wire_at[node]
        else:
            plant.wire_at[node] = first
            if more:
                plant.more_wires[node] = more


def _list(plant: Plant, node: int, index: int) -> None:
    if node in plant.wire_at:
        plant.more_wires.setdefault(node, []).append(index)
    else:
        plant.wire_at[node] = index
