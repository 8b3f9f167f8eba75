"""What the book cannot say because nobody wrote it down: cables without number, type or length, kinds and bays without their figures,
parts that could not be counted, ports that rest on usual figures.
"""

from collections.abc import Callable, Iterable, Iterator

from routecode.circuit.plant import Plant
from routecode.figures.ports import Ports
from routecode.ground.order import natural
from routecode.hands.cables import DEAD, LaidCable
from routecode.hands.parts import Bill
from routecode.language.defaults import NOTHING, default_of
from routecode.language.signals import kind_of
from routecode.rules.words import counted
from routecode.show.book_pages import Section, table
from routecode.show.paper.pieces import Block, Words
from routecode.show.spoken import places

_FEW = 60
"""Places that are named of one gap; how many more there are is said."""
HEADS = ("what is not said", "how many", "where", "write")
INTRO = "What is listed here is not known to the program. It is left out of sums and figures, or a usual figure stands in for it."
ALL_SAID = "Nothing: every cable has number, type and length, every bay and type of cable its figures."


def gaps(plant: Plant, cables: Iterable[LaidCable], bill: Bill) -> Iterator[Block]:
    """The chapter."""
    rows = [*_of_cables(plant, list(cables)), *_of_tables(plant), *_of_ports(plant)]
    said = {row[0] for row in rows}
    rows += _of_parts(bill, said)
    yield Section("What is not written down", "gaps")
    yield Words(INTRO if rows else ALL_SAID)
    if rows:
        yield table(HEADS, rows)


def _of_cables(plant: Plant, cables: list[LaidCable]) -> Iterator[list[str]]:
    live = [cable for cable in cables if cable.status != DEAD]
    wanted: tuple[tuple[str, Callable[[LaidCable], bool], str], ...] = (
        ("cables without a number", lambda cable: cable.number is None, "number = ..."),
        ("cables without a type", lambda cable: cable.type is None, "type = ..."),
        ("cables without a length", lambda cable: cable.metres is None, "metres = ..."),
        ("cables of which no test is noted", lambda cable: cable.tested is None, "tested = ..."),
    )
    for what, lacks, write in wanted:
        found = [cable for cable in live if lacks(cable)]
        if found:
            where = "all" if len(found) == len(live) and len(live) > 1 else _ends(plant, found)
            yield [what, str(len(found)), where, write]


def _ends(plant: Plant, cables: list[LaidCable]) -> str:
    """Numbers where there are numbers, else where the cables begin."""
    numbers = [cable.number for cable in cables if cable.number is not None]
    ends = places(
        plant, [circuit.from_.name for cable in cables if cable.number is None for circuit in cable.circuits][:_FEW]
    )
    said = [", ".join(numbers[:_FEW]), f"from {ends}" if ends else ""]
    left = sum(cable.number is None for cable in cables)
    more = max(0, len(numbers) - _FEW) + max(0, left - _FEW)
    return "; ".join(part for part in said if part) + (f" and {more} more" if more else "")


def _of_tables(plant: Plant) -> Iterator[list[str]]:
    used = {wire.type for wire in plant.wires}
    electric = {wire.type for wire in plant.wires if any(_has_figures(plant, node) for node in (wire.a, wire.b))}
    for keys, what, which in (
        (("od_mm",), "types of cable without a thickness", used),
        (("pf_per_metre",), "types of cable without a capacitance", electric),
        (("ohms_per_km", "awg", "mm2"), "types of cable without a resistance", electric),
    ):
        kinds = [kind for name, kind in plant.studio.cable_type.items() if name in which]
        silent = [kind.title or kind.id for kind in kinds if all(getattr(kind, key) is None for key in keys)]
        yield from _row(what, silent, f"{keys[0]} = ...")
    bays = plant.bays.values()
    for key, what in (
        ("pitch_mm", "bays that do not say how far apart their columns are"),
        ("contact", "bays without contacts"),
    ):
        yield from _row(what, [bay.title for bay in bays if getattr(bay.written, key) is None], f"{key} = ...")
    homeless = [unit.title for unit in plant.units.values() if not _stands(unit.written)]
    homeless += [bay.title for bay in bays if not _stands(bay.written)]
    yield from _row("units and bays in no room or rack", homeless, "rack = ... or room = ...")


def _has_figures(plant: Plant, node: int) -> bool:
    """Whether a port carries a signal for which capacitance and resistance are asked (audio on copper, clock)."""
    if plant.is_jack(node):
        return False
    signal = plant.socket(node).signal
    return default_of(kind_of(signal, plant.studio.signal) or signal) is not NOTHING


def _stands(written: object) -> bool:
    return any(getattr(written, key, None) for key in ("room", "rack", "portable"))


def _of_ports(plant: Plant) -> Iterator[list[str]]:
    """Ports for which usual figures stand in, by unit."""
    ports = Ports(plant)
    units: dict[str, int] = {}
    for unit in plant.units.values():
        for node in unit:
            figures = ports.of(node)
            if default_of(figures.kind) is not NOTHING and not figures.declared:
                units[unit.title] = units.get(unit.title, 0) + 1
    if units:
        said = [f"{title} ({count})" for title, count in sorted(units.items(), key=lambda item: natural(item[0]))]
        where = ", ".join(said[:_FEW]) + (f" and {counted(len(said) - _FEW, 'unit')} more" if len(said) > _FEW else "")
        yield [
            "ports without a figure of their own: usual ones stand in",
            str(sum(units.values())),
            where,
            "level, ohms, ...",
        ]


def _of_parts(bill: Bill, said: set[str]) -> Iterator[list[str]]:
    """What could not be counted, unless it was said already."""
    for gap in bill.uncounted:
        if gap.says in said:
            continue
        yield [f"not in the parts: {gap.says}", str(gap.places), "", gap.do]
    yield from _row("parts to order without a price", [line.called for line in bill.unpriced], "[part.ID] price = ...")


def _row(what: str, names: list[str], write: str) -> Iterator[list[str]]:
    if names:
        more = f" and {len(names) - _FEW} more" if len(names) > _FEW else ""
        yield [what, str(len(names)), ", ".join(sorted(names, key=natural)[:_FEW]) + more, write]
