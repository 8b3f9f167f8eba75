"""The parts list as sheets, and the words in which cords, sums and gaps are told in every form."""

from collections.abc import Iterator

from routecode.circuit.plant import Plant
from routecode.hands.parts import Bill, GroupSum, Line
from routecode.hands.parts_cords import Covered, Short, up_to_cm
from routecode.hands.parts_counts import CABLE, Gap
from routecode.rules.words import counted, listed
from routecode.show.sheets.sheet import Book, Cell, Money, Sheet, number

HEADS = (
    "group",
    "part",
    "unit",
    "contains",
    "needs",
    "set free",
    "in stock",
    "to order",
    "price",
    "cost",
    "worth",
    "remark",
)
UNITS = {"piece": "piece", "metre": "m", "set": "set"}
_UNSAID = "?"
_MOST_LONGER = 8
_WHY = {
    "none": "none of these is owned",
    "number": "too few are owned",
    "reach": "those left do not reach",
    "own": "how many are owned is not said",
}


def book_of(plant: Plant, bill: Bill, called: str, *, change: bool) -> Book:
    """All of it as a book."""
    rows = tuple(_row(line) for line in bill.lines)
    found = [Sheet("Parts", HEADS, rows, " ".join([*sums(bill), *remarks(plant, bill)]))]
    if bill.groups:
        found.append(Sheet("Sums by group", ("group", "cost", "worth", "remark"), tuple(map(_group, bill.groups))))
    if bill.setups:
        found.append(_cords(plant, bill))
    if bill.again:
        again = tuple(
            (one.was.number, one.was.metres, one.now.number, one.now.metres, one.now.type) for one in bill.again
        )
        found.append(Sheet("Used again", ("was", "metres", "becomes", "metres needed", "type"), again))
    if bill.uncounted:
        gaps = tuple((gap.says, gap.places, gap.do) for gap in bill.uncounted)
        found.append(Sheet("Not counted", ("what", "how many", "write"), gaps))
    title = "Parts for a change" if change else "Parts"
    return Book(plant.studio.head.title or "The studio", title, called, tuple(found))


def money(value: float) -> str:
    """An amount of money: 1,234.50."""
    return f"{value:,.2f}"


def sums(bill: Bill) -> list[str]:
    """What it all costs, and what of it has no price."""
    orders = [line for line in bill.lines if line.order]
    if not orders:
        return ["Nothing is to be ordered.", *worth(bill)]
    priced = len(orders) - len(bill.unpriced)
    currency = f" {bill.currency}" if bill.currency else ""
    lines = [f"To order: {counted(len(orders), 'part')}."]
    if priced:
        lines.append(f"{'Those with a price' if bill.unpriced else 'Together'}: {money(bill.cost)}{currency}.")
    if bill.unpriced:
        lines.append(f"{counted(len(bill.unpriced), 'part')} to order {_have(len(bill.unpriced))} no price.")
    return [*lines, *worth(bill)]


def allowance(plant: Plant, bill: Bill) -> list[str]:
    """What is added to the lengths of cable that is to come; nothing where none comes by the metre."""
    head = plant.studio.head
    if not any(line.kind == CABLE and line.unit == "metre" and line.needs for line in bill.lines):
        return []
    added = [f"{head.allowance_percent:g} %"] * bool(head.allowance_percent)
    added += [f"{head.allowance_metres:g} m for each length"] * bool(head.allowance_metres)
    return [f"Cable that is needed is told with an allowance: {' and '.join(added)}."] if added else []


def remarks(plant: Plant, bill: Bill) -> list[str]:
    """What is to be known of the amounts: the allowance, what belongs to bays, cables that are written longer than they were."""
    found = allowance(plant, bill)
    if bill.rears:
        ends = counted(bill.rears, "end")
        found.append(
            f"Of these cables {ends} {'takes' if bill.rears == 1 else 'take'} a rear connector: those belong to the bay, one for each jack, "
            "and are needed only with a new bay."
        )
    if bill.corrected:
        longer = [
            f"{one.now.number or one.now.ends[0]} ({number(one.now.metres or 0.0)} m, before {number(one.was.metres or 0.0)})"
            for one in bill.corrected
        ]
        found.append(
            f"Written longer, and taken as a corrected record, since number and ends stay: {listed(longer, _MOST_LONGER)}. "
            "Give a cable that is made anew another number."
        )
    return found


