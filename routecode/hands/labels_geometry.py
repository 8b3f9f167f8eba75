"""Where the columns of a bay stand on its label strip, in millimetres from the strip's left end; and the strip in pieces that paper holds.

Seen from the front. Behind, `Geometry.mirrored` gives the same strip from the right.
"""

from collections.abc import Sequence
from itertools import accumulate, pairwise

from attrs import evolve, frozen

from routecode.circuit.plant import PlacedBay
from routecode.ground.finding import Mistake

USUAL_HIGH = 10.0
"""The height of a strip where the bay does not say it (common practice, no source)."""
LONGEST, HIGHEST = 5000.0, 150.0
"""Longer or higher is no label strip but a mistake in a figure."""


@frozen
class Geometry:
    """`lefts` and `rights`: the edges of the cell of each column, from column 1 on; `long` and `high`: of the whole strip."""

    long: float
    high: float
    lefts: tuple[float, ...]
    rights: tuple[float, ...]
    mirrored: bool = False

    def cell(self, column: int) -> tuple[float, float]:
        """Left and right edge of a column's cell."""
        return self.lefts[column - 1], self.rights[column - 1]

    def over(self, first: int, last: int) -> tuple[float, float]:
        """Left and right edge of what is over several columns."""
        one, other = self.cell(first), self.cell(last)
        return min(one[0], other[0]), max(one[1], other[1])

    @property
    def behind(self) -> "Geometry":
        """The strip as it is seen from behind: column 1 is on the right."""
        lefts = tuple(self.long - right for right in self.rights)
        rights = tuple(self.long - left for left in self.lefts)
        return evolve(self, lefts=lefts, rights=rights, mirrored=not self.mirrored)


@frozen
class Piece:
    """Part of a strip, from `left` to `right`, with whole columns."""

    number: int
    of: int
    first: int
    last: int
    left: float
    right: float


def geometry(bay: PlacedBay) -> Geometry | Mistake:
    """The strip of a bay, seen from the front; a mistake where its keys do not say where the columns are."""
    written = bay.written
    pitch = written.pitch_mm
    if pitch is None:
        return Mistake(
            "no-pitch",
            f"{bay.title} does not say how far apart its columns are, so its strip has no true scale.",
            written.place,
            do=f"Measure from the first column to the last, divide by {max(bay.columns - 1, 1)}, and write: pitch_mm = ...",
        )
    wider = {gap.after: gap.mm for gap in written.gaps if gap.after is not None and gap.mm is not None}
    steps = [pitch + wider.get(column, 0.0) for column in range(1, bay.columns)]
    start = written.start_mm if written.start_mm is not None else pitch / 2
    middles = list(accumulate(steps, initial=start))
    least = middles[-1] + pitch / 2
    long = written.strip_length_mm or middles[-1] + max(start, pitch / 2)
    high = written.strip_mm or USUAL_HIGH
    wrong = _wrong(bay, long, high, least)
    if wrong is not None:
        return wrong
    lefts = tuple(max(0.0, middle - pitch / 2) for middle in middles)
    rights = tuple(min(long, middle + pitch / 2) for middle in middles)
    return Geometry(long, high, lefts, rights)


def _wrong(bay: PlacedBay, long: float, high: float, least: float) -> Mistake | None:
    written = bay.written
    if max(long, least) > LONGEST or high > HIGHEST:
        text = f"The label strip of {bay.title} would be {max(long, least):.6g} by {high:.6g} mm."
        return Mistake(
            "strip-too-large", text, written.place, do="Correct pitch_mm, gaps or strip_mm: they are millimetres."
        )
    if long < least - 0.5 * (written.pitch_mm or 0.0) - 1e-9:
        text = f"The strip of {bay.title} is {long:g} mm long, and its last column stands at {least - (written.pitch_mm or 0) / 2:g} mm."
        return Mistake(
            "strip-too-short",
            text,
            written.where("strip_length_mm"),
            do="Correct strip_length_mm, start_mm or pitch_mm.",
        )
    return None


def gaps_after(bay: PlacedBay) -> frozenset[int]:
    """The columns with a gap behind them."""
    return frozenset(gap.after for gap in bay.written.gaps if gap.after is not None)


# -- pieces -------------------------------------------------------------------------------------------------------------


def pieces(bay: PlacedBay, found: Geometry, room: float) -> tuple[Piece, ...] | Mistake:
    """The strip in as few pieces of at most `room` as there can be, of about the same length, each cut between two jacks."""
    order = range(bay.columns, 0, -1) if found.mirrored else range(1, bay.columns + 1)
    cuts = _cuts(found, list(order))
    widest = max(right - left for left, right in pairwise(cuts))
    if widest > room:
        text = f"A piece of the strip of {bay.title} between two jacks is {widest:.6g} mm long; the paper holds {room:.4g} mm."
        return Mistake("piece-too-long", text, bay.written.place, do="Correct pitch_mm, start_mm or strip_length_mm.")
    ends = _chosen(cuts, room)
    made = []
    for number, (start, end) in enumerate(pairwise(ends), 1):
        columns = list(order)[start:end]
        made.append(Piece(number, len(ends) - 1, min(columns), max(columns), cuts[start], cuts[end]))
    return tuple(made)


def _cuts(found: Geometry, order: Sequence[int]) -> list[float]:
    """Where the strip may be cut, from the left: its ends, and the middle between two cells."""
    inner = [(found.cell(one)[1] + found.cell(other)[0]) / 2 for one, other in pairwise(order)]
    return [0.0, *inner, found.long]


def _chosen(cuts: Sequence[float], room: float) -> list[int]:
    """Indices of the cuts that are made: the fewest, then as even as the columns allow."""
    count = len(_greedy(cuts, room)) - 1
    lowest, highest = max(b - a for a, b in pairwise(cuts)), room
    for _ in range(40):  # the shortest longest piece with no more pieces, by bisection
        middle = (lowest + highest) / 2
        if len(_greedy(cuts, middle)) - 1 <= count:
            highest = middle
        else:
            lowest = middle
    return _greedy(cuts, highest)


def _greedy(cuts: Sequence[float], room: float) -> list[int]:
    found = [0]
    for index in range(1, len(cuts)):
        if cuts[index] - cuts[found[-1]] > room + 1e-9:
            found.append(index - 1)
    return [*found, len(cuts) - 1]
