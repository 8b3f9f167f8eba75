"""The mistakes that resolving names can find, said once."""

from attrs import define, field

from routecode.circuit.plant import Kit, Plant
from routecode.ground.finding import Mistake
from routecode.ground.nearest import nearest
from routecode.ground.place import At
from routecode.language.written import Unit

MOST_PORTS = 4_000_000
MOST_CHANNELS = 16_000_000
MOST_PAIRS = 250_000
"""Most pairs that the insides of one model or unit may have: a matrix of 500 by 500."""


@define
class Problems:
    """Collects mistakes while a studio is resolved."""

    mistakes: list[Mistake] = field(factory=list)

    def add(self, id: str, text: str, at: At, do: str = "", why: str = "", also: tuple[tuple[str, At], ...] = ()) -> None:  # noqa: A002
        """One more."""
        self.mistakes.append(Mistake(id, text, at, why, do, also))

    def room_for(self, plant: Plant, unit: Unit, kit: Kit) -> bool:
        """Whether one more unit keeps the studio within what can be held; a mistake where not."""
        ports = plant.ports + len(kit.sockets)
        last = plant.first_channel[-1] + plant.channels[-1] if plant.first_channel else 0
        if ports <= MOST_PORTS and last + kit.offsets[-1] <= MOST_CHANNELS:
            return True
        self.add(
            "too-large",
            f"A studio holds at most {MOST_PORTS:,} ports and {MOST_CHANNELS:,} channels; with unit {unit.id} it has more.",
            unit.place,
            do="Check the ranges and channel counts of its model; a studio this large is several studios.",
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
            form = f"{head}/1 to {head}/{bay.columns}" if bay.rows == 1 else f"{head}/top 1 to {head}/bottom {bay.columns}"
            do = f"The jacks of {head} are {form}."
        else:
            near = nearest(head, [*plant.units, *plant.bays])
            do = f"Did you mean {near}/{rest}?" if near else "Declare the unit or bay, or correct the name."
        self.add("unknown-name", f"There is no {wanted} {name}.", at, do=do)


def _some(names: dict[str, int]) -> str:
    listed = list(names)
    return ", ".join(listed[:8]) + (" and more" if len(listed) > 8 else "")
