"""Names as people say them: titles, ranges, left and right, plurals. Makes phrases, no sentences; escapes nothing."""

import re
from collections.abc import Collection, Iterable, Sequence
from typing import NamedTuple

from routecode.change.matched import AFTER, BEFORE, Matched
from routecode.circuit.plant import OUT, PlacedBay, PlacedUnit
from routecode.ground.order import natural
from routecode.ground.reading import channel as channel_of
from routecode.ground.reading import plural

_NUMBERED = re.compile(r"(.*?) ?([0-9]{1,9})", re.DOTALL)
_SIDES = (" left", " right"), (" right", " left"), (" L", " R"), (" R", " L")


class Label(NamedTuple):
    """A name to be said: `head` is the title of its unit or bay, `stem` and `number` what follows it (number -1: none)."""

    head: str
    stem: str
    number: int
    digits: str

    @property
    def text(self) -> str:
        """The whole name."""
        return " ".join(part for part in (self.head, self.stem, self.digits) if part)

    @property
    def plain(self) -> bool:
        """Whether its number may stand in a range."""
        return self.number >= 0 and self.digits == str(self.number)


class Words:
    """Titles of two sides; names that both have are said as they read after."""

    def __init__(self, matched: Matched) -> None:
        self.matched = matched
        self._labels: dict[tuple[bool, int], Label] = {}
        self.most = 2
        """How many phrases of a list are said before the rest is only counted."""

    def shortened(self, pieces: Sequence[str], count: int, noun: str, more: int = 0) -> str:
        """All pieces where there are few; else the first and how many of `count` are not named."""
        return shortened(pieces, count, noun, self.most + more)

    # -- single names ---------------------------------------------------------------------------------------------------

    def channel(self, channel: int) -> Label:
        """The label of a shared channel."""
        found = self._labels.get((True, channel))
        if found is None:
            node = self.matched.channel_node(channel)
            unit, port, wide = self._port(node)
            tail = self.matched.channel_name(channel).rpartition(" ch ")[2] if wide else ""
            found = self._labels[True, channel] = label(unit, port if not wide else channel_of(port, tail).strip())
        return found

    def node(self, node: int) -> Label:
        """The label of a shared port or jack."""
        found = self._labels.get((False, node))
        if found is None:
            if self.matched.is_port(node):
                unit, port, _ = self._port(node)
                found = label(unit, port)
            elif self.matched.is_jack(node):
                bay, place = self._bay(node)
                found = label(bay.title, place)
            else:
                found = Label("a mult", "", -1, "")
            self._labels[False, node] = found
        return found

    def _port(self, node: int) -> tuple[str, str, bool]:
        """(title of the unit, name of the port or nothing where the unit has only one, whether it has several channels)."""
        own, side = self._own(node)
        plant = self.matched.plant(side)
        unit = plant.unit_of(own)
        name = self.matched.node_name(node).partition("/")[2]
        wide = plant.channels[own] > 1
        return unit.title, "" if len(unit.kit.sockets) == 1 else name, wide

    def _bay(self, node: int) -> tuple[PlacedBay, str]:
        own, side = self._own(node)
        bay = self.matched.plant(side).bay_of(own)
        return bay, bay.jack_name(own).partition("/")[2]

    def _own(self, node: int) -> tuple[int, str]:
        side = AFTER if node < self.matched.after_nodes else BEFORE
        return self.matched.own_node(side, node), side

    def unit(self, name: str) -> str:
        """The title of a unit or bay by its id as it reads after (or of the before side where only that has it)."""
        for plant in (self.matched.after, self.matched.before):
            thing: PlacedUnit | PlacedBay | None = plant.units.get(name) or plant.bays.get(name)
            if thing is not None:
                return thing.title
        return name

    def drives(self, channel: int) -> bool:
        """Whether a shared channel is of a port that gives signal."""
        own, side = self._own(self.matched.channel_node(channel))
        return self.matched.plant(side).direction[own] == OUT

    def setup(self, name: str) -> str:
        """The title of a setup by its id as it reads after."""
        for plant in (self.matched.after, self.matched.before):
            if name in plant.setups:
                return plant.setups[name].written.title or name
        return name

    def group(self, nodes: Collection[int]) -> str:
        """` (Drums)` where some jacks are one row, or both, of exactly the columns that carry this `group`; else nothing."""
        if len(nodes) < 2 or not all(self.matched.is_jack(node) for node in nodes):
            return ""
        owns = [self._own(node) for node in nodes]
        bays = {id(bay): bay for bay in (self.matched.plant(side).bay_of(own) for own, side in owns)}
        if len(bays) != 1:
            return ""
        (bay,) = bays.values()
        rows: dict[str, set[int]] = {}
        for own, _ in owns:
            row, column = bay.place(own)
            rows.setdefault(row, set()).add(column)
        first, *others = rows.values()
        title = bay.groups.get(min(first), "")
        of_group = {column for column, group in bay.groups.items() if group == title}
        whole = len(of_group) > 1 and first == of_group and all(other == first for other in others)
        return f" ({title})" if title and whole else ""

    def units_of(self, channels: Iterable[int], nodes: Iterable[int] = ()) -> set[str]:
        """Ids of the units and bays that carry some channels and nodes."""
        names = {self.matched.channel_name(channel).partition("/")[0] for channel in channels}
        return names | {
            self.matched.node_name(node).partition("/")[0]
            for node in nodes
            if self.matched.is_port(node) or self.matched.is_jack(node)
        }


