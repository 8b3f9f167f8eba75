"""The parts list: what a studio contains, or what a change needs, less what it sets free and what is in stock; with prices. The door.

Prices are the studio's own (`[part.ID]`); what has none is in the list all the same and is said to have none.
"""

from collections.abc import Iterable, Mapping
from math import ceil
from typing import NamedTuple

from routecode.change.difference import Compared
from routecode.circuit.plant import Plant
from routecode.ground.order import natural
from routecode.hands.cables import DEAD, LaidCable, schedule
from routecode.hands.cables_ends import PLUG, mate
from routecode.hands.parts_change import Again, turnover
from routecode.hands.parts_cords import (
    Covered,
    covered,
    ends_of,
    longest_missing,
    most_adapters,
    most_missing,
    up_to_cm,
    used_adapters,
)
from routecode.hands.parts_counts import (
    ADAPTER,
    CABLE,
    CORD,
    DUMMY,
    KINDS,
    LINK,
    REAR,
    Counts,
    Gap,
    Item,
    cable_metres,
    fixed_counts,
    plug_seats,
    rear_ends,
    to_make,
    uncounted,
)
from routecode.language.written import Adapter, CableType, CordType, Part

GROUPS = {
    PLUG: "Connectors",
    REAR: "Bays",
    LINK: "Bays",
    DUMMY: "Bays",
    CABLE: "Cable",
    CORD: "Cords",
    ADAPTER: "Adapters",
}
"""The heading of a kind where its part does not say one."""

_EXACT = 6
"""Decimals of lengths; beyond them is only the arithmetic of the machine."""


class Line(NamedTuple):
    """One thing of the list. Amounts are pieces, or metres of cable; `order`, `stock` and `price` are in `unit`, which holds `pieces`.

    `contains`: in the studio as it is to be; `needs`: what is to come; `freed`: what comes off; `cost` None: it has no price.
    """

    part: str | None
    called: str
    kind: str
    group: str
    unit: str
    pieces: int
    contains: float
    needs: float
    freed: float
    stock: float
    order: float
    price: float | None
    cost: float | None
    worth: float | None
    """What all of it that the studio contains would cost."""


class GroupSum(NamedTuple):
    """One heading: what its orders cost together, how many of them have no price, and what all that is contained would cost."""

    group: str
    cost: float
    unpriced: int
    worth: float


class Bill(NamedTuple):
    """The list, its sums, the cords, and what could not be counted. `again`: lengths used again; `waiting`, `corrected`: see `Turnover`.

    `rears`: how many ends of the cables to come take a connector behind a bay. Those belong to the bay, which has one for each jack.
    """

    lines: tuple[Line, ...]
    groups: tuple[GroupSum, ...]
    currency: str | None
    setups: tuple[Covered, ...]
    uncounted: tuple[Gap, ...]
    rears: int
    again: tuple[Again, ...] = ()
    waiting: int = 0
    corrected: tuple[Again, ...] = ()

    @property
    def cost(self) -> float:
        """What all orders that have a price cost."""
        return round(sum(group.cost for group in self.groups), 2)

    @property
    def worth(self) -> float:
        """What all that is contained would cost, as far as it has a price."""
        return round(sum(group.worth for group in self.groups), 2)

    @property
    def unpriced(self) -> tuple[Line, ...]:
        """What is to be ordered and has no price."""
        return tuple(line for line in self.lines if line.order and line.price is None)


class _Amounts(NamedTuple):
    """Amounts by item; of cable metres, and in `pieces` how many lengths."""

    metres: dict[Item, float]
    pieces: dict[Item, int]


def bill_of(plant: Plant) -> Bill:
    """What a studio contains; what is needed for the cables that are still to be made, and for cords and adapters that are missing."""
    cables = schedule(plant)
    make = to_make(cables)
    made = {id(cable) for cable in make}
    needs: Counts = Counts(seat.item for seat, cable in plug_seats(plant, cables) if id(cable) in made)
    return _bill(plant, cables, needs, Counts(), make)


