"""The mistakes that resolving names can find, said once."""

import re
from collections.abc import Collection, Iterable

from attrs import define, evolve, field

from routecode.circuit.plant import Kit, PlacedUnit, Plant
from routecode.ground.finding import Mistake
from routecode.ground.nearest import nearest
from routecode.ground.place import At
from routecode.language.mistakes import MOST_LOOKED
from routecode.language.written import Bay, Unit

MOST_PLACES = 8_000_000
MOST_CHANNELS = 16_000_000
MOST_ALIKE = 3
_LONGEST = 100
MOST_PAIRS = 250_000
"""Most pairs that the insides of one model or unit may have: a matrix of 500 by 500."""

_DASHED = re.compile(r"(.*?[^0-9]|)([0-9]+) ?(?:[-–—:]|to|\bthrough\b) ?([0-9]+)", re.DOTALL)
"""What people write for a range before they know how it is written here."""


@define
class Problems:
    """Collects mistakes while a studio is resolved."""

    mistakes: list[Mistake] = field(factory=list)
    alike: dict[tuple[str, At], dict[str, list[int]]] = field(factory=dict)
    """For each fault and field: the stem of an unknown name to the index of its mistake and how many follow it."""

    looked: int = 0

    def near(self, word: str, choices: Collection[str]) -> str | None:
        """The nearest choice, while not too many have been looked at: in a flood of mistakes nobody reads the guesses."""
        self.looked += len(choices)
        return nearest(word, choices) if self.looked <= MOST_LOOKED else None

    def add(
        self, fault: str, text: str, at: At, do: str = "", why: str = "", also: tuple[tuple[str, At], ...] = ()
    ) -> None:
        """One more."""
        self.mistakes.append(Mistake(fault, text, at, why, do, also))

    def enough(self, fault: str, name: str, at: At) -> bool:
        """Whether an unknown name need not be told: its neighbour in a range is, or MOST_ALIKE of its field are."""
        known = self.alike.setdefault((fault, at), {})
        stem = name.rstrip("0123456789")
        if stem in known:
            known[stem][1] += 1
            return True
        if len(known) < MOST_ALIKE:
            known[stem] = [len(self.mistakes), 0]
            return False
        self.add(fault, "Unknown names in this field: more of them than are told here.", at, do="Check the list.")
        return True

    def told(self) -> tuple[Mistake, ...]:
        """All mistakes, each once; of the unknown names of a range the first, with the number of the others."""
        mistakes = list(self.mistakes)
        for known in self.alike.values():
            for index, more in known.values():
                if more:
                    text = mistakes[index].text.removesuffix(".")
                    mistakes[index] = evolve(mistakes[index], text=f"{text}, nor {more:,} more of this range.")
        return tuple(dict.fromkeys(mistakes))

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

    def unequal(
        self, left: str, left_count: int, right: str, right_count: int, at: At, names: Iterable[str] = ()
    ) -> None:
        """Two sides that should pair one to one do not. One of the names may be meant as a range."""
        meant = next(((name, found) for name in names if (found := _as_range(name))), None)
        hint = f" If `{meant[0]}` is meant as a range: `{meant[1]}`." if meant else ""
        self.add(
            "unequal-lengths",
            f"{left} names {left_count} and {right} names {right_count}; they pair one to one.",
            at,
            do=f"Make both sides the same length.{hint}",
        )

    def unknown_place(self, plant: Plant, name: str, at: At, *, wanted: str = "place") -> None:
        """A name that is no place of this studio; says what is nearest."""
        if self.enough("unknown-name", name, at):
            return
        self.add("unknown-name", f"There is no {wanted} {name}.", at, do=self._instead(plant, name))

    def _instead(self, plant: Plant, name: str) -> str:
        """What to write instead of a name that is no place."""
        head, slash, rest = name.partition("/")
        stem, mark, _ = name.rpartition(" ch ")
        if mark and plant.node(stem) is not None:
            return f"Cables, columns and cords join whole ports: write {stem}."
        meant = _as_range(name)
        if meant and plant.node(meant.partition("..")[0]) is not None:
            return f"A range is written with two dots: {meant}"
        if not slash:
            return "Write unit/port, or bay/top 1."
        if head in plant.units:
            return self._port_instead(plant.units[head], rest)
        if head in plant.bays:
            bay = plant.bays[head]
            form = (
                f"{head}/1 to {head}/{bay.columns}" if bay.rows == 1 else f"{head}/top 1 to {head}/bottom {bay.columns}"
            )
            return f"The jacks of {head} are {form}."
        near = self.near(head, [*plant.units, *plant.bays])
        if near is None:
            return "Declare the unit or bay, or correct the name."
        unit = plant.units.get(near)
        port = rest if unit is None or rest in unit.kit.index else self.near(rest, unit.kit.index) or rest
        return f"Did you mean {near}/{port}?"

    def _port_instead(self, unit: PlacedUnit, rest: str) -> str:
        near = self.near(rest, unit.kit.index)
        return f"Did you mean {unit.id}/{near}?" if near else f"The ports of {unit.id} are: {_some(unit.kit.index)}."


def upper(text: str) -> str:
    """A text that begins a sentence."""
    return text[:1].upper() + text[1:]


def _as_range(name: str) -> str | None:
    """`mic 1-8` as `mic 1..8`; None where a name does not look like that."""
    found = _DASHED.fullmatch(name) if len(name) <= _LONGEST else None
    return f"{found[1]}{found[2]}..{found[3]}" if found else None


def _some(names: dict[str, int]) -> str:
    listed = list(names)
    return ", ".join(listed[:8]) + (" and more" if len(listed) > 8 else "")
