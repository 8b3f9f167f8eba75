"""The cable schedule: every fixed cable once, with its circuits, ends, making, spare circuits and state. The door for cables.

A cable is what is in one jacket: one number on a range is one multipair; without numbers, the circuits of one statement fill
jackets of as many circuits as their type has. How it is shown is not here.
"""

from collections.abc import Iterable, Iterator
from datetime import date
from typing import NamedTuple

from routecode.circuit.dead import dead_cables
from routecode.circuit.jackets import jackets
from routecode.circuit.plant import IN, OUT, Plant, Wire
from routecode.figures.soldering import half_soldering, soldering
from routecode.ground.order import natural
from routecode.hands.cables_ends import End, end_of
from routecode.language.written import Cable
from routecode.rules.words import Words

IS_IN, MAKE, DEAD = "in", "make", "dead"
STATUSES = (IS_IN, MAKE, DEAD)


class Pin(NamedTuple):
    """One wire of a circuit: what it carries, its pin at each end, its colour (a code, or empty).

    A pin is None where nothing is soldered, and UNPUBLISHED where the pins of that end are not published.

    `linked`: the end, `from` or `to`, at which its pin is joined to that of the shield inside the connector; else empty.
    """

    carries: str
    from_pin: str | None
    to_pin: str | None
    colour: str
    linked: str


class Circuit(NamedTuple):
    """One pair of a cable, from where the signal comes, and its wires; none of them where neither pins nor colours are known."""

    wire: Wire
    from_: End
    to: End
    pins: tuple[Pin, ...]


class LaidCable(NamedTuple):
    """One cable. `lies`: where the ends of a dead one lie; it has no circuits. `spare`: circuits left over; None: not known."""

    number: str | None
    type: str | None
    metres: float | None
    loom: str | None
    status: str
    tested: date | None
    circuits: tuple[Circuit, ...]
    used: int
    """How many of its circuits are in use; the legs of a split count once."""
    spare: int | None
    lies: tuple[str, str] = ("", "")

    @property
    def ends(self) -> tuple[str, str]:
        """Where it begins and where it ends, by canonical names, first circuit."""
        return (self.circuits[0].from_.name, self.circuits[0].to.name) if self.circuits else self.lies

    @property
    def splits(self) -> bool:
        """Whether it has legs to several places."""
        return any(circuit.wire.split for circuit in self.circuits)

    @property
    def too_many(self) -> int:
        """How many circuits it is said to carry beyond those it has."""
        return max(0, -(self.spare or 0))


def schedule(plant: Plant) -> tuple[LaidCable, ...]:
    """Every cable, in the order of numbers, those without a number last, in the order of their ends."""
    words = Words(plant)
    found = [_laid(plant, words, wires) for wires in jackets(plant)]
    found += [_dead(plant, *lies) for lies in _dead_ends(plant)]
    return tuple(sorted(found, key=_order))


def looms(cables: Iterable[LaidCable]) -> dict[str, list[LaidCable]]:
    """The cables of each loom, by name in natural order."""
    found: dict[str, list[LaidCable]] = {}
    for cable in cables:
        if cable.loom is not None:
            found.setdefault(cable.loom, []).append(cable)
    return {name: found[name] for name in sorted(found, key=natural)}


def loose(cables: Iterable[LaidCable]) -> list[LaidCable]:
    """The cables of several circuits that are in no loom: their pins are told beside those of the looms."""
    return [cable for cable in cables if cable.loom is None and len(cable.circuits) > 1]


def _order(cable: LaidCable) -> tuple[object, ...]:
    number = (1, natural("")) if cable.number is None else (0, natural(cable.number))
    return (*number, *map(natural, cable.ends))


# -- one cable -----------------------------------------------------------------------------------------------------------


