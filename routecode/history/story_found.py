"""Which place a person means, in whichever revision it was last, and what became of it since."""

import re

from attrs import frozen

from routecode.circuit.plant import Plant
from routecode.history.story_line import Line
from routecode.history.story_place import Place, Step, find


@frozen
class Unknown:
    """No revision has the place: the names of units, bays and cables that any had which was looked at.

    `plant`: of the newest revision that has a unit or bay of this name, or of the newest one at all; None where none compiles.
    """

    names: frozenset[str]
    plant: Plant | None


def found_place(line: Line, asked: str, newest: int) -> tuple[Place, int] | Unknown:
    """The newest revision that has a place of this name."""
    names: set[str] = set()
    nearest: Plant | None = None
    head = asked.partition("/")[0]
    for number in range(newest, len(line)):
        if number > newest and not mentions(line, number, asked):
            continue
        plant = plant_of(line, number)
        if plant is None:
            continue
        place = find(plant, asked)
        if place is not None:
            return place, number
        owners = {*plant.units, *plant.bays}
        if nearest is None or (head in owners and head not in names):
            nearest = plant
        names |= owners | {wire.number for wire in plant.wires if wire.number}
    return Unknown(frozenset(names | _heads(line)), nearest)


_HEAD = re.compile(rb"^\[(?:unit|bay)\.([A-Za-z0-9_-]{1,80})\]", re.MULTILINE)


def _heads(line: Line) -> set[str]:
    """The ids of units and bays as they stand in the texts of all revisions; cheap, and good enough to guess what is meant."""
    texts = {text for number in range(len(line)) for text in line.files(number).texts.values()}
    return {head.decode() for text in texts for head in _HEAD.findall(text)}


def mentions(line: Line, number: int, asked: str) -> bool:
    """Whether the texts may name the place: the id of its unit, or the beginning of its number, stands there."""
    head = asked.partition("/")[0].removeprefix("cable ").rstrip("0123456789").encode("utf-8", errors="replace")
    return any(head in text or b"\\" in text for text in line.files(number).texts.values())


def plant_of(line: Line, number: int) -> Plant | None:
    """The plant of a revision; None where it does not compile."""
    circuit = line.opened(number).circuit
    return circuit.plant if circuit is not None else None


def followed_forward(line: Line, place: Place, number: int) -> tuple[Place, int, int | None]:
    """What became of a place: as it is called last, the revision it is last in, and the one in which it is gone."""
    while (newer := line.newer(number)) is not None:
        after = Step(line.opened(number), line.opened(newer)).forward(place)
        if after is None:
            return place, number, newer
        place, number = after, newer
    return place, number, None