def label(head: str, name: str) -> Label:
    """The label of a port or jack `name` of a unit or bay with the title `head`."""
    found = _NUMBERED.fullmatch(name)
    return Label(head, found[1], int(found[2]), found[2]) if found else Label(head, name, -1, "")


# -- lists ---------------------------------------------------------------------------------------------------------------


class Piece(str):
    """A phrase that stands for so many `names`."""

    __slots__ = ("names",)
    names: int

    def __new__(cls, text: str, names: int = 1) -> "Piece":
        """The phrase `text`."""
        made = super().__new__(cls, text)
        made.names = names
        return made


_RANGES = 4
"""How many ranges of one stem are said in one phrase."""


def in_order(labels: Sequence[Label]) -> list[Piece]:
    """Names as phrases in the order given, numbers of one stem as ranges: the order is never changed or hidden.

    `line 1`, `line 2`, `line 3`, `line 7` become `lines 1-3 and 7`; `line 4` to `line 1` become `lines 4 down to 1`.
    """
    runs: list[list[Label]] = []
    step = 0
    for position, label in enumerate(labels):
        ahead = _ahead(runs[-1][-1], label) if runs else 0
        down = ahead == -1 and (
            step == -1 or (step == 0 and position + 1 < len(labels) and _ahead(label, labels[position + 1]) == -1)
        )
        if (ahead == 1 and step != -1) or down:
            runs[-1].append(label)
            step = ahead
        else:
            runs.append([label])
            step = 0
    return _paired(_stems(runs))


def _ahead(label: Label, following: Label) -> int:
    """By how much the number grows from one name to the next; 0 where they do not belong in one range."""
    if label[:2] != following[:2] or not (label.plain and following.plain):
        return 0
    return following.number - label.number


def _stems(runs: list[list[Label]]) -> list[Piece]:
    """Neighbouring runs of one stem in one phrase."""
    groups: list[list[list[Label]]] = []
    for run in runs:
        before = groups[-1][-1][0] if groups else None
        same = before is not None and run[0].plain and before.plain and before[:2] == run[0][:2]
        if same and len(groups[-1]) < _RANGES:
            groups[-1].append(run)
        else:
            groups.append([run])
    return [_piece(group) for group in groups]


def _piece(group: list[list[Label]]) -> Piece:
    first = group[0][0]
    count = sum(map(len, group))
    if count == 1:
        return Piece(first.text)
    numbers = several([_range(run) for run in group])
    return Piece(" ".join(part for part in (first.head, plural(first.stem), numbers) if part), count)


def _range(run: list[Label]) -> str:
    if len(run) == 1:
        return run[0].digits
    between = "-" if run[-1].number > run[0].number else " down to "
    return f"{run[0].digits}{between}{run[-1].digits}"


def sorted_pieces(labels: Iterable[Label]) -> list[Piece]:
    """Names as phrases, in natural order, each once."""
    return in_order(sorted(set(labels), key=lambda label: natural(label.text)))


def _paired(pieces: list[Piece]) -> list[Piece]:
    """`Desk main left`, `Desk main right` become `Desk main left and right`; in the order given."""
    found: list[Piece] = []
    for piece in pieces:
        for one, other in _SIDES:
            if found and piece.endswith(other) and found[-1] == piece[: -len(other)] + one:
                found[-1] = Piece(f"{found[-1]} and{other}", 2)
                break
        else:
            found.append(piece)
    return found


def several(pieces: Sequence[str]) -> str:
    """`a`, `a and b`, `a, b and c`."""
    return pieces[0] if len(pieces) == 1 else f"{', '.join(pieces[:-1])} and {pieces[-1]}" if pieces else ""


def shortened(pieces: Sequence[str], count: int, noun: str, most: int = 2) -> str:
    """All pieces where there are few; else the first and how many of `count` are not named."""
    if len(pieces) <= most:
        return several(pieces)
    return f"{pieces[0]} and {many(count - names_of(pieces[:1]), f'more {noun}')}"


def names_of(pieces: Iterable[str]) -> int:
    """How many names some phrases stand for."""
    return sum(piece.names if isinstance(piece, Piece) else 1 for piece in pieces)


def many(count: int, one: str, more: str = "") -> str:
    """`1 cord`, `3 cords`, `1,200 paths`."""
    return f"{count:,} {one if count == 1 else more or one + 's'}"
