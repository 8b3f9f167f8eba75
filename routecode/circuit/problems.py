"""The mistakes that resolving names can find, said once."""

from collections import Counter
from collections.abc import Iterable

from attrs import define, field

from routecode.circuit.plant import Kit, Plant
from routecode.ground.finding import Mistake
from routecode.ground.nearest import nearest
from routecode.ground.place import At
from routecode.language.written import Bay, Unit

MOST_PLACES = 8_000_000
MOST_CHANNELS = 16_000_000
MOST_ALIKE = 3
MOST_PAIRS = 250_000
"""Most pairs that the insides of one model or unit may have: a matrix of 500 by 500."""


@define
class Problems:
    """Collects mistakes while a studio is resolved."""

    mistakes: list[Mistake] = field(factory=list)
    alike: Counter[tuple[str, At]] = field(factory=Counter)

    def add(
        self, fault: str, text: str, at: At, do: str = "", why: str = "", also: tuple[tuple[str, At], ...] = ()
    ) -> None:
        """One more."""
        self.mistakes.append(Mistake(fault, text, at, why, do, also))

    def enough(self, fault: str, at: At) -> bool:
        """Whether MOST_ALIKE unknown names of one field are told already: a range can hold thousands of them."""
        self.alike[fault, at] += 1
        if self.alike[fault, at] <= MOST_ALIKE:
            return False
        self.add(fault, "Unknown names in this field: more of them than are told here.", at, do="Check the range.")
        return True

    def room_for(self, kitted: Iterable[tuple[Unit, Kit]], bays: Iterable[Bay]) -> bool:
        """Whether all units and bays are within what can be held; a mistake where not."""
        places = channels = 0
        for unit, kit in kitted:
            places += len(kit.sockets)
            channels += kit.offsets[-1]
            if places > MOST_PLACES or channels > MOST_CHANNELS:
                return self._too_large(f"unit {unit.id}", unit.place)
        for bay in bays:
            places += (bay.columns or 0) * bay.rows
            if places > MOST_PLACES:
                return self._too_large(f"bay {bay.id}", bay.place)
        return True

    def _too_large(self, subject: str, at: At) -> bool:
        self.add(
            "too-large",
            f"A studio holds at most {MOST_PLACES:,} ports and jacks and {MOST_CHANNELS:,} channels; with {subject} it has more.",
            at,
            do="Check ranges, columns and channel counts; a studio this large is several studios.",
        )
        return False

    def unequal(self, left: str, left_count: int, right: str, right_count: int, at: At) -> None:
        """Two sides that should pair one to one do not."""
        self.add(
            "unequal-lengths",
            f"{left} names {left_count} and {right} names {right_count}; they pair one to one.",
            at,
            do="Make both sides the same length.",
        )

    def unknown_place(self, plant: Plant, name: str, at: At, *, wanted: str = "place") -> None:
        """A name that is no place of this studio; says what is nearest."""
        if self.enough("unknown-name", at):
            return
        head, slash, rest = name.partition("/")
        stem, mark, _ = name.rpartition(" ch ")
        if mark and plant.node(stem) is not None:
            do = f"Cables, columns and cords join whole ports: write {stem}."
        elif not slash:
            do = "Write unit/port, or bay/top 1."
        elif head in plant.units:
            unit = plant.units[head]
            near = nearest(rest, unit.kit.index)
            do = f"Did you mean {head}/{near}?" if near else f"The ports of {head} are: {_some(unit.kit.index)}."
        elif head in plant.bays:
            bay = plant.bays[head]
            form = (
                f"{head}/1 to {head}/{bay.columns}" if bay.rows == 1 else f"{head}/top 1 to {head}/bottom {bay.columns}"
            )
            do = f"The jacks of {head} are {form}."
        else:
            near = nearest(head, [*plant.units, *plant.bays])
            do = f"Did you mean {near}/{rest}?" if near else "Declare the unit or bay, or correct the name."
        self.add("unknown-name", f"There is no {wanted} {name}.", at, do=do)


def _some(names: dict[str, int]) -> str:
    listed = list(names)
    return ", ".join(listed[:8]) + (" and more" if len(listed) > 8 else "")