def unit_of(line: Line) -> str:
    """What a line is ordered by: `piece`, `m`, `set of 10`."""
    return f"set of {line.pieces}" if line.unit == "set" else UNITS[line.unit]


def worth(bill: Bill) -> list[str]:
    """What all that the studio contains would cost."""
    if not bill.worth:
        return []
    bare = sum(line.price is None and bool(line.contains) for line in bill.lines)
    currency = f" {bill.currency}" if bill.currency else ""
    rest = f"; {counted(bare, 'part')} in it {_have(bare)} no price" if bare else ""
    return [f"All that it contains, at these prices: {money(bill.worth)}{currency}{rest}."]


def _have(count: int) -> str:
    return "has" if count == 1 else "have"


def remark(line: Line) -> str:
    """What is to be said of a line besides its numbers."""
    if line.order and line.price is None:
        return "no price"
    return ""


def covered_words(setup: Covered, title: str) -> list[str]:
    """Whether the cords cover a setup, one sentence for each thing that is missing."""
    lines = [_short(short) for short in setup.short]
    lines += [f"{lack} of adapter {name} missing" for name, lack in setup.adapters]
    cords = counted(setup.cords, "cord")
    if lines and all(short.why == "own" for short in setup.short) and not setup.adapters:
        return [f"{title}: {cords}, {listed(lines, len(lines))}; how many are owned is not written."]
    said = f"{title}: {cords}; {'; '.join(lines)}." if lines else f"{title}: {cords}, all owned."
    if setup.unmeasured and not setup.short:
        return [said, f"The reach is not known of {setup.unmeasured}."]
    return [said]


def _short(short: Short) -> str:
    reach = f" of {up_to_cm(short.reach):g} m or more" if short.reach is not None else ""
    what = f"{short.number} {_plugs(short.ends)}{reach}"
    return what if short.why == "own" else f"{what} missing ({_WHY[short.why]})"


def _plugs(ends: tuple[str, ...]) -> str:
    """The plugs of a cord; `?` is one that the wiring does not say."""
    if all(end == _UNSAID for end in ends):
        return "with plugs that are not written"
    return " to ".join("a plug that is not written" if end == _UNSAID else end for end in ends)


def gap_words(gap: Gap) -> str:
    """What could not be counted, and what to write."""
    return f"{gap.places} {gap.says}; write `{gap.do}`."


def _row(line: Line) -> tuple[Cell, ...]:
    amounts = (line.contains, line.needs, line.freed, line.stock, line.order)
    counts = "m" if line.kind == CABLE else "piece"
    unit = f"{counts}; stock, order and price: {unit_of(line)}" if line.unit == "set" else unit_of(line)
    head = (line.group, line.called, unit)
    return (
        *head,
        *(_plain(amount) for amount in amounts),
        _money(line.price),
        _money(line.cost or None),
        _money(line.worth or None),
        remark(line) or None,
    )


def _money(value: float | None) -> Money | None:
    return None if value is None else Money(value)


def _plain(amount: float) -> float | int | None:
    """An amount; nothing is an empty cell, as in the text, so that what there is stands out."""
    if not amount:
        return None
    return int(amount) if float(amount).is_integer() else float(amount)


def _group(group: GroupSum) -> tuple[Cell, ...]:
    said = f"{counted(group.unpriced, 'part')} to order without a price" if group.unpriced else None
    return (group.group, Money(group.cost), Money(group.worth), said)


def _cords(plant: Plant, bill: Bill) -> Sheet:
    heads = ("setup", "cords", "missing", "plugs", "reach in metres", "why")
    rows = tuple(row for setup in bill.setups for row in _cord_rows(plant, setup))
    return Sheet("Cords", heads, rows, "One setup is patched at a time.")


def _cord_rows(plant: Plant, setup: Covered) -> Iterator[tuple[Cell, ...]]:
    title = plant.setups[setup.setup].written.title or setup.setup
    if not setup.short and not setup.adapters:
        yield (title, setup.cords, 0, None, None, None)
    for short in setup.short:
        reach = up_to_cm(short.reach) if short.reach is not None else None
        missing = short.number if short.why != "own" else None
        yield (title, setup.cords, missing, _plugs(short.ends), reach, _WHY[short.why])
    for name, lack in setup.adapters:
        yield (title, setup.cords, lack, f"adapter {name}", None, "too few are owned")


def amount(value: float) -> str:
    """An amount for people: empty for none."""
    return number(float(round(value, 2))) if value else ""
