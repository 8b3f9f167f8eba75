"""The cables in the book: the schedule with a row for each circuit, spare circuits, and the looms with their pins."""

from collections.abc import Iterator

from routecode.circuit.plant import Plant
from routecode.ground.order import natural
from routecode.hands.cables import DEAD, Circuit, LaidCable
from routecode.hands.cables_ends import End
from routecode.language.written import CableType
from routecode.physics.cable import leg_ohms_per_metre
from routecode.rules.words import counted
from routecode.show.book_pages import Section, table
from routecode.show.paper.pieces import Block, Words
from routecode.show.schedule_sheets import LOOM_WORDS, LOOMS, sheets_of, summary, told_of, type_title
from routecode.show.sheets.sheet import number

MOST_CIRCUITS = 4000
"""Rows of the schedule in one book; those after them are left out, and that is said. The looms have as many pins."""
HEADS = ("number", "circuit", "type", "from", "on the cable", "to", "on the cable", "m", "loom", "state", "tested")
_TYPE_HEADS = ("type", "title", "mm thick", "circuits", "pF per m", "ohms per km", "cables", "metres")
_SMALL = 7.0


class Cables:
    """The chapter of the cables. After `blocks`, `left` says what is left out."""

    def __init__(self, plant: Plant, cables: tuple[LaidCable, ...]) -> None:
        self.plant, self.cables = plant, cables
        self.left: list[str] = []

    def blocks(self) -> Iterator[Block]:
        """The chapter; nothing where there are no cables."""
        if not self.cables:
            return
        yield Section("Cables", "cables")
        yield Words(summary(told_of(self.cables)))
        rows = [row for cable in self.cables for row in self._rows(cable)]
        yield table(HEADS, self._bounded(rows, "the cable schedule", "routecode cables"), size=_SMALL)
        yield from self._types()
        for sheet in sheets_of(self.plant, self.cables)[1:]:
            yield Section(sheet.title, f"cables-{sheet.title}", 2)
            yield Words(LOOM_WORDS if sheet.title == LOOMS else sheet.words)
            yield table(sheet.heads, self._bounded(sheet.texts, f'"{sheet.title}"', "routecode cables --looms"))

    def _types(self) -> Iterator[Block]:
        """What the types of the schedule are, and how much of each there is."""
        by_type: dict[str, list[LaidCable]] = {}
        for cable in self.cables:
            by_type.setdefault(cable.type or "", []).append(cable)
        rows = []
        for name in sorted(by_type, key=natural):
            kind = self.plant.studio.cable_type.get(name)
            figures = (kind.od_mm, kind.circuits or 1, kind.pf_per_metre, _ohms_per_km(kind)) if kind else (None,) * 4
            cables = by_type[name]
            metres = sum(cable.metres or 0.0 for cable in cables)
            said = ["?" if figure is None else number(figure) for figure in figures]
            rows.append([name or "not said", type_title(self.plant, name), *said, str(len(cables)), number(metres)])
        yield Section("Types of cable", "cables-types", 2)
        yield table(_TYPE_HEADS, rows)

    def _bounded(self, rows: list[list[str]], what: str, how: str) -> list[list[str]]:
        left = len(rows) - MOST_CIRCUITS
        if left > 0:
            self.left.append(f"Of {what}: the last {counted(left, 'row')} of {len(rows):,}. See them with: {how}")
        return rows[:MOST_CIRCUITS]

    def _rows(self, cable: LaidCable) -> Iterator[list[str]]:
        head = cable.number or "none"
        about = [
            "?" if cable.metres is None else number(cable.metres),
            cable.loom or "",
            {"make": "to make", DEAD: "dead"}.get(cable.status, "in"),
            cable.tested.isoformat() if cable.tested else "",
        ]
        kind = cable.type or "?"
        if not cable.circuits:
            yield [head, "", kind, cable.lies[0], "", cable.lies[1], "", *about]
        for index, circuit in enumerate(cable.circuits, 1):
            several = str(index) if len(cable.circuits) > 1 else ""
            yield [head, several, kind, *_ends(circuit), *about]


def _ohms_per_km(kind: CableType) -> float | None:
    """The resistance of one leg: as written, else what its gauge or area gives in copper; None where nothing is said."""
    if kind.ohms_per_km is None and kind.awg is None and kind.mm2 is None:
        return None
    return round(1000 * leg_ohms_per_metre(kind.ohms_per_km, kind.awg, kind.mm2), 1)


def _ends(circuit: Circuit) -> list[str]:
    return [text for end in (circuit.from_, circuit.to) for text in (end.called, _made(end))]


def _made(end: End) -> str:
    """What is on the cable there, and how cold and shield are made."""
    made = [f"cold {end.cold}" if end.cold else "", f"shield {end.shield}" if end.shield else ""]
    return ", ".join(part for part in (end.fitted, *made) if part)
