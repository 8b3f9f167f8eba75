"""The studio while it is rewired: what stands, as keyed facts of which each step changes a few, and the text-free studio they make.

A fact is one circuit of a cable, one normal, one unit and so on, under names as they read after. What stands at any moment is a mapping of
facts; `Frame.studio` makes records of it that the ordinary compiler takes. Which steps there are is in `job_order`.
"""

from collections.abc import Callable, Iterator, Mapping
from functools import partial
from typing import Any, NamedTuple

from attrs import evolve, field, frozen

from routecode.change.difference import Compared
from routecode.change.identity import Identity
from routecode.circuit.again import compile_again
from routecode.circuit.circuit import Circuit, compile_studio
from routecode.circuit.parts import Details, PlacedBay, PlacedUnit, Wire
from routecode.circuit.plant import Plant
from routecode.ground.place import At
from routecode.hands.job_unit import plain_unit
from routecode.language.written import Bay, Cable, Column, Model, Mult, Normal, Route, Setup, Studio, Unit

Key = tuple[str, Any]
"""(kind, which one): `unit`, `bay`, `column`, `mult`, `jumper`, `link`, `route`, `phantom`, `away`."""
Standing = Mapping[Key, Any]
Edit = tuple[Key, Any]
"""A fact as it is from now on; None: it is no longer there."""

OFF = "powered down for the job"
NOWHERE = At("", ())


class Link(NamedTuple):
    """One circuit of a fixed cable, from `a` to `b`; `details` without statements; `split`: where all legs of its split begin."""

    a: str
    b: str
    details: Details
    split: str


def pair(a: str, b: str) -> tuple[str, str]:
    """The key of a circuit."""
    return (a, b) if a < b else (b, a)


def after(standing: Standing, edits: tuple[Edit, ...]) -> dict[Key, Any]:
    """What stands when some facts are edited."""
    made = dict(standing)
    for key, value in edits:
        if value is None:
            made.pop(key, None)
        else:
            made[key] = value
    return made


@frozen
class Frame:
    """What both sides share while the job lasts: models of both, rooms, racks, types of cable; names as they read after."""

    before: Plant
    after: Plant
    identity: Identity
    _records: dict[object, tuple[object, Any]] = field(factory=dict, eq=False, repr=False)
    """Records made so far, so that what stays is the same record in every state: it is compiled once."""
    _base: list[Circuit] = field(factory=list, eq=False, repr=False)

    def circuit(self, standing: Standing) -> Circuit | None:
        """The circuit of what stands, by the ordinary compiler, which resolves only what differs from an earlier state; None: it has none."""
        studio = self.studio(standing)
        found = compile_again(studio, self._base[0]) if self._base else None
        if found is None:
            found = compile_studio(studio)[0]
            self._base[:] = [] if found is None else [found]
        return found

    def _kept(self, key: object, of: object, make: Callable[[], Any]) -> Any:
        """The record made of something before, or made now. `of` is kept too, so that its place in memory stays its own."""
        found = self._records.get(key)
        if found is None:
            found = self._records[key] = (of, make())
        return found[1]

    def standing(self, plant: Plant) -> dict[Key, Any]:
        """The facts of one side."""
        return dict(_Reader(self, plant).facts())

    def model(self, plant: Plant, model: str | None) -> str | None:
        """Under which id a model of a side is kept: its own, or one of its own where the after side says something else."""
        if model is None:
            return None
        new = self.identity.others.get(("model", model), model) if plant is self.before else model
        mine, other = plant.studio.model.get(model), self.after.studio.model.get(new)
        if plant is self.after or (mine is not None and other is not None and evolve(mine, id=new) == other):
            return new
        return f"{model} (before)"

    def studio(self, standing: Standing, setups: Mapping[str, Setup] | None = None) -> Studio:
        """Records of what stands, for the compiler; acceptances are left out."""
        of: dict[str, list[tuple[Any, Any]]] = {}
        for (kind, key), value in standing.items():
            of.setdefault(kind, []).append((key, value))
        old, new = self.before.studio, self.after.studio
        models = {f"{name} (before)": self._old_model(name) for name in old.model}
        used = {unit.model for _, unit in of.get("unit", ())}
        return evolve(
            new,
            room={**old.room, **new.room},
            rack={**old.rack, **new.rack},
            signal={**old.signal, **new.signal},
            model={name: model for name, model in {**models, **new.model}.items() if name in used},
            unit=dict(sorted(self._units(of))),
            bay=dict(sorted(self._bays(of))),
            cable_type={**old.cable_type, **new.cable_type},
            setup=dict(setups or {}),
            cable=tuple(self._cables(value for _, value in sorted(of.get("link", ())))),
            normal=tuple(value for _, value in sorted(of.get("jumper", ()), key=lambda one: one[0])),
            route=tuple(value for _, value in sorted(of.get("route", ()), key=lambda one: one[0])),
            accept=(),
            allowed=None,
        )

    def _units(self, of: Mapping[str, list[tuple[Any, Any]]]) -> Iterator[tuple[str, Unit]]:
        phantom, away = dict(of.get("phantom", ())), dict(of.get("away", ()))
        for name, unit in of.get("unit", ()):
            on, gone = phantom.get(name, ()), away.get(name)
            make = partial(evolve, unit, phantom_on=on, away=gone)
            yield name, self._kept(("unit", name, id(unit), on, gone), unit, make)

    def _old_model(self, name: str) -> Model:
        made: Model = self._kept(
            ("model", name), None, lambda: evolve(self.before.studio.model[name], id=f"{name} (before)")
        )
        return made

    def _bays(self, of: Mapping[str, list[tuple[Any, Any]]]) -> Iterator[tuple[str, Bay]]:
        for name, bay, columns, mults in _bay_parts(of):
            key = ("bay", name, id(bay), columns, tuple(map(id, mults)))
            yield name, self._kept(key, (bay, mults), partial(_bay, bay, columns, mults))

    def _cables(self, links: Iterator[Link]) -> Iterator[Cable]:
        splits: dict[str, list[Link]] = {}
        for link in links:
            if link.split:
                splits.setdefault(link.split, []).append(link)
            else:
                yield self._kept(("link", id(link)), link, partial(_cable, link, ((link.a,),), ((link.b,),)))
        for trunk, legs in splits.items():
            yield self._kept(("split", trunk, *map(id, legs)), tuple(legs), partial(_split, trunk, legs))


