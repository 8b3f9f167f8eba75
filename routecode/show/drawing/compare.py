"""Both sides of a drawing in one: every unit, column and joint of either, marked as same, new, gone or changed."""

from enum import Enum

from attrs import frozen

from routecode.change.guess import identity_of
from routecode.circuit.circuit import Circuit
from routecode.show.drawing.facts import BayFacts, End, Joint, Normal, Side, UnitFacts, side

_NO_NORMAL = Normal("none", False)


class Mark(Enum):
    """What became of something; the value is the word on the drawing."""

    SAME = ""
    NEW = "new"
    GONE = "gone"
    CHANGED = "changed"

    @property
    def was(self) -> bool:
        """Whether it is there before."""
        return self is not Mark.NEW

    @property
    def is_(self) -> bool:
        """Whether it is there after."""
        return self is not Mark.GONE


@frozen
class Joined:
    """A joint of either side, with its mark and what each side says of it."""

    kind: str
    a: End
    b: End
    mark: Mark
    number: str
    traits: tuple[str, ...]


@frozen
class Column:
    """A column of either side."""

    mark: Mark
    before: Normal
    after: Normal
    reserved: bool


@frozen
class Both:
    """The union of two sides, or one side alone (then everything is the same)."""

    before: Side
    after: Side
    joints: tuple[Joined, ...]
    compared: bool

    def unit(self, name: str) -> tuple[UnitFacts | None, UnitFacts | None]:
        """What both sides say of a unit."""
        return self.before.units.get(name), self.after.units.get(name)

    def bay(self, name: str) -> tuple[BayFacts | None, BayFacts | None]:
        """What both sides say of a bay."""
        return self.before.bays.get(name), self.after.bays.get(name)

    def mark(self, name: str) -> Mark:
        """The mark of a unit or a bay as a whole."""
        if name in self.before.units or name in self.after.units:
            return _mark(*self.unit(name))
        before, after = self.bay(name)
        if before is None or after is None:
            return _mark(before, after)
        said = [(bay.title, bay.room, bay.note, bay.rows, bay.source_row, bay.columns) for bay in (before, after)]
        return _mark(*said)

    def column(self, bay: str, number: int) -> Column:
        """A column of a bay, from 1."""
        before, after = self.bay(bay)
        was = before.normals.get(number) if before else None
        now = after.normals.get(number) if after else None
        reserved = bool((after and number in after.reserved) or (before and number in before.reserved))
        return Column(_mark(was, now), was or _NO_NORMAL, now or _NO_NORMAL, reserved)

    def columns(self, bay: str) -> int:
        """How many columns a bay has on the longer side."""
        return max(found.columns for found in self.bay(bay) if found is not None)

    def upper_row(self, bay: str) -> str:
        """The row of the sources, which is drawn above; `single` on one-row bays."""
        before, after = self.bay(bay)
        found = after or before
        assert found is not None
        return "single" if found.rows == 1 else found.source_row

    @property
    def bays(self) -> list[str]:
        """The ids of all bays, sorted."""
        return sorted({*self.before.bays, *self.after.bays})

    @property
    def units(self) -> list[str]:
        """The ids of all units, sorted."""
        return sorted({*self.before.units, *self.after.units})


def _mark(before: object | None, after: object | None) -> Mark:
    if before is None:
        return Mark.NEW
    if after is None:
        return Mark.GONE
    return Mark.SAME if before == after else Mark.CHANGED


def compared(before: Circuit | None, after: Circuit, setup: str | None, *, guessing: bool = True) -> Both:
    """Both studios in one state, in one; `before` None: one studio alone. A setup that one side lacks is unpatched there."""
    now = side(after, _there(after, setup))
    if before is None:
        return Both(now, now, _joints(now, now), False)
    was = side(before, _there(before, setup), renamed(before, after, guessing=guessing))
    return Both(was, now, _joints(was, now), True)


def _there(circuit: Circuit, setup: str | None) -> str | None:
    return setup if setup in circuit.plant.setups else None


def renamed(before: Circuit, after: Circuit, *, guessing: bool = True) -> dict[str, str]:
    """Old id -> new id of units, bays and rooms that are called otherwise, as `diff` takes them; with `guessing` probable ones too."""
    identity = identity_of(before.plant, after.plant, guessing=guessing)
    rooms = {old: new for (kind, old), new in identity.others.items() if kind == "room"}
    return {**rooms, **identity.bays, **identity.units}


def _joints(before: Side, after: Side) -> tuple[Joined, ...]:
    was = {joint.key: joint for joint in before.joints}
    now = {joint.key: joint for joint in after.joints}
    return tuple(_joined(was.get(key), now.get(key)) for key in sorted({*was, *now}))


def _joined(was: Joint | None, now: Joint | None) -> Joined:
    mark = _mark(was and was.traits, now and now.traits) if was and now else _mark(was, now)
    found = now or was
    assert found is not None
    return Joined(found.kind, found.a, found.b, mark, found.number, found.traits)
