"""The operations of a rewiring, each with the facts it edits and the operations that must come before it. Their order is in `job_order`."""

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from routecode.circuit.plant import PlacedUnit, Plant
from routecode.ground.order import natural
from routecode.hands.job_cables import UNPLUGGED, Side, Work, works
from routecode.hands.job_state import Edit, Frame, Key, Standing

LIFT, LAY = "lift", "lay"
CUT, MAKE = "cut", "make"
"""A normal that goes, one that comes."""
OUT, PUT, EXCHANGE, ALTER, MOVE = "out", "in", "exchange", "alter", "move"
THINGS = (OUT, PUT, EXCHANGE, ALTER, MOVE)
BORROWED, BACK = "sent away", "back again"
SET, TURN, WRITTEN, LABEL = "set", "turn", "written", "label"
"""A route or phantom setting; a switch that rests otherwise; what only the text says otherwise; a label."""


class Op(NamedTuple):
    """One operation: `facts` are the keys it is about, `touches` the ports and jacks at which hands are, `needs` what comes before it."""

    kind: str
    edits: tuple[Edit, ...]
    touches: tuple[str, ...]
    owner: str
    """The unit or bay it is at; of a cable its first end's."""
    work: Work | None = None
    needs: frozenset[int] = frozenset()


class Todo(NamedTuple):
    """All that is to be done between two sides."""

    before: Standing
    after: Standing
    works: tuple[Work, ...]
    staying: tuple[tuple[Side, Side], ...]
    ops: tuple[Op, ...]


def todo(frame: Frame) -> Todo:
    """The operations from one side to the other."""
    before, after = frame.standing(frame.before), frame.standing(frame.after)
    done, staying = works(frame)
    maker = _Maker(frame, before, after, tuple(done), tuple(staying))
    return Todo(before, after, tuple(done), tuple(staying), tuple(maker.ops()))


