"""The spaces between rows of blocks, in which lines run sideways: each piece gets a track of its own, so that none lies on another."""

import itertools

from attrs import define, field

GAP = 6.0
"""Least distance of two lines beside each other."""
TRACK = 8.0
_ABOVE = 20.0
_BELOW = 12.0
_LEAST = 30.0
_WORDS = 26.0
_WIDER = 12.0
"""Where lines cross each other there is more room: two rows of words above the crossing, and tracks further apart."""


@define(eq=False)
class Piece:
    """A level piece of a line: from `left` to `right`; `tops` and `feet` are where it is met from above and from below.

    Where it had to be split, `halves` are what is drawn of it: the upper one, and the lower one.
    """

    line: str
    left: float
    right: float
    tops: tuple[float, ...] = ()
    feet: tuple[float, ...] = ()
    track: int = 0
    halves: tuple["Piece", ...] = ()


@define(eq=False)
class Channel:
    """One space: its pieces and, when settled, how many tracks they need. `passing`: where lines go straight through it."""

    pieces: list[Piece] = field(factory=list)
    passing: list[float] = field(factory=list)
    tracks: int = 0
    crossed: bool = False
    """Whether a piece had to be split."""
    framed: float = 0.0
    """Height that edges and titles of rooms need here."""

    @property
    def high(self) -> float:
        """How high it must be."""
        if self.crossed:
            return _ABOVE + _WORDS + _WIDER * self.tracks + max(_BELOW, self.framed / 2)
        return max(_ABOVE + _BELOW + TRACK * self.tracks, _LEAST, self.framed)

    def depth(self, piece: Piece) -> float:
        """How far below the upper edge a piece runs."""
        if self.crossed:
            return _ABOVE + _WORDS + _WIDER * (piece.track + 0.5)
        return _ABOVE + TRACK * (piece.track + 0.5)

    def settle(self) -> None:
        """Give every piece its track, from top to bottom: first those that nothing must lie above."""
        left = sorted(self.pieces, key=_in_order)
        above = {id(piece): {id(other) for other in left if _must_be_above(other, piece)} for piece in left}
        track = 0
        while left:
            waiting = {id(piece) for piece in left}
            free = [piece for piece in left if not above[id(piece)] & waiting]
            if not free and self._untied(left, above):
                continue
            end = float("-inf")
            for piece in free or left[:1]:
                if piece.left > end + GAP:
                    piece.track = track
                    end = piece.right
                    left.remove(piece)
            track += 1
        self.tracks = track

    def _untied(self, left: list[Piece], above: dict[int, set[int]]) -> bool:
        """Split one of the lines that cross each other so that each must lie above the next: the others go between its halves.

        False where there is no place for it to go down.
        """
        ring = _ring(left, above)
        places = [(x, piece) for piece in ring if (x := self._aside(piece)) is not None]
        if not places:
            return False
        x, piece = min(places, key=lambda found: (abs(_middle(found[1]) - found[0]), *_in_order(found[1])))
        upper = _down(piece.line, piece.tops[0], x)
        lower = _down(piece.line, x, piece.feet[0])
        piece.halves, self.crossed = (upper, lower), True
        for own in (self.pieces, left):
            own.remove(piece)
            own.extend(piece.halves)
        left.sort(key=_in_order)
        for half in piece.halves:
            above[id(half)] = {id(other) for other in left if _must_be_above(other, half)}
            for other in left:
                if _must_be_above(half, other):
                    above[id(other)].add(id(half))
        above[id(lower)].add(id(upper))
        return True

    def _aside(self, piece: Piece) -> float | None:
        """The place nearest to the middle of a piece at which nothing else goes up or down; None where it cannot be split."""
        if len(piece.tops) != 1 or len(piece.feet) != 1:
            return None
        used = sorted({*self.passing, *(x for other in self.pieces for x in (*other.tops, *other.feet))})
        gaps = [(a + GAP, b - GAP) for a, b in itertools.pairwise(used) if b - a >= 2 * GAP]
        gaps += [(used[0] - 4 * GAP, used[0] - GAP), (used[-1] + GAP, used[-1] + 4 * GAP)]
        middle = _middle(piece)
        tries = [round(min(max(middle, low), high), 2) for low, high in gaps]
        return min(tries, key=lambda x: (abs(x - middle), x))


def _down(line: str, top: float, foot: float) -> Piece:
    """A piece that comes from above at one place and goes on down at another."""
    return Piece(line, min(top, foot), max(top, foot), (top,), (foot,))


def _ring(left: list[Piece], above: dict[int, set[int]]) -> list[Piece]:
    """Pieces each of which must lie above the one before it, and the first above the last; there is such a ring."""
    by_id = {id(piece): piece for piece in left}
    seen: dict[int, int] = {}
    way = [left[0]]
    while id(way[-1]) not in seen:
        seen[id(way[-1])] = len(way) - 1
        way.append(min((by_id[other] for other in above[id(way[-1])] if other in by_id), key=_in_order))
    return way[seen[id(way[-1])] : -1]


def _in_order(piece: Piece) -> tuple[float, float, str]:
    return piece.left, piece.right, piece.line


def _middle(piece: Piece) -> float:
    return (piece.left + piece.right) / 2


def _must_be_above(upper: Piece, lower: Piece) -> bool:
    """Whether two pieces would lie on each other upright, were `upper` not above `lower`."""
    if upper.line == lower.line:
        return False
    return any(abs(a - b) < GAP - 1 for a in upper.tops for b in lower.feet)