def bill_of_change(compared: Compared) -> Bill:
    """What the way from one studio to another needs; cords and adapters as the other one needs them."""
    found, plant = turnover(compared), compared.after.plant
    made = _bill(plant, schedule(plant), found.needs, found.freed, found.come)
    return made._replace(again=found.again, waiting=found.waiting, corrected=found.corrected)


def _bill(
    plant: Plant,
    cables: Iterable[LaidCable],
    needs: Counts,
    freed: Counts,
    lengths: Iterable[LaidCable],
) -> Bill:
    cables, lengths = tuple(cables), tuple(lengths)
    setups = covered(plant)
    contains = _contains(plant, cables)
    wanted = _wanted(plant, needs, lengths, setups)
    catalogue = _Catalogue(plant)
    lines: dict[tuple[str | None, Item | None], Line] = {}
    for item in sorted(contains.metres.keys() | wanted.metres.keys() | freed.keys(), key=_order):
        made = catalogue.line(item, contains, wanted, freed.get(item, 0))
        key = (made.part, None if made.part else item)
        lines[key] = _joined(lines[key], made) if key in lines else made
    groups = list(dict.fromkeys(line.group for line in lines.values()))
    ordered = sorted(lines.values(), key=lambda line: groups.index(line.group))
    priced = tuple(map(catalogue.priced, ordered))
    head = plant.studio.head
    return Bill(priced, _sums(priced), head.currency, setups, uncounted(plant, cables), rear_ends(lengths))


def _order(item: Item) -> tuple[object, ...]:
    return (KINDS.index(item.kind), natural(item.word))


# -- amounts -------------------------------------------------------------------------------------------------------------


def _contains(plant: Plant, cables: tuple[LaidCable, ...]) -> _Amounts:
    metres: dict[Item, float] = dict(fixed_counts(plant, cables))
    metres |= cable_metres(cables)
    pieces = _lengths(cables)
    studio = plant.studio
    for item in pieces:
        metres.setdefault(item, 0.0)
    metres |= {Item(CORD, name): kind.own or 0 for name, kind in studio.cord_type.items()}
    metres |= {Item(ADAPTER, name): kind.own or 0 for name, kind in studio.adapter.items()}
    metres |= {Item(ADAPTER, name): 0 for name in used_adapters(plant) if name not in studio.adapter}
    return _Amounts(metres, pieces)


def _lengths(cables: Iterable[LaidCable]) -> dict[Item, int]:
    return dict(Counts(Item(CABLE, cable.type) for cable in cables if cable.type is not None and cable.status != DEAD))


def _wanted(plant: Plant, needs: Counts, lengths: tuple[LaidCable, ...], setups: tuple[Covered, ...]) -> _Amounts:
    """What is to come: plugs and parts of bays, cable with its allowance, cords and adapters that are missing."""
    head = plant.studio.head
    metres: dict[Item, float] = dict(needs)
    for cable in lengths:
        if cable.type is not None and cable.metres is not None:
            item = Item(CABLE, cable.type)
            more = cable.metres * (1 + head.allowance_percent / 100) + head.allowance_metres
            metres[item] = round(metres.get(item, 0.0) + more, _EXACT)
    reaches = longest_missing(setups)
    for ends, number in most_missing(setups).items():
        item = Item(CORD, _cord_for(plant, ends, reaches.get(ends)))
        metres[item] = metres.get(item, 0) + number
    metres |= {Item(ADAPTER, name): number for name, number in most_adapters(setups).items()}
    return _Amounts(metres, _lengths(lengths))


def _cord_for(plant: Plant, ends: tuple[str, ...], reach: float | None) -> str:
    """The kind of cord to buy for these plugs: the longest of those owned, which does wherever any of them does; else the plugs, and
    the reach where none of those owned has it."""
    fitting = [kind for kind in plant.studio.cord_type.values() if ends_of(kind) == ends]
    fitting = [kind for kind in fitting if reach is None or kind.metres is None or kind.metres >= reach]
    if not fitting:
        return " to ".join(ends) + (f", {up_to_cm(reach):g} m or more" if reach is not None else "")
    return max(fitting, key=lambda kind: (kind.metres or 0.0, kind.id)).id


