"""The cable schedule as sheets: every circuit of every cable, spare circuits, and the loom sheets with their pins."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from routecode.circuit.plant import Plant
from routecode.figures.soldering import UNPUBLISHED
from routecode.hands.cables import DEAD, MAKE, Circuit, LaidCable, looms, loose
from routecode.hands.cables_ends import End
from routecode.rules.words import counted
from routecode.show.sheets.sheet import Book, Cell, Sheet

LOOMS = "Looms"
NO_PINS = "no pin table is published for these ends"
HALF_PINS = "no pin table is published for this end"
_END = ("on the cable", "cold", "shield")
HEADS = (
    "number",
    "type",
    "circuit",
    "from",
    *(f"{head} at from" for head in _END),
    "to",
    *(f"{head} at to" for head in _END),
    "metres",
    "loom",
    "status",
    "tested on",
)
SPARE_HEADS = ("number", "type", "circuits", "in use", "spare", "from", "to", "loom")
LOOM_HEADS = ("loom", "number", "circuit", "from", "to", "carries", "pin at from", "pin at to", "colour", "remark")


class Told(NamedTuple):
    """What a schedule comes to."""

    cables: int
    circuits: int
    make: int
    dead: int
    metres: float
    no_number: int
    no_length: int
    tested: int
    spare: int


def told_of(cables: Iterable[LaidCable]) -> Told:
    """The sums of a schedule."""
    cables = tuple(cables)
    live = [cable for cable in cables if cable.status != DEAD]
    return Told(
        len(live),
        sum(cable.used for cable in live),
        sum(cable.status == MAKE for cable in live),
        len(cables) - len(live),
        sum(cable.metres or 0.0 for cable in live),
        sum(cable.number is None for cable in live),
        sum(cable.metres is None for cable in live),
        sum(cable.tested is not None for cable in live),
        sum(max(0, cable.spare or 0) for cable in live),
    )


def summary(told: Told) -> str:
    """The sums in one sentence or a few."""
    first = f"{counted(told.cables, 'cable')} with {counted(told.circuits, 'circuit')}, {told.metres:,.10g} m."
    more = [
        f"{told.make} to be made" if told.make else "",
        f"{told.dead} dead" if told.dead else "",
        f"{counted(told.spare, 'circuit')} spare" if told.spare else "",
        f"{told.no_number} without a number" if told.no_number else "",
        f"{told.no_length} without a length" if told.no_length else "",
        f"{told.tested} tested" if told.tested else "none is said to be tested",
    ]
    rest = ", ".join(part for part in more if part)
    return f"{first} {rest[:1].upper()}{rest[1:]}."


def sheets_of(plant: Plant, cables: tuple[LaidCable, ...]) -> tuple[Sheet, ...]:
    """The schedule, then spare circuits and loom sheets where there are any."""
    found = [Sheet("Cables", HEADS, tuple(_rows(plant, cables)), summary(told_of(cables)))]
    spare = tuple(_spare(plant, cables))
    if spare:
        words = "Cables that have more circuits than are in use; dead cables have all of theirs."
        found.append(Sheet("Spare circuits", SPARE_HEADS, spare, words))
    rows = tuple(_loom_rows(cables))
    if rows:
        found.append(Sheet(LOOMS, LOOM_HEADS, rows, LOOM_WORDS))
    return tuple(found)


CAUTIONS = (
    "Headphones off heads, monitors down, no take running. Amplifiers and powered monitors off first, on last; phantom power off and "
    "under 1 V on a meter; power a unit down before its multipin is lifted. Never lift a mains earth. Mains and fixed building wiring "
    "belong to licensed people under the local code.",
    "Soldering: eye protection, extraction, clean hands.",
)
LOOM_WORDS = (
    "Pins as published for the connectors; look at the connector itself before soldering. "
    "Colours are what the type of cable says; they never tell hot from cold by themselves. "
    "Cables of several circuits that are in no loom come last."
)


def book_of(plant: Plant, cables: tuple[LaidCable, ...], called: str, *, looms_first: bool = False) -> Book:
    """All of it as a book; `looms_first`: the loom sheets come first, where there are any."""
    sheets = sheets_of(plant, cables)
    if looms_first:
        sheets = tuple(sorted(sheets, key=lambda sheet: sheet.title != LOOMS))
    return Book(plant.studio.head.title or "The studio", "Cable schedule", called, sheets)


def type_title(plant: Plant, type_: str | None) -> str:
    """What people call a type of cable."""
    kind = plant.studio.cable_type.get(type_ or "")
    return (kind.title if kind is not None else None) or type_ or ""


def _rows(plant: Plant, cables: Iterable[LaidCable]) -> Iterator[tuple[Cell, ...]]:
    for cable in cables:
        about = (cable.metres, cable.loom, cable.status, cable.tested)
        head = (cable.number, type_title(plant, cable.type))
        if not cable.circuits:
            yield (*head, None, cable.lies[0], None, None, None, cable.lies[1], None, None, None, *about)
        for number, circuit in enumerate(cable.circuits, 1):
            several = number if len(cable.circuits) > 1 else None
            yield (*head, several, *_end(circuit.from_), *_end(circuit.to), *about)


def _end(end: End) -> tuple[Cell, ...]:
    return (end.called, end.fitted, end.cold or None, end.shield or None)


def _spare(plant: Plant, cables: Iterable[LaidCable]) -> Iterator[tuple[Cell, ...]]:
    for cable in cables:
        if cable.spare:
            ends = (cable.circuits[0].from_.called, cable.circuits[0].to.called) if cable.circuits else cable.lies
            circuits = cable.used + cable.spare
            yield (cable.number, type_title(plant, cable.type), circuits, cable.used, cable.spare, *ends, cable.loom)


def _loom_rows(cables: Iterable[LaidCable]) -> Iterator[tuple[Cell, ...]]:
    cables = tuple(cables)
    for name, laced in (*looms(cables).items(), (None, loose(cables))):
        for cable in laced:
            if not cable.circuits:
                yield (name, cable.number, None, *cable.lies, None, None, None, None, "dead")
            for number, circuit in enumerate(cable.circuits, 1):
                ahead: tuple[Cell, ...] = (name, cable.number, number if len(cable.circuits) > 1 else None)
                yield from _pin_rows(ahead, circuit)


def _pin_rows(ahead: tuple[Cell, ...], circuit: Circuit) -> Iterator[tuple[Cell, ...]]:
    ends = (circuit.from_.called, circuit.to.called)
    if not circuit.pins:
        yield (*ahead, *ends, None, None, None, None, NO_PINS)
    for pin in circuit.pins:
        linked = f"joined to the shield at {pin.linked}" if pin.linked else None
        if UNPUBLISHED in (pin.from_pin, pin.to_pin):
            linked = f"{UNPUBLISHED}: {HALF_PINS}"
        yield (*ahead, *ends, pin.carries, pin.from_pin or "open", pin.to_pin or "open", pin.colour or None, linked)
