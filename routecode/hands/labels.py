"""What stands on the label strips of a bay: for each jack what is wired behind it, one label over neighbours that count on.

Words only: where they stand in millimetres is in `labels_geometry`, how they are shortened in `labels_short`, how large the type is in
`show`. A text of the studio's own (`label_top`, `label_bottom`) always wins over the wiring.
"""

import re
from collections.abc import Iterator, Sequence

from attrs import evolve, frozen

from routecode.circuit.plant import PlacedBay, Plant
from routecode.ground.order import natural

_NUMBERED = re.compile(r"(.*?)([0-9]{1,6})", re.DOTALL)
_SIDES = {"left": "L", "right": "R", "l": "L", "r": "R"}


@frozen
class Label:
    """A label over the columns `first` to `last` of one row. Its text is `head` (what people call the unit or bay), `stem` (the port
    without its number) and `tails`, one for each column (numbers, sides, or empty). `own`: the studio says it itself."""

    row: str
    first: int
    last: int
    head: str
    stem: str
    tails: tuple[str, ...]
    own: bool = False

    @property
    def columns(self) -> range:
        """The columns it is over."""
        return range(self.first, self.last + 1)

    @property
    def span(self) -> str:
        """Its tails in one: `3`, `1–8`, `L/R`, or empty."""
        return spanned(self.tails)

    @property
    def whole(self) -> str:
        """All of it: `Hall box line 1–8`."""
        return joined(self.head, self.stem, self.span)

    def cut(self, first: int, last: int) -> "Label":
        """The part of it that is over these columns."""
        first, last = max(first, self.first), min(last, self.last)
        return evolve(self, first=first, last=last, tails=self.tails[first - self.first : last - self.first + 1])


@frozen
class Group:
    """A title over the columns `first` to `last`."""

    first: int
    last: int
    text: str


def joined(*parts: str) -> str:
    """The parts that say something, with blanks between."""
    return " ".join(part for part in parts if part)


def spanned(tails: Sequence[str]) -> str:
    """Tails in the order in which they stand, in one."""
    if len(tails) == 1 or not tails[-1]:
        return tails[-1]
    return f"{tails[0]}–{tails[-1]}" if tails[0].isdecimal() else "/".join(tails)


# -- from the wiring ----------------------------------------------------------------------------------------------------


def labels(
    plant: Plant, bay: PlacedBay, breaks: frozenset[int] = frozenset(), *, each: bool = False
) -> tuple[Label, ...]:
    """The labels of a bay, row by row. None goes over a gap (`breaks`: columns with one behind them) or over the edge of a
    group; with `each` every jack has its own."""
    found: list[Label] = []
    for row in ("top", "bottom")[: bay.rows]:
        run: list[Label] = []
        for number in range(1, bay.columns + 1):
            label = _label(plant, bay, row, number)
            if run and (label is None or each or not _goes_on(run, label, bay, breaks)):
                found.append(_merged(run))
                run = []
            if label is not None:
                run.append(label)
        if run:
            found.append(_merged(run))
    return tuple(found)


def groups(bay: PlacedBay) -> tuple[Group, ...]:
    """The titles over neighbouring columns of the same group."""
    found: list[Group] = []
    for number in range(1, bay.columns + 1):
        text = bay.groups.get(number, "")
        if found and text and found[-1].text == text and found[-1].last == number - 1:
            found[-1] = evolve(found[-1], last=number)
        elif text:
            found.append(Group(number, number, text))
    return tuple(found)


def _label(plant: Plant, bay: PlacedBay, row: str, number: int) -> Label | None:
    own = bay.labels.get((row, number))
    if own is not None:
        return _parted(row, number, "", own, True)
    behind = sorted(_behind(plant, bay.jack(row, number)), key=lambda place: (natural(place[0]), natural(place[1])))
    if len(behind) > 1:
        return Label(row, number, number, "", " + ".join(joined(*place) for place in behind), ("",))
    if behind:
        return _parted(row, number, *behind[0], False)
    reserved = bay.reserved.get(number)
    if reserved and (row == "top" or bay.rows == 1 or _behind(plant, bay.jack("top", number))):
        return Label(row, number, number, "", reserved, ("",), True)
    return None


def _behind(plant: Plant, node: int) -> list[tuple[str, str]]:
    """Title and port, or title and jack, of what is wired to the rear of a jack."""
    return [named(plant, other) for other in plant.wired(node)]


def named(plant: Plant, node: int) -> tuple[str, str]:
    """What people call a place: the unit's or bay's title, and its port or jack."""
    if plant.is_jack(node):
        bay = plant.bay_of(node)
        row, number = bay.place(node)
        return bay.title, f"{row} {number}".strip()
    unit = plant.unit_of(node)
    return unit.title, unit.kit.sockets[node - unit.first].name


def _parted(row: str, number: int, head: str, port: str, own: bool) -> Label:
    found = _NUMBERED.fullmatch(port)
    if found and (found[1] == "" or found[1].endswith(" ")):
        return Label(row, number, number, head, found[1].rstrip(), (found[2],), own)
    stem, _, last = port.rpartition(" ")
    if last.lower() in _SIDES and (stem or head):
        return Label(row, number, number, head, stem, (last,), own)
    return Label(row, number, number, head, port, ("",), own)


# -- one label over neighbours ------------------------------------------------------------------------------------------


def _goes_on(run: Sequence[Label], label: Label, bay: PlacedBay, breaks: frozenset[int]) -> bool:
    last = run[-1]
    if (last.head, last.stem, last.own) != (label.head, label.stem, label.own) or last.last in breaks:
        return False
    if bay.groups.get(last.last) != bay.groups.get(label.first):
        return False
    one, other = last.tails[0], label.tails[0]
    if one.isdecimal() and other.isdecimal():
        return int(other) == int(one) + 1
    sides = (_SIDES.get(one.lower()), _SIDES.get(other.lower()))
    return (len(run) == 1 and sides == ("L", "R")) or (label.own and not one and not other)


def _merged(run: Sequence[Label]) -> Label:
    if len(run) == 1:
        return run[0]
    tails = tuple(_SIDES.get(label.tails[0].lower(), label.tails[0]) for label in run)
    return evolve(run[0], last=run[-1].last, tails=tails)


def within(found: Sequence[Label], first: int, last: int) -> Iterator[Label]:
    """The labels over these columns, those at the edges cut there."""
    for label in found:
        if label.first <= last and label.last >= first:
            yield label.cut(first, last)
