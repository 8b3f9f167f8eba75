"""What is plugged into the jacks of a row, told outside the labels: level texts in steps, each at the end of a dotted line from
its jack, so that no line runs through a text; turned texts where that takes less height.
"""

from collections.abc import Sequence

from attrs import frozen

from routecode.show.drawing import look, measure
from routecode.show.faces import ink, strip
from routecode.show.faces.strip import PITCH

_LEAST = 120.0
_MOST_LINES = 3
_TURNED = 130.0
_APART = 6.0


@frozen
class Callouts:
    """The texts of a row by column from the left (empty: nothing plugged in); `steps` where they are level, else a strip."""

    texts: tuple[str, ...]
    steps: tuple["Step", ...]
    turned: strip.Strip | None

    @property
    def high(self) -> float:
        """The height it takes."""
        if self.turned is not None:
            return self.turned.high
        return max((step.far + step.high for step in self.steps), default=0.0)

    @property
    def right(self) -> float:
        """How far its texts reach, counted from the left of the first column."""
        return max((step.x + 5 + step.long for step in self.steps), default=0.0)

    def reach(self, index: int) -> float:
        """How long the dotted line of a column runs beside the texts."""
        return next((step.far + step.high for step in self.steps if step.index == index), 4.0)


@frozen
class Step:
    """A text that starts beside the line of its column at `x`; `far` from the labels, `high` and `long`."""

    index: int
    x: float
    lines: tuple[str, ...]
    far: float

    @property
    def high(self) -> float:
        """The height of its lines."""
        return ink.LINE * len(self.lines) + 2

    @property
    def long(self) -> float:
        """The width of its longest line."""
        return max(measure.width(found, ink.SIZE) for found in self.lines)


def callouts(texts: Sequence[str]) -> Callouts:
    """The texts of a row, level or turned, whichever is lower."""
    found = Callouts(tuple(texts), tuple(_steps(texts)), None)
    turned = strip.each(texts, "plugged in", _TURNED)
    return found if found.high <= turned.high else Callouts(tuple(texts), (), turned)


def _steps(texts: Sequence[str]) -> list[Step]:
    """From the right: each stands beyond those whose lines its text would cross."""
    found: list[Step] = []
    full = len(texts) * PITCH
    for index in range(len(texts) - 1, -1, -1):
        if not texts[index]:
            continue
        x = (index + 0.5) * PITCH
        lines = ink.folded(texts[index], max(_LEAST, full - x), _MOST_LINES)
        step = Step(index, x, tuple(lines), 0.0)
        far = max((other.far + other.high for other in found if other.x <= x + step.long + 2 * _APART), default=3.0)
        found.append(Step(index, x, step.lines, far))
    return found


def paint(found: Callouts, left: float, edge: float, down: bool) -> str:
    """The texts from the height `edge` away from the jacks."""
    if found.turned is not None:
        return strip.paint(found.turned, left, edge, down, lambda _run: False)
    out = ""
    for step in found.steps:
        top = edge + step.far if down else edge - step.far - step.high
        for index, words in enumerate(step.lines):
            out += ink.text(left + step.x + 5, top + 9.4 + ink.LINE * index, words, anchor="start")
    if found.steps:
        y = edge + (12.4 if down else -5)
        out += ink.text(left - 8, y, "plugged in", anchor="end", name="face-quiet", fill=look.QUIET)
    return out
