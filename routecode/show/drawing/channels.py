"""The spaces between rows of blocks, in which lines run sideways: each piece gets a track of its own, so that none lies on another."""

from attrs import define, field

GAP = 6.0
"""Least distance of two lines beside each other."""
TRACK = 8.0
_ABOVE = 20.0
_BELOW = 12.0
_LEAST = 30.0


@define(eq=False)
class Piece:
    """A level piece of a line: from `left` to `right`; `tops` and `feet` are where it is met from above and from below."""

    line: str
    left: float
    right: float
    tops: tuple[float, ...] = ()
    feet: tuple[float, ...] = ()
    track: int = 0


@define(eq=False)
class Channel:
    """One space: its pieces and, when settled, how many tracks they need."""

    pieces: list[Piece] = field(factory=list)
    tracks: int = 0
    framed: float = 0.0
    """Height that edges and titles of rooms need here."""

    @property
    def high(self) -> float:
        """How high it must be."""
        return max(_ABOVE + _BELOW + TRACK * self.tracks, _LEAST, self.framed)

    def depth(self, piece: Piece) -> float:
        """How far below the upper edge a piece runs."""
        return _ABOVE + TRACK * (piece.track + 0.5)

    def settle(self) -> None:
        """Give every piece its track, from top to bottom: first those that nothing must lie above."""
        left = sorted(self.pieces, key=lambda piece: (piece.left, piece.right, piece.line))
        above = {id(piece): {id(other) for other in left if _must_be_above(other, piece)} for piece in left}
        track = 0
        while left:
            waiting = {id(piece) for piece in left}
            free = [piece for piece in left if not above[id(piece)] & waiting] or left[:1]
            end = float("-inf")
            for piece in free:
                if piece.left > end + GAP:
                    piece.track = track
                    end = piece.right
                    left.remove(piece)
            track += 1
        self.tracks = track


def _must_be_above(upper: Piece, lower: Piece) -> bool:
    """Whether two pieces would lie on each other upright, were `upper` not above `lower`."""
    if upper is lower:
        return False
    return any(abs(a - b) < GAP - 1 for a in upper.tops for b in lower.feet)