def _laid(plant: Plant, words: Words, wires: list[Wire]) -> LaidCable:
    first = wires[0].details
    kind = plant.studio.cable_type.get(first.type or "")
    turned = _turned(plant, wires)
    circuits = tuple(_circuit(plant, words, wire, index, turned[index]) for index, wire in enumerate(wires))
    used = min(len({circuit.from_.node for circuit in circuits}), len({circuit.to.node for circuit in circuits}))
    tested = [wire.details.tested for wire in wires]
    return LaidCable(
        first.number,
        first.type,
        max((wire.metres for wire in wires if wire.metres is not None), default=None),
        first.loom,
        MAKE if any(wire.details.status == MAKE for wire in wires) else IS_IN,
        min(day for day in tested if day is not None) if None not in tested else None,
        circuits,
        used,
        None if kind is None or kind.circuits is None else kind.circuits - used,
    )


def _turned(plant: Plant, wires: list[Wire]) -> list[bool]:
    """Whether each wire is told from its second end: a cable begins where the signal of its first circuit comes from."""
    turned: list[bool] = []
    begins, ends = "", ""
    for wire in wires:
        a, b = _owner(plant, wire.a), _owner(plant, wire.b)
        by_signal = _direction(plant, wire.a) == IN or _direction(plant, wire.b) == OUT
        turn = (a != begins and b == begins) or (b != ends and a == ends) if turned else by_signal
        turned.append(turn)
        begins, ends = (b, a) if turn else (a, b)
    return turned


def _owner(plant: Plant, node: int) -> str:
    return plant.bay_of(node).id if plant.is_jack(node) else plant.unit_of(node).id


def _circuit(plant: Plant, words: Words, wire: Wire, index: int, turned: bool) -> Circuit:
    """A wire as a circuit, told from its first end or from its second."""
    colours = colours_of(plant, wire, index)
    made = soldering(plant, wire) or half_soldering(plant, wire, colours)
    a, b = (end_of(plant, words, wire, node, made) for node in (wire.a, wire.b))
    pins = [
        Pin(joint.carries, joint.from_pin, joint.to_pin, colours.get(joint.carries, ""), joint.linked)
        for joint in (made.joints if made else ())
    ]
    if not turned:
        return Circuit(wire, a, b, tuple(pins))
    other = {"from": "to", "to": "from", "": ""}
    back = tuple(pin._replace(from_pin=pin.to_pin, to_pin=pin.from_pin, linked=other[pin.linked]) for pin in pins)
    return Circuit(wire, b, a, back)


def _direction(plant: Plant, node: int) -> int:
    return plant.direction[node] if node < plant.ports else -1


def colours_of(plant: Plant, wire: Wire, index: int) -> dict[str, str]:
    """What a wire carries -> its colour, where the type says it: of its pair (from 0), else of every pair."""
    kind = plant.studio.cable_type.get(wire.type or "")
    if kind is None:
        return {}
    if index < len(kind.colours):
        return dict(zip(("hot", "cold"), kind.colours[index].split(" "), strict=False))
    both = {"hot": kind.hot_colour, "cold": kind.cold_colour}
    return {carries: code for carries, code in both.items() if code}


# -- dead ones -----------------------------------------------------------------------------------------------------------


def _dead_ends(plant: Plant) -> Iterator[tuple[str | None, Cable, list[tuple[str, str]]]]:
    """Dead cables: those of one statement with one number are one."""
    found: dict[tuple[int, object], tuple[str | None, Cable, list[tuple[str, str]]]] = {}
    for index, one in enumerate(dead_cables(plant)):
        key = (id(one.written), one.number if one.number is not None else index)
        found.setdefault(key, (one.number, one.written, []))[2].append((one.from_, one.to))
    yield from found.values()


def _dead(plant: Plant, number: str | None, cable: Cable, ends: list[tuple[str, str]]) -> LaidCable:
    kind = plant.studio.cable_type.get(cable.type or "")
    spare = kind.circuits if kind is not None else None
    return LaidCable(number, cable.type, cable.metres, cable.loom, DEAD, cable.tested, (), 0, spare, ends[0])