Columns = tuple[tuple[int, str], ...]


def _bay_parts(of: Mapping[str, list[tuple[Any, Any]]]) -> Iterator[tuple[str, Bay, Columns, tuple[Mult, ...]]]:
    columns: dict[str, list[tuple[int, str]]] = {}
    for (bay, number), pattern in of.get("column", ()):
        columns.setdefault(bay, []).append((number, pattern))
    mults: dict[str, list[Mult]] = {}
    for (bay, _), mult in sorted(of.get("mult", ()), key=lambda one: one[0]):
        mults.setdefault(bay, []).append(mult)
    for name, bay in of.get("bay", ()):
        yield name, bay, tuple(sorted(columns.get(name, ()))), tuple(mults.get(name, ()))


def _bay(bay: Bay, columns: Columns, mults: tuple[Mult, ...]) -> Bay:
    key = "plug" if bay.normalling == "plugs" else "normal"
    made = tuple(Column(at=(number,), place=bay.place, **_pattern(key, pattern)) for number, pattern in columns)
    return evolve(bay, column=made, mult=mults)


def _pattern(key: str, pattern: str) -> dict[str, Any]:
    return {key: pattern}


def _split(trunk: str, legs: list[Link]) -> Cable:
    """The one statement of several legs."""
    turned = [leg if leg.a == trunk else _turned(leg) for leg in legs]
    numbers = [leg.details.number for leg in turned]
    cable = _cable(turned[0], ((trunk,),), tuple((leg.b,) for leg in turned))
    whole = None not in numbers and len(set(numbers)) == len(numbers)
    return evolve(cable, number=tuple(number for number in numbers if number)) if whole else cable


def _turned(link: Link) -> Link:
    other = {"a": "b", "b": "a"}
    details = link.details._replace(
        cold=other.get(link.details.cold or "", link.details.cold),
        shield=other.get(link.details.shield or "", link.details.shield),
        pins=tuple((carries, b, a) for carries, a, b in link.details.pins),
    )
    return Link(link.b, link.a, details, link.split)


