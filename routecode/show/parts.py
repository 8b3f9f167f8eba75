"""The parts list as text for a terminal: by group, then cords by setup, lengths used again, and what could not be counted."""

from collections.abc import Iterator

from routecode.circuit.plant import Plant
from routecode.hands.parts import Bill, Line
from routecode.hands.parts_counts import CABLE
from routecode.rules.words import counted
from routecode.show.escape import visible
from routecode.show.measure import padded, width, wrapped
from routecode.show.parts_sheets import amount, covered_words, gap_words, money, remarks, sums, unit_of

_AMOUNT = 7
_MONEY = 9
_LEAST = 18


def parts_text(plant: Plant, bill: Bill, called: str, columns: int, *, change: bool) -> str:
    """The whole list."""
    title = plant.studio.head.title or "the studio"
    what = f"What is needed for {title}" if change else f"Parts of {title}"
    lines = [*wrapped(visible(f"{what}: {called}"), columns), ""]
    for sentence in (*sums(bill), *remarks(plant, bill)):
        lines += wrapped(visible(sentence), columns)
    lines += _table(bill, columns, change=change)
    lines += _cords(plant, bill, columns)
    lines += _again(bill, columns)
    if bill.uncounted:
        lines += ["", "Not counted, for the text does not say it:"]
        lines += [line for gap in bill.uncounted for line in _item(gap_words(gap), columns)]
    return "".join(f"{line}\n" for line in lines)


# -- the table -----------------------------------------------------------------------------------------------------------


def _table(bill: Bill, columns: int, *, change: bool) -> Iterator[str]:
    shown = [line for line in bill.lines if not change or line.needs or line.freed or line.order]
    priced = any(line.price is not None for line in shown)
    heads = ["contains", "needs", "freed", "stock", "order"] if change else ["contains", "needs", "stock", "order"]
    cells = [_amounts(line, change=change) for line in shown]
    widths = [
        max(_AMOUNT, *(len(cell) + 1 for cell in (head, *column))) for head, *column in zip(heads, *cells, strict=True)
    ]
    widths += [_MONEY, _MONEY] if priced else []
    heads += ["price", "cost"] if priced else []
    room = max(_LEAST, columns - sum(widths))
    group = ""
    for line in shown:
        if line.group != group:
            group = line.group
            yield ""
            head, *rest = wrapped(visible(f"{group}{_cost(bill, group)}"), room - 1)
            yield (padded(head, room) + "".join(map(str.rjust, heads, widths))).rstrip()
            yield from rest
        yield from _row(line, room, widths, change=change, priced=priced)


def _cost(bill: Bill, group: str) -> str:
    found = next(one for one in bill.groups if one.group == group)
    return f": {money(found.cost)}" if found.cost else ""


def _row(line: Line, room: int, widths: list[int], *, change: bool, priced: bool) -> Iterator[str]:
    unit = "" if line.unit == "piece" else f", {unit_of(line)}"
    first, *rest = wrapped(visible(f"{line.called}{unit}"), room - 3)
    cells = _amounts(line, change=change)
    if priced:
        no_price = "none" if line.order and line.price is None else ""
        cells += [money(line.price) if line.price is not None else no_price, money(line.cost) if line.cost else ""]
    told = "".join(cell.rjust(wide) for cell, wide in zip(cells, widths, strict=True))
    yield f"{padded('  ' + first, room)}{told}".rstrip()
    yield from (f"    {more}" for more in rest)


def _amounts(line: Line, *, change: bool) -> list[str]:
    """The amounts of a line; where it is ordered by the set, each with what it counts."""
    held = [amount(value) for value in (line.contains, line.needs, *([line.freed] if change else []))]
    bought = [amount(value) for value in (line.stock, line.order)]
    if line.unit != "set":
        return held + bought
    sets = [f"{cell} {'set' if cell == '1' else 'sets'}" if cell else "" for cell in bought]
    return [f"{cell} {'m' if line.kind == CABLE else 'pc'}" if cell else "" for cell in held] + sets


# -- cords, lengths ------------------------------------------------------------------------------------------------------


def _cords(plant: Plant, bill: Bill, columns: int) -> Iterator[str]:
    """Whether the cords owned cover every setup."""
    if not bill.setups:
        return
    yield ""
    yield "Cords, one setup at a time:"
    for setup in bill.setups:
        title = plant.setups[setup.setup].written.title or setup.setup
        yield from _item(" ".join(covered_words(setup, title)), columns)
    if not plant.studio.cord_type:
        yield from _item("Write what is owned: [cord_type.short], ends, metres, own.", columns)


def _again(bill: Bill, columns: int) -> Iterator[str]:
    if bill.again:
        yield ""
        metres = sum(one.now.metres or 0.0 for one in bill.again)
        yield from wrapped(f"Used again: {counted(len(bill.again), 'length')}, {amount(metres)} m not bought.", columns)
    for one in bill.again:
        was, now = (cable.number or cable.ends[0] for cable in one)
        yield from _item(
            f"{was}, {amount(one.was.metres or 0)} m, becomes {now}, {amount(one.now.metres or 0)} m.", columns
        )
    if bill.waiting:
        yield ""
        said = f"Not counted: {counted(bill.waiting, 'cable')} to be made before as after; see routecode parts."
        yield from wrapped(said, columns)


def _item(text: str, columns: int) -> list[str]:
    first, *rest = wrapped(visible(text), columns - 4)
    return [f"  {first}", *(f"    {line}" for line in rest)] if width(text) else []
