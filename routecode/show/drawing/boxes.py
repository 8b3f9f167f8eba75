"""Units as boxes: title in the middle, inputs at the upper edge, outputs at the lower one; cells wide enough for their texts."""

from routecode.show.drawing.compare import Both, Mark
from routecode.show.drawing.facts import UnitFacts
from routecode.show.drawing.fold import Cell
from routecode.show.drawing.measure import SMALL, TITLE, fitted, visible, width
from routecode.show.drawing.picture import Block, Slot, Word

ROW = 15.0
_TITLE_ROW = 20.0
_NOTE_ROW = 11.0
_WORD_ROW = 13.0
_LEAST = 64.0
_LONGEST_LABEL = 96.0
_LONGEST_TITLE = 190.0
_FREE_SHOWN = 2


def unit_block(both: Both, name: str, cells: list[Cell], node: str) -> Block:
    """The box of a unit."""
    before, after = both.unit(name)
    facts = after or before
    assert facts is not None
    mark = both.mark(name)
    upper = _labels(both, name, [cell for cell in cells if cell.edge == "in"])
    lower = _labels(both, name, [cell for cell in cells if cell.edge == "out"])
    notes = [_note(found) for found in (before, after) if found]
    wide = max(
        _LEAST,
        *(_title_wide(found) for found in (before, after) if found),
        *(width(note, SMALL) + 12 for note in notes),
    )
    wide = float(round(max(wide, _least(upper), _least(lower))))
    middle = _TITLE_ROW + (_NOTE_ROW if any(notes) else 0) + (_WORD_ROW if mark is not Mark.SAME else 0)
    base = ROW if lower else 0.0
    high = base + middle + (ROW if upper else 0)
    slots = _slots(lower, wide, 0.0) + _slots(upper, wide, base + middle)
    words = _words(both, name, (wide / 2, base, middle))
    said = f"{visible(facts.title)} ({name})" + (f", {mark.value}" if mark.value else "")
    room = "" if _moved(before, after) else facts.room
    return Block(node, "unit", name, room, wide, high, slots, (0, 0), (), words, (), mark, said)


def _moved(before: UnitFacts | None, after: UnitFacts | None) -> bool:
    """A unit that stands in another room stands in no frame: one frame would be wrong for one side."""
    return before is not None and after is not None and before.room != after.room


def _note(facts: UnitFacts) -> str:
    return fitted(visible(facts.note), _LONGEST_TITLE, SMALL)


def _title_wide(facts: UnitFacts) -> float:
    return width(fitted(visible(facts.title), _LONGEST_TITLE, TITLE, bold=True), TITLE, bold=True) + 14


Label = tuple[str, str, Mark, bool, tuple[str, ...]]
"""Port of the drawing, text, mark, quiet, names of the ports."""


def _labels(both: Both, name: str, cells: list[Cell]) -> list[Label]:
    free = [cell for cell in cells if not cell.used]
    hidden = {cell.id for cell in free[_FREE_SHOWN:]} if len(free) > _FREE_SHOWN + 1 else set()
    found = [
        (
            f"c{cell.id}",
            fitted(visible(cell.label), _LONGEST_LABEL, SMALL),
            _mark(both, name, cell),
            not cell.used,
            tuple(f"{name}/{found.name}" for found in cell.pins),
        )
        for cell in cells
        if cell.id not in hidden
    ]
    if hidden:
        count = sum(len(cell.pins) for cell in free[_FREE_SHOWN:])
        found.append((f"f{free[0].id}", f"{count} more free", Mark.SAME, True, ()))
    return found


def _mark(both: Both, name: str, cell: Cell) -> Mark:
    before, after = both.unit(name)
    if before is None or after is None:
        return Mark.SAME
    was = {port for port, _ in before.ports}
    now = {port for port, _ in after.ports}
    ports = {found.name for found in cell.pins}
    if not ports & was:
        return Mark.NEW
    return Mark.SAME if ports & now else Mark.GONE


def _least(labels: list[Label]) -> float:
    return sum(_cell_wide(text) for _, text, *_ in labels)


def _cell_wide(text: str) -> float:
    return max(20.0, round(width(text, SMALL) + 9))


def _slots(labels: list[Label], wide: float, low: float) -> tuple[Slot, ...]:
    """Cells side by side, the width that is left shared among them in whole points."""
    if not labels:
        return ()
    spare = int(wide - _least(labels))
    slots = []
    left = 0.0
    for index, (port, text, mark, quiet, names) in enumerate(labels):
        more = spare * (index + 1) // len(labels) - spare * index // len(labels)
        own = _cell_wide(text) + more
        slots.append(Slot(port, text, left, low, own, ROW, mark, quiet, names))
        left += own
    return tuple(slots)


def _words(both: Both, name: str, place: tuple[float, float, float]) -> tuple[Word, ...]:
    before, after = both.unit(name)
    mark = both.mark(name)
    x, base, middle = place
    top = base + middle
    word = [Word(mark.value, (x, top - _WORD_ROW / 2 - 1), SMALL, True, mark)] if mark is not Mark.SAME else []
    title_at = top - (_WORD_ROW if word else 0) - _TITLE_ROW / 2
    texts = []
    alike = before is not None and after is not None and (before.title, before.note) == (after.title, after.note)
    for facts, side in ((None if alike else before, Mark.GONE), (after, Mark.NEW)):
        if facts is None:
            continue
        shown = Mark.SAME if alike or before is None or after is None else side
        texts.append(
            Word(fitted(visible(facts.title), _LONGEST_TITLE, TITLE, bold=True), (x, title_at), TITLE, True, shown)
        )
        if note := _note(facts):
            texts.append(Word(note, (x, title_at - 14), SMALL, False, shown, quiet=True))
    return (*word, *texts)