class _Maker(NamedTuple):
    frame: Frame
    before: Standing
    after: Standing
    works: tuple[Work, ...]
    staying: tuple[tuple[Side, Side], ...]

    def ops(self) -> list[Op]:
        """All of them, with what each needs."""
        things, freed = self._things()
        made = [*self._cables(freed), *things, *self._normals(things), *self._settings()]
        covered = {key for op in made for key, _ in op.edits}
        made += self._written(covered)
        return list(_with_needs(made, self.before, self.after))

    def _differs(self, kind: str) -> list[Any]:
        keys = {
            key for key in (*self.before, *self.after) if key[0] == kind and self.before.get(key) != self.after.get(key)
        }
        return sorted((key[1] for key in keys), key=lambda one: natural(str(one)))

    def _edit(self, key: Key) -> Edit:
        return key, self.after.get(key)

    # -- cables ---------------------------------------------------------------------------------------------------------

    def _cables(self, freed: frozenset[str]) -> Iterator[Op]:
        for work in (*self.works, *self._unplugged(freed)):
            links = self.after
            if work.off:
                edits = tuple((("link", key), None) for key in work.off)
                yield Op(LIFT, edits, _places(work.off), _owner(work), work)
            if work.on:
                laid = tuple((("link", key), links[("link", key)]) for key in work.on)
                yield Op(LAY, laid, _places(work.on), _owner(work), work)
            if not work.off and not work.on:
                both = tuple(self._edit(("link", key)) for key in work.new.keys) if work.new else ()
                yield Op(LABEL, both, (), _owner(work), work)

    def _unplugged(self, freed: frozenset[str]) -> Iterator[Work]:
        """Cables that stay, at units and bays that are exchanged or moved: off, and back where they were."""
        for old, new in self.staying:
            busy = {key for work in self.works if work.old is old for key in (*work.off, *work.on)}
            kept = [
                key for key in old.keys if key in new.keys and key not in busy and not freed.isdisjoint(map(_head, key))
            ]
            if kept:
                lifts = tuple(index for index, key in enumerate(old.keys) if key in kept)
                lays = tuple(index for index, key in enumerate(new.keys) if key in kept)
                yield Work(UNPLUGGED, old, new, lifts, lays)

    # -- units and bays -------------------------------------------------------------------------------------------------

    def _things(self) -> tuple[list[Op], frozenset[str]]:
        """What is done to units and bays; those of them from which every cable comes off meanwhile."""
        found: list[Op] = []
        freed: set[str] = set()
        for kind in ("unit", "bay"):
            for name in self._differs(kind):
                what = self._what(kind, self.before.get((kind, name)), self.after.get((kind, name)), name)
                if what is None:
                    continue
                freed |= {name} if what in (EXCHANGE, MOVE) else set()
                found.append(Op(what, tuple(self._thing_edits(kind, name, what)), (), name))
        for name in self._differs("away"):
            if ("unit", name) in self.before and ("unit", name) in self.after:
                kind = BORROWED if ("away", name) in self.after else BACK
                found.append(Op(kind, (self._edit(("away", name)),), (), name))
                freed |= set()
        return found, frozenset(freed)

    def _thing_edits(self, kind: str, name: str, what: str) -> Iterator[Edit]:
        yield self._edit((kind, name))
        if kind == "unit":
            if what == OUT:
                yield from (((each, name), None) for each in ("phantom", "away") if (each, name) in self.before)
            return
        for key in sorted((key for key in {*self.before, *self.after} if key[0] in ("column", "mult")), key=str):
            here = key[1][0] == name and self.before.get(key) != self.after.get(key)
            only_one = key not in self.before or key not in self.after
            if here and (what in (OUT, PUT, EXCHANGE) or (only_one and key[0] == "column")):
                yield self._edit(key)

    def _what(self, kind: str, old: Any, new: Any, name: str) -> str | None:
        """What the hands do to a unit or bay that is written otherwise; None: nothing."""
        if old is None or new is None:
            return PUT if old is None else OUT
        if kind == "unit":
            made = self._unit_kind(old, new, name)
        else:
            keys = ("rows", "sources", "normalling", "contact")
            other = any(getattr(old, key) != getattr(new, key) and getattr(old, key) is not None for key in keys)
            made = EXCHANGE if other else ALTER if old.columns != new.columns else None
        places = [(one.room, one.rack) for one in (old, new)]
        moved = (places[0] != places[1] and all(map(any, places))) or _shifted(old.at_u, new.at_u)
        return made or (MOVE if moved and not new.portable else TURN if kind == "unit" and self._turned(name) else None)

    def _turned(self, name: str) -> bool:
        old, new = (_placed(plant, self.frame, name) for plant in (self.frame.before, self.frame.after))
        return old is not None and new is not None and bool(turned(old, new))

    def _unit_kind(self, old: Any, new: Any, name: str) -> str | None:
        one, other = (_placed(plant, self.frame, name) for plant in (self.frame.before, self.frame.after))
        models = [(evolve_id(model), bool(model)) for model in (old.model, new.model)]
        if models[0] != models[1] and all(has for _, has in models):
            return EXCHANGE
        if (
            one is None
            or other is None
            or _sockets(one, self.frame.identity.ports.get(name, {})) == _sockets(other, {})
        ):
            return None
        return ALTER

    # -- normals and settings -------------------------------------------------------------------------------------------

    def _normals(self, things: list[Op]) -> Iterator[Op]:
        covered = {key for op in things for key, _ in op.edits}
        for bay, number in sorted((key for key in self._differs("column")), key=lambda one: (natural(one[0]), one[1])):
            key = ("column", (bay, number))
            if key not in covered:
                new, record = self.after.get(key), self.before[("bay", bay)]
                weak = new in (None, "none") or (record.normalling == "plugs" and new != _breaks(record))
                touches = (f"{bay}/top {number}", f"{bay}/bottom {number}")
                yield Op(CUT if weak else MAKE, (self._edit(key),), touches, bay)
        for kind in ("mult", "jumper"):
            for key in self._differs(kind):
                if (kind, key) not in covered:
                    jacks = tuple(f"{key[0]}/{jack}" for jack in key[1])
                    at = jacks if kind == "mult" else tuple(key[:2])
                    gone = (kind, key) not in self.after
                    yield Op(CUT if gone else MAKE, (self._edit((kind, key)),), at, _head(at[0]))

    def _settings(self) -> Iterator[Op]:
        for key in self._differs("route"):
            yield Op(SET, (self._edit(("route", key)),), key, _head(key[0]))
        for name in self._differs("phantom"):
            if ("unit", name) in self.after:
                yield Op(SET, (self._edit(("phantom", name)),), (), name)

    def _written(self, covered: set[Key]) -> Iterator[Op]:
        """Facts that differ and ask for nothing: the text says more, or corrects itself."""
        keys = {key for key in (*self.before, *self.after) if self.before.get(key) != self.after.get(key)} - covered
        edits = tuple(
            self._edit(key) for key in sorted(keys, key=str) if key[0] in ("unit", "bay", "link", "mult", "away")
        )
        if edits:
            yield Op(WRITTEN, edits, (), "")