def _cable(link: Link, from_: tuple[tuple[str, ...], ...], to: tuple[tuple[str, ...], ...]) -> Cable:
    details = link.details
    cold = {"a": "shield-at-from", "b": "shield-at-to"}.get(details.cold or "", details.cold)
    shield = {"a": "from", "b": "to"}.get(details.shield or "", details.shield)
    return Cable(
        number=(details.number,) if details.number else (),
        from_=from_,
        to=to,
        type=details.type,
        metres=details.metres,
        loom=details.loom,
        polarity="reversed" if details.reversed else None,
        cold=cold,
        shield=shield,
        pins=tuple(" ".join(row) for row in details.pins),
        front=details.front or None,
        place=NOWHERE,
    )


@frozen
class _Reader:
    """Reads the facts of one side, its names as they read after."""

    frame: Frame
    plant: Plant

    @property
    def _old(self) -> bool:
        return self.plant is self.frame.before

    def name(self, node: int) -> str:
        """A port or jack as it reads after."""
        return self.frame.identity.node_name(self.plant, node) if self._old else self.plant.name(node)

    def _other(self, kind: str, name: str | None) -> str | None:
        return self.frame.identity.others.get((kind, name or ""), name) if self._old else name

    def facts(self) -> Iterator[tuple[Key, Any]]:
        """All of them."""
        for unit in self.plant.units.values():
            yield from self._unit(unit)
        for bay in self.plant.bays.values():
            yield from self._bay(bay)
        for wire in self.plant.wires:
            link = self._link(wire)
            yield ("link", pair(link.a, link.b)), link
        for normal in self.plant.normals:
            if not normal.column:
                ends = (self.name(normal.source), self.name(normal.target))
                record = Normal(from_=(ends[0],), to=(ends[1],), breaks=normal.pattern, place=normal.table.place)
                yield ("jumper", (*ends, normal.pattern)), record
        for (source, target), route in self.plant.routes.items():
            names = tuple(self._read(self.plant.channel_name(channel)) for channel in (source, target))
            yield ("route", names), Route(from_=(names[0],), to=(names[1],), place=route.place)

    def _read(self, name: str) -> str:
        return self.frame.identity.read(name) if self._old else name

    def _unit(self, unit: PlacedUnit) -> Iterator[tuple[Key, Any]]:
        identity = self.frame.identity
        name = identity.units.get(unit.id, unit.id) if self._old else unit.id
        written, model = unit.written, self.frame.model(self.plant, unit.written.model)
        record = evolve(
            written,
            id=name,
            model=model,
            room=self._other("room", written.room),
            rack=self._other("rack", written.rack),
            phantom_on=(),
            away=None,
        )
        if self._old and identity.ports.get(
            name
        ):  # only the names differ: the after side's description holds from the start
            new = self.frame.after.units[name]
            same = set(map(self.name, unit)) == {f"{name}/{socket.name}" for socket in new.kit.sockets}
            record = (
                evolve(new.written, phantom_on=(), away=None)
                if same
                else plain_unit(record, unit.kit, identity.ports[name])
            )
        yield ("unit", name), record
        on = sorted(self.name(node).partition("/")[2] for node in unit if node in self.plant.phantom_on)
        if on:
            yield ("phantom", name), tuple(on)
        if written.away is not None:
            yield ("away", name), written.away

    def _bay(self, bay: PlacedBay) -> Iterator[tuple[Key, Any]]:
        name = self.frame.identity.bays.get(bay.id, bay.id) if self._old else bay.id
        written = bay.written
        yield (
            ("bay", name),
            evolve(
                written,
                id=name,
                room=self._other("room", written.room),
                rack=self._other("rack", written.rack),
                column=(),
                mult=(),
                normal=None,
            ),
        )
        if bay.rows == 2:
            yield from ((("column", (name, number)), bay.normals[number]) for number in range(1, bay.columns + 1))
        for jacks, at in bay.mults:
            names = tuple(self.name(jack).partition("/")[2] for jack in jacks)
            yield ("mult", (name, names)), Mult(at=names, place=at)

    def _link(self, wire: Wire) -> Link:
        details = wire.details._replace(said=(), split=0, type=self._other("cable_type", wire.type))
        return Link(self.name(wire.a), self.name(wire.b), details, self._trunk(wire))

    def _trunk(self, wire: Wire) -> str:
        """The place from which several legs of its split go; empty where it is in none."""
        for node in (wire.a, wire.b) if wire.split else ():
            if sum(other.split == wire.split for other in self.plant.wires_of(node)) > 1:
                return self.name(node)
        return ""


def frame_of(compared: Compared) -> Frame:
    """The frame of two sides compared."""
    return Frame(compared.before.plant, compared.after.plant, compared.identity)
