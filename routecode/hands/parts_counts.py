"""What a studio contains that can be bought: plugs, rear connectors, link plugs, dummy plugs, cable. Prices nothing, orders nothing.

A bay whose rears are on connectors has one for each jack, wired or not: a bay of n columns needs 2 n of them, and as many link plugs
as its normals need in the setup that needs most.
"""

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from routecode.circuit.plant import PlacedBay, Plant
from routecode.hands.cables import DEAD, MAKE, Circuit, LaidCable
from routecode.hands.cables_ends import CARRIES_MANY, MULTIPIN, PLUG, UNKNOWN, End
from routecode.hands.cables_ends import REAR as REAR_END

REAR, LINK, DUMMY, CABLE, CORD, ADAPTER = "rear", "link-plug", "dummy-plug", "cable", "cord", "adapter"
KINDS = (PLUG, REAR, LINK, DUMMY, CABLE, CORD, ADAPTER)
"""The kinds of things that are counted, in the order of telling."""


class Item(NamedTuple):
    """A kind of thing that is counted: a plug by the socket it fits, behind a bay by its contact, cable by its type ..."""

    kind: str
    word: str


Counts = Counter[Item]


class Seat(NamedTuple):
    """A plug in its place: what it is, and what tells it from others (a port and its cable, a multipin of a unit)."""

    item: Item
    owner: str
    place: str


class Gap(NamedTuple):
    """What could not be counted: in how many places, and what to write so that it can."""

    says: str
    places: int
    do: str


def plug_seats(plant: Plant, cables: Iterable[LaidCable]) -> Iterator[tuple[Seat, LaidCable]]:
    """Every plug of fixed cables, once: legs of a split share the one they have in common, circuits of a multipin share theirs."""
    seen: set[Seat] = set()
    for cable in cables:
        for seat in seats_of(plant, cable):
            if seat not in seen:
                seen.add(seat)
                yield seat, cable


def seats_of(plant: Plant, cable: LaidCable) -> list[Seat]:
    """The plugs of one cable, each once; those that it shares with others too."""
    seats = (_seat(plant, circuit, end) for circuit in cable.circuits for end in (circuit.from_, circuit.to))
    return list(dict.fromkeys(seat for seat in seats if seat is not None))


def _seat(plant: Plant, circuit: Circuit, end: End) -> Seat | None:
    if end.how == MULTIPIN:
        many = plant.multipin_of(end.node)
        unit = plant.unit_of(end.node).id
        return Seat(Item(PLUG, end.socket or "multipin"), unit, f"multipin {many[0].name if many else ''}")
    if end.how != PLUG or end.socket in CARRIES_MANY:
        return None
    other = circuit.wire.other(end.node)
    leg = "split" if circuit.wire.split else plant.name(other)
    return Seat(Item(PLUG, end.socket), end.name, leg)


def fixed_counts(plant: Plant, cables: Iterable[LaidCable]) -> Counts:
    """Plugs of the cables that are not dead, rear connectors, link plugs and dummy plugs."""
    counts: Counts = Counter(seat.item for seat, _ in plug_seats(plant, cables))
    for bay in plant.bays.values():
        counts.update(bay_counts(plant, bay))
    counts.update(_dummies(plant))
    return counts


def bay_counts(plant: Plant, bay: PlacedBay) -> Counts:
    """Rear connectors and link plugs of one bay."""
    contact = bay.written.contact or ""
    counts: Counts = Counter()
    if bay.has_rear_connectors:
        counts[Item(REAR, contact)] = bay.columns * bay.rows
    if bay.plugs and bay.rows > 1:
        counts[Item(LINK, contact)] = _most_links(plant, bay)
    return +counts


def _most_links(plant: Plant, bay: PlacedBay) -> int:
    """Link plugs in use in the state, unpatched or of a setup, that has most of them in."""
    resting = {column for column in range(1, bay.columns + 1) if bay.normals[column] != "none"}
    most = len(resting)
    for setup in plant.setups.values():
        placed = dict.fromkeys(resting, True)
        for (name, column), (where, _) in setup.links.items():
            if name == bay.id:
                placed[column] = where != "none"
        most = max(most, sum(placed.values()))
    return most


def _dummies(plant: Plant) -> Counts:
    """Dummy plugs, by contact: of the setup that needs most of each."""
    most: Counts = Counter()
    for setup in plant.setups.values():
        most |= Counter(Item(DUMMY, plant.bay_of(jack).written.contact or "") for jack in setup.dummies)
    return most


def cable_metres(cables: Iterable[LaidCable]) -> dict[Item, float]:
    """Metres of cable by type, of those that say both; dead cables are not part of what works."""
    found: dict[Item, float] = {}
    for cable in cables:
        if cable.type is not None and cable.metres is not None and cable.status != DEAD:
            item = Item(CABLE, cable.type)
            found[item] = found.get(item, 0.0) + cable.metres
    return found


def to_make(cables: Iterable[LaidCable]) -> list[LaidCable]:
    """The cables that are still to be made."""
    return [cable for cable in cables if cable.status == MAKE]


def _ends(cables: Iterable[LaidCable]) -> list[End]:
    """The ends of cables; the one that the legs of a split have in common counts once."""
    return [
        end
        for cable in cables
        for end in {each.node: each for circuit in cable.circuits for each in (circuit.from_, circuit.to)}.values()
    ]


def rear_ends(cables: Iterable[LaidCable]) -> int:
    """How many ends of cables take a connector behind a bay."""
    return sum(end.how == REAR_END for end in _ends(cables))


def uncounted(plant: Plant, cables: Iterable[LaidCable]) -> tuple[Gap, ...]:
    """What the text does not say well enough to be counted."""
    laid = [cable for cable in cables if cable.status != DEAD]
    ends = _ends(laid)
    many = sum(end.how == PLUG and end.socket in CARRIES_MANY for end in ends)
    contacts = sum(not bay.written.contact and bool(bay_counts(plant, bay)) for bay in plant.bays.values())
    told = (
        ("cable ends at ports that do not say their connector", sum(end.how == UNKNOWN for end in ends), "connector"),
        (
            "cable ends at connectors for several circuits, and no multipin says which share one",
            many,
            "[[model.X.multipin]]",
        ),
        ("cables without a type", sum(cable.type is None for cable in laid), "type"),
        ("cables without a length", sum(cable.metres is None for cable in laid), "metres"),
        ("bays that do not say their contact", contacts, "contact"),
    )
    return tuple(Gap(*each) for each in told if each[1])