def evolve_id(model: str | None) -> str:
    """A model's id without the mark of the side it is kept from."""
    return (model or "").removesuffix(" (before)")


def _shifted(old: int | None, new: int | None) -> bool:
    return old is not None and new is not None and old != new


def _breaks(bay: Any) -> str:
    return "bottom" if bay.sources == "top" else "top"


def _sockets(unit: PlacedUnit, names: Mapping[str, str]) -> tuple[object, ...]:
    """What of a unit is there to be touched: sockets with their connectors, what is joined inside, switches; names as they read after."""
    kit = unit.kit
    called = [names.get(socket.name, socket.name) for socket in kit.sockets]
    sockets = sorted(
        (name, socket.direction, socket.written.connector or "")
        for name, socket in zip(called, kit.sockets, strict=True)
    )
    bonds = sorted((called[bond.source], called[bond.target], bond.reversed) for bond in kit.bonds)
    return tuple(sockets), tuple(bonds), tuple(sorted(kit.switches))


def turned(old: PlacedUnit, new: PlacedUnit) -> list[tuple[str, str, str]]:
    """The switches of a unit that rest otherwise: name, where they stood, where they go."""
    before = old.kit.switches
    return [
        (name, before[name][0], positions[0])
        for name, positions in new.kit.switches.items()
        if name in before and before[name][0] != positions[0]
    ]


def _placed(plant: Plant, frame: Frame, name: str) -> PlacedUnit | None:
    if plant is frame.before:
        back = {new: old for old, new in frame.identity.units.items()}
        return plant.units.get(back.get(name, name))
    return plant.units.get(name)


def _head(name: str) -> str:
    return name.partition("/")[0]


def _places(keys: tuple[tuple[str, str], ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(name for key in keys for name in key))


def _owner(work: Work) -> str:
    side = work.old or work.new
    assert side is not None
    return _head(side.pairs[0][0])


# -- what comes before what ----------------------------------------------------------------------------------------------


class _Firsts(NamedTuple):
    """What may have to come first: lifts by the place they free, all that goes by its unit or bay, work on things, lifts by their work."""

    lifts: dict[str, list[int]]
    goes: dict[str, list[int]]
    things: dict[str, list[int]]
    off: dict[int, int]


def _with_needs(ops: list[Op], before: Standing, after: Standing) -> Iterator[Op]:
    """Each operation with the numbers of those that must be done first; never more than the hands need."""
    firsts = _firsts(ops)
    kept = {name for name in firsts.things if ("unit", name) in before and ("unit", name) in after}
    for op in ops:
        needs: set[int] = set()
        if op.kind in THINGS:
            needs.update(firsts.goes.get(op.owner, ()) if op.kind != PUT else ())
        elif op.kind in (LAY, MAKE, SET) and any(value is not None for _, value in op.edits):
            for name in op.touches:
                needs.update(firsts.things.get(_head(name), ()))
                needs.update(firsts.lifts.get(name, ()) if op.kind == LAY else ())
            needs.update(firsts.things.get(op.owner, ()) if op.owner in kept or op.kind == SET else ())
            needs.update({firsts.off[id(op.work)]} if id(op.work) in firsts.off else ())
        yield op._replace(needs=frozenset(needs))


def _firsts(ops: list[Op]) -> _Firsts:
    made = _Firsts({}, {}, {}, {})
    for index, op in enumerate(ops):
        clears = op.kind == SET and all(value is None for _, value in op.edits)
        for name in op.touches if op.kind in (LIFT, CUT) or clears else ():
            made.goes.setdefault(_head(name), []).append(index)
        if op.kind == LIFT:
            made.off[id(op.work)] = index
            for name in op.touches:
                made.lifts.setdefault(name, []).append(index)
        if op.kind in THINGS:
            made.things.setdefault(op.owner, []).append(index)
    return made
