"""The picture: blocks with their cells, lines between them and strokes inside bays, as plain values. Where blocks stand is in `layout`.

Points are in points (1/72 inch); inside a block they count from its lower left corner, upward.
"""

from attrs import frozen

from routecode.show.drawing.compare import Mark

Point = tuple[float, float]
Joint = tuple[str, str]
"""Two places that are joined, by canonical names, in the order of the signal."""


@frozen
class Slot:
    """A cell as drawn: a port range at an edge of a unit, or one row of a column range of a band."""

    port: str
    label: str
    left: float
    low: float
    wide: float
    high: float
    mark: Mark
    quiet: bool
    names: tuple[str, ...] = ()
    """Canonical names of its ports or jacks."""


@frozen
class Stroke:
    """A line inside a band: a normal or a piece of a cord between its rows; `box` draws a link plug. `mark` says on which side it is there."""

    kind: str
    points: tuple[Point, ...]
    mark: Mark
    joints: tuple[Joint, ...] = ()


@frozen
class Word:
    """A text inside a block, centred on a point."""

    text: str
    at: Point
    size: float
    bold: bool
    mark: Mark
    quiet: bool = False


@frozen
class Block:
    """A unit, or a band of a bay; `said` is the whole name, for who points at it or listens."""

    node: str
    kind: str
    of: str
    room: str
    wide: float
    high: float
    slots: tuple[Slot, ...]
    gap: tuple[float, float]
    """Lower and upper edge of the space between the two rows of a band."""
    strokes: tuple[Stroke, ...]
    words: tuple[Word, ...]
    rails: tuple[float, ...]
    """Heights at which cords leave a band at its right."""
    mark: Mark
    said: str


@frozen
class Attach:
    """Where a line ends: a block, one of its ports, and the edge (n, s or e)."""

    node: str
    port: str
    edge: str


@frozen
class Line:
    """A bundle of parallel joints between two cells."""

    id: str
    kind: str
    a: Attach
    b: Attach
    count: int
    mark: Mark
    note: str
    """What is to be read on it beside its count."""
    said: str
    back: bool = False
    """Whether it comes back up against the flow."""
    joints: tuple[Joint, ...] = ()


@frozen
class Frame:
    """A room: its title on either side."""

    id: str
    before: str
    after: str
    mark: Mark


@frozen
class Picture:
    """All that is drawn, for every side of it: what is only on one side carries a mark."""

    blocks: tuple[Block, ...]
    lines: tuple[Line, ...]
    frames: tuple[Frame, ...]
    compared: bool
    drawn: int
    of: int
    setup: bool
    """Whether cords may be in it."""

    @property
    def part(self) -> bool:
        """Whether something was left out."""
        return self.drawn < self.of