# -- the catalogue -------------------------------------------------------------------------------------------------------


class _Catalogue:
    """The studio's own parts, found by what they fit or by what names them."""

    def __init__(self, plant: Plant) -> None:
        self.studio = plant.studio
        self.named: dict[str, Mapping[str, CableType | CordType | Adapter]] = {
            CABLE: self.studio.cable_type,
            CORD: self.studio.cord_type,
            ADAPTER: self.studio.adapter,
        }
        self.by_fit = {Item(part.kind, word): part for part in self.studio.part.values() for word in part.fits}

    def part(self, item: Item) -> Part | None:
        """The part that an item is."""
        if item.kind not in self.named:
            return self.by_fit.get(item)
        kind = self.named[item.kind].get(item.word)
        return self.studio.part.get(kind.part or "") if kind is not None else None

    def line(self, item: Item, contains: _Amounts, wanted: _Amounts, freed: float) -> Line:
        """The line of an item, not priced yet."""
        part = self.part(item)
        by_length = item.kind == CABLE and part is not None and part.unit == "piece"
        unit = part.unit if part is not None else "metre" if item.kind == CABLE else "piece"
        held, come = ((each.pieces if by_length else each.metres).get(item, 0) for each in (contains, wanted))
        return Line(
            part.id if part is not None else None,
            (part.title or part.id) if part is not None else self._called(item),
            item.kind,
            (part.group if part is not None else None) or GROUPS[item.kind],
            unit,
            part.pieces if part is not None else 1,
            held,
            come,
            freed,
            part.stock if part is not None else 0.0,
            0.0,
            part.price if part is not None else None,
            None,
            None,
        )

    def _called(self, item: Item) -> str:
        """What an item is called that is in no catalogue."""
        if item.kind in self.named:
            kind = self.named[item.kind].get(item.word)
            return (kind.title if kind is not None else None) or (
                f"cord, {item.word.replace('?', 'a plug that is not written')}" if item.kind == CORD else item.word
            )
        if item.kind == PLUG:
            plug, gender = mate(item.word)
            said = ", ".join(part for part in (f"plug {plug}", gender) if part)
            return f"{said}, for {item.word} sockets" if item.word != "multipin" else "multipin plug, kind not said"
        return (
            f"{item.kind.replace('-', ' ')}{' connector' if item.kind == REAR else ''}, {item.word or 'kind not said'}"
        )

    def priced(self, line: Line) -> Line:
        """A line with what is to be ordered, and what it costs."""
        each = line.pieces
        missing = round(line.needs - line.freed - line.stock * each, _EXACT)
        order = float(ceil(missing / each)) if missing > 0 else 0.0
        if line.price is None:
            return line._replace(order=order)
        whole = ceil(round(line.contains / each, _EXACT)) if line.unit != "metre" else line.contains
        return line._replace(order=order, cost=round(order * line.price, 2), worth=round(whole * line.price, 2))


def _joined(line: Line, other: Line) -> Line:
    """Two items that are one part of the catalogue."""
    return line._replace(
        contains=round(line.contains + other.contains, _EXACT),
        needs=round(line.needs + other.needs, _EXACT),
        freed=round(line.freed + other.freed, _EXACT),
    )


def _sums(lines: tuple[Line, ...]) -> tuple[GroupSum, ...]:
    """The headings in the order in which they come first."""
    found: dict[str, GroupSum] = {}
    for line in lines:
        known = found.get(line.group, GroupSum(line.group, 0.0, 0, 0.0))
        unpriced = known.unpriced + (1 if line.order and line.price is None else 0)
        cost, worth = round(known.cost + (line.cost or 0.0), 2), round(known.worth + (line.worth or 0.0), 2)
        found[line.group] = GroupSum(line.group, cost, unpriced, worth)
    return tuple(found.values())
