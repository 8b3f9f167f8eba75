"""A label strip laid out: its lines with their type, its pieces, and which of them differ from an earlier strip."""

from collections.abc import Sequence

from attrs import evolve, frozen

from routecode.circuit.plant import PlacedBay, Plant
from routecode.ground.finding import Mistake
from routecode.hands.labels import Group, Label, groups, labels, within
from routecode.hands.labels_geometry import Geometry, Piece, gaps_after, geometry, pieces
from routecode.show.labels_fit import Asked, Band, Cell, band, line_high, lines_high, lines_in

GROUP, TOP, NUMBERS, BOTTOM = "group", "top", "numbers", "bottom"
_SHARES = {GROUP: 0.6, TOP: 1.0, NUMBERS: 0.4, BOTTOM: 1.0}
"""Heights of the lines of a strip, as shares."""
_LEAST_NUMBER = 3.0


@frozen
class Strip:
    """The strip of a bay, from the front or from behind. `changed`: the numbers of the pieces to print."""

    bay: str
    title: str
    columns: int
    rear: bool
    geometry: Geometry
    pieces: tuple[Piece, ...]
    bands: tuple[Band, ...]
    changed: frozenset[int]
    left_out: tuple[str, ...] = ()
    """Lines for which the strip is too low: titles of groups, numbers of columns."""

    def cells(self, piece: Piece) -> list[tuple[Band, Cell]]:
        """What stands on a piece."""
        return [(one, cell) for one in self.bands for cell in one.cells if piece.first <= cell.first <= piece.last]


def strip_of(
    plant: Plant, bay: PlacedBay, *, rear: bool, room: float, least: float, each: bool = False
) -> Strip | Mistake:
    """The strip of a bay in pieces of at most `room` (mm), with type of at least `least` (points)."""
    found = geometry(bay)
    if isinstance(found, Mistake):
        return found
    if rear:
        found = found.behind
    parts = pieces(bay, found, room)
    if isinstance(parts, Mistake):
        return parts
    said = labels(plant, bay, gaps_after(bay), each=each)
    titles = groups(bay)
    full = [GROUP] * bool(titles) + [TOP] + [NUMBERS] * rear + [BOTTOM] * (bay.rows == 2)
    names = _roomy(full, found.high, least)
    grouped = GROUP in names
    wanted = {
        GROUP: _groups(titles, found, parts) if grouped else [],
        TOP: _row(bay, found, parts, [label for label in said if label.row == "top"], grouped),
        NUMBERS: _numbers(bay, found),
        BOTTOM: _row(bay, found, parts, [label for label in said if label.row == "bottom"], grouped),
    }
    bands = _bands(names, wanted, found.high, least)
    every = frozenset(part.number for part in parts)
    left_out = tuple(name for name in full if name not in names)
    return Strip(bay.id, bay.title, bay.columns, rear, found, parts, bands, every, left_out)


def _roomy(names: Sequence[str], high: float, least: float) -> list[str]:
    """The lines that there is room for: numbers of columns go first, then titles of groups; the labels themselves stay."""
    for without in ((), (NUMBERS,), (GROUP,), (GROUP, NUMBERS)):
        kept = [name for name in names if name not in without]
        if _row_high(kept, high, least) >= line_high(least):
            return kept
    return [name for name in names if name in (TOP, BOTTOM)]


def _bands(names: Sequence[str], wanted: dict[str, list[Asked]], high: float, least: float) -> tuple[Band, ...]:
    made: list[Band] = []
    top = 0.0
    for name, share in zip(names, _heights(names, high, least), strict=True):
        smallest = min(least, _LEAST_NUMBER) if name == NUMBERS else least
        made.append(band(name, (top, top + share), wanted[name], smallest, bold=name == GROUP))
        top += share
    return tuple(made)


def _heights(names: Sequence[str], high: float, least: float) -> list[float]:
    """The heights of the lines: by their shares, but what is lower than its smallest type takes that from the labels."""
    small = _small(names, high, least)
    left = _row_high(names, high, least)
    return [small.get(name, left) for name in names]


def _small(names: Sequence[str], high: float, least: float) -> dict[str, float]:
    """The heights of the lines that are no labels."""
    needs = {GROUP: line_high(least), NUMBERS: line_high(min(least, _LEAST_NUMBER))}
    whole = sum(_SHARES[name] for name in names)
    small = {name: max(needs[name], high * _SHARES[name] / whole) for name in names if name in needs}
    if NUMBERS in small:
        small[NUMBERS] = max(small[NUMBERS], min(line_high(least), small[NUMBERS] + _spare(names, high, small, least)))
    return small


def _spare(names: Sequence[str], high: float, small: dict[str, float], least: float) -> float:
    """What the labels can give up and still have as many lines of the smallest type."""
    rows = _rows(names)
    each = (high - sum(small.values())) / rows
    return rows * max(0.0, each - lines_high(lines_in(each, least), least))


def _row_high(names: Sequence[str], high: float, least: float) -> float:
    """What is left for a line of labels."""
    return (high - sum(_small(names, high, least).values())) / _rows(names)


def _rows(names: Sequence[str]) -> int:
    return sum(1 for name in names if name in (TOP, BOTTOM))


def _edges(found: Geometry, label: Label) -> tuple[tuple[float, float], ...]:
    return tuple(found.cell(column) for column in label.columns)


def _row(bay: PlacedBay, found: Geometry, parts: Sequence[Piece], said: Sequence[Label], grouped: bool) -> list[Asked]:
    return [
        Asked(label, _edges(found, label), bay.groups.get(label.first, "") if grouped else "")
        for part in parts
        for label in within(said, part.first, part.last)
    ]


def _groups(titled: Sequence[Group], found: Geometry, parts: Sequence[Piece]) -> list[Asked]:
    titles = [
        Label(GROUP, one.first, one.last, "", one.text, ("",) * (one.last - one.first + 1), True) for one in titled
    ]
    return [Asked(label, _edges(found, label)) for part in parts for label in within(titles, part.first, part.last)]


def _numbers(bay: PlacedBay, found: Geometry) -> list[Asked]:
    return [
        Asked(label, _edges(found, label))
        for column in range(1, bay.columns + 1)
        for label in (Label(NUMBERS, column, column, "", "", (str(column),)),)
    ]


# -- what differs -------------------------------------------------------------------------------------------------------


def changed_from(before: Strip | None, after: Strip) -> Strip:
    """The strip with only those pieces to print that read otherwise, or are cut otherwise, than before."""
    if before is None:
        return after
    old = {_reading(before, part) for part in before.pieces}
    return evolve(after, changed=frozenset(part.number for part in after.pieces if _reading(after, part) not in old))


def _reading(strip: Strip, part: Piece) -> tuple[object, ...]:
    """What a piece is: its size, where its cells are, and what is read there. The size of its type is not part of it."""
    edges = [
        (round(edge - part.left, 3) for edge in strip.geometry.cell(column))
        for column in range(part.first, part.last + 1)
    ]
    cells = [(one.name, cell.first, cell.last, cell.shown) for one, cell in strip.cells(part)]
    return (
        part.first,
        part.last,
        round(part.right - part.left, 3),
        round(strip.geometry.high, 3),
        tuple(tuple(pair) for pair in edges),
        tuple(cells),
    )
