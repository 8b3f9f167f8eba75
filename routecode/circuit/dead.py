"""Dead cables: they lie there and join nothing. Which there are, and those that another statement says are joined.

Their ends are where they lie, in any words: what they led to may be gone.
"""

from collections.abc import Iterator
from typing import NamedTuple

from routecode.circuit.cables import DEAD
from routecode.circuit.plant import Plant, Wire
from routecode.circuit.problems import Problems
from routecode.ground.finding import Mistake
from routecode.language.ranges import spread
from routecode.language.written import Cable


class DeadCable(NamedTuple):
    """One of them: its number, where its ends lie, and the table that says it."""

    number: str | None
    from_: str
    to: str
    written: Cable


def dead_cables(plant: Plant) -> Iterator[DeadCable]:
    """Every dead cable, in the order of the text."""
    for cable in plant.studio.cable:
        if cable.status == DEAD:
            yield from _spread(cable, [])


def check_dead(plant: Plant, problems: Problems) -> None:
    """Tell dead cables whose sides do not pair, and those that another statement says are joined."""
    for cable in plant.studio.cable:
        if cable.status != DEAD:
            continue
        sides = _sides(cable, problems.mistakes)
        if len(sides[0]) != len(sides[1]):
            if all(sides):
                both = (*sides[0], *sides[1])
                problems.unequal("`from`", len(sides[0]), "`to`", len(sides[1]), cable.where("to"), both)
            continue
        for pair in zip(*sides, strict=True):
            wire = _joined(plant, *pair)
            if wire is not None:
                problems.add(
                    "cable-contradicts",
                    f"The cable {pair[0]} to {pair[1]} is dead in one place and wired in the other.",
                    cable.where("status"),
                    do="Take the other statement out, or let this one not be dead.",
                    also=(("the other statement", wire.at),),
                )


def _joined(plant: Plant, a: str, b: str) -> Wire | None:
    one, other = plant.node(a), plant.node(b)
    if one is None or other is None:
        return None
    return next((wire for wire in plant.wires_of(one) if wire.other(one) == other), None)


def _sides(cable: Cable, mistakes: list[Mistake]) -> tuple[list[str], list[str]]:
    """Both ends, spread; legs of a split one after the other, the other side again for each; one place for all ends is enough."""
    sides = []
    for key, legs, others in (("from", cable.from_, cable.to), ("to", cable.to, cable.from_)):
        names = [name for leg in legs for name in spread(leg, cable.where(key), mistakes)]
        sides.append(names * len(others) if len(legs) == 1 else names)
    froms, tos = sides
    if len(froms) == 1 or len(tos) == 1:
        most = max(len(froms), len(tos)) if froms and tos else 0
        froms, tos = (side * most if len(side) == 1 else side for side in (froms, tos))
    return froms, tos


def _spread(cable: Cable, mistakes: list[Mistake]) -> Iterator[DeadCable]:
    froms, tos = _sides(cable, mistakes)
    numbers: list[str | None] = list(spread(cable.number, cable.where("number"), mistakes, down=False))
    if len(numbers) == 1:
        numbers *= len(froms)
    if len(numbers) != len(froms):
        numbers = [None] * len(froms)
    for number, one, other in zip(numbers, froms, tos, strict=False):
        yield DeadCable(number, one, other, cable)
