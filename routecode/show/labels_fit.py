"""Type on a label strip: one size for each of its lines, as large as fits; where that would be too small, labels are shortened by rule.

A line of the strip is a band. Millimetres count from the left end of the strip; sizes of type are points. Letters are narrowed to
`SQUEEZE`, as on strips everywhere. Nothing is clipped: what does not fit in any form is cut with an ellipsis, or left out, and told.
"""

from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache

from attrs import frozen

from routecode.hands.labels import Label, joined, spanned
from routecode.hands.labels_short import BLANK, CUT, WHOLE, Form, forms
from routecode.show.paper import fonts, text
from routecode.show.paper.pen import MM

SQUEEZE = 0.85
LEAST, LARGEST = 5.0, 14.0
"""The smallest type, where nothing else is asked for, and the largest, in points."""
PAD = 0.3
"""Room at each side of a label, in millimetres."""
_LEADING = 1.0
_HIGH = fonts.ASCENT + fonts.DESCENT
_STEPS = 9


@frozen
class Word:
    """A line of text, centred on `middle` (mm); `line` counts from the top of its block."""

    text: str
    middle: float
    line: int


@frozen
class Cell:
    """What is over the columns `first` to `last` of a band: its words, in how many lines; `whole` is what they stand for, and
    `rule` how they were made of it."""

    first: int
    last: int
    left: float
    right: float
    words: tuple[Word, ...]
    lines: int
    whole: str
    rule: str

    @property
    def shown(self) -> str:
        """The words as they are read."""
        return " ".join(word.text for word in self.words)


@frozen
class Band:
    """A line of the strip from `top` to `bottom` (mm), with the size of its type (0: nothing is in it)."""

    name: str
    top: float
    bottom: float
    size: float
    cells: tuple[Cell, ...]

    def baseline(self, cell: Cell, line: int) -> float:
        """Where the letters of a line stand (mm from the upper edge of the strip)."""
        high = ((cell.lines - 1) * _LEADING + _HIGH) * self.size / MM
        start = self.top + (self.bottom - self.top - high) / 2
        return start + (fonts.ASCENT + line * _LEADING) * self.size / MM


@frozen
class Asked:
    """A label to be put into a band, with the edges of the cell of each of its columns, in the order of the columns."""

    label: Label
    edges: tuple[tuple[float, float], ...]
    group: str = ""

    @property
    def left(self) -> float:
        """Its left edge."""
        return min(left for left, _ in self.edges)

    @property
    def right(self) -> float:
        """Its right edge."""
        return max(right for _, right in self.edges)

    @property
    def turned(self) -> bool:
        """Whether its columns stand from right to left."""
        return self.edges[0][0] > self.edges[-1][0]


def band(name: str, place: tuple[float, float], wanted: Sequence[Asked], least: float, bold: bool = False) -> Band:
    """The labels in a band, all of one size: the largest at which all of them fit whole; else shortened to fit the least."""
    room = place[1] - place[0]
    fitting = _Fitting(room, bold, least)
    chosen = [_first(fitting, one, least) for one in wanted]
    size = least
    if None not in chosen:
        size = _largest(
            lambda size: all(fitting.cell(*pair, size) is not None for pair in _pairs(wanted, chosen)), least
        )
    cells = [
        fitting.cell(one, form, size) if form is not None else fitting.cut(one, size)
        for one, form in zip(wanted, chosen, strict=True)
    ]
    return Band(name, *place, size if wanted else 0.0, tuple(cell for cell in cells if cell is not None))


def _pairs(wanted: Sequence[Asked], chosen: Sequence[Form | None]) -> Iterator[tuple[Asked, Form]]:
    return ((one, form) for one, form in zip(wanted, chosen, strict=True) if form is not None)


def _first(fitting: "_Fitting", one: Asked, size: float) -> Form | None:
    return next((form for form in forms(one.label, one.group) if fitting.cell(one, form, size) is not None), None)


def _largest(fits: Callable[[float], bool], least: float) -> float:
    """By halving; `least` always counts as fitting."""
    if fits(LARGEST):
        return LARGEST
    low, high = least, max(LARGEST, least)
    for _ in range(_STEPS):
        middle = (low + high) / 2
        if fits(middle):
            low = middle
        else:
            high = middle
    return round(low - 0.005, 2) if low > least else least


class _Fitting:
    """Labels in a band `high` (mm), tried at sizes from `least` up."""

    def __init__(self, high: float, bold: bool, least: float) -> None:
        self.high, self.bold, self.least = high * MM, bold, least

    def cell(self, one: Asked, form: Form, size: float) -> Cell | None:
        """The label in a form at a size; None where it does not fit."""
        words = self._under(one, form, size)
        if words is None and not (self._counted(one) and self._under(one, form, self.least)):
            words = self._level(one, form, size)
        return None if words is None else self._made(one, words, form.rule)

    def _counted(self, one: Asked) -> bool:
        """Whether each of its jacks is to have its number rather than all of them a range: where they are three or more."""
        return len(one.label.tails) > 2

    def cut(self, one: Asked, size: float) -> Cell:
        """As much of the label as one line holds, with an ellipsis; nothing where not even that fits."""
        whole = one.label.whole
        room = _room(one.left, one.right)
        shown = text.shortened(whole, room / SQUEEZE, size, self.bold)
        fits = size * _HIGH <= self.high and _wide(shown, size, self.bold) <= room
        words = (Word(shown, (one.left + one.right) / 2, 0),) if fits else ()
        return self._made(one, words, CUT if fits else BLANK)

    def _made(self, one: Asked, words: tuple[Word, ...], rule: str) -> Cell:
        label = one.label
        lines = 1 + max((word.line for word in words), default=0)
        return Cell(label.first, label.last, one.left, one.right, words, lines, label.whole, rule)

    def _under(self, one: Asked, form: Form, size: float) -> tuple[Word, ...] | None:
        """The stem over all columns, and below it a tail at each."""
        tails = one.label.tails
        if len(tails) == 1 or not tails[0] or not form.stem:
            return None
        if any(_wide(tail, size, self.bold) > _room(*edge) for tail, edge in zip(tails, one.edges, strict=True)):
            return None
        lines = self._lines(form.stem, one, size, 1)
        if lines is None:
            return None
        middles = [(left + right) / 2 for left, right in one.edges]
        below = [Word(tail, middle, len(lines)) for tail, middle in zip(tails, middles, strict=True)]
        return (*_centred(lines, one), *(below if not one.turned else below[::-1]))

    def _level(self, one: Asked, form: Form, size: float) -> tuple[Word, ...] | None:
        """All of it in lines over all columns."""
        tails = one.label.tails
        span = spanned(tails[::-1] if one.turned else tails)
        lines = self._lines(form.text(span), one, size, 0)
        return None if lines is None else _centred(lines, one)

    def _lines(self, words: str, one: Asked, size: float, more: int) -> list[str] | None:
        """The words in lines, none broken; None where they are too wide, or with `more` lines below too high."""
        most = lines_in(self.high / MM, size) - more
        room = _room(one.left, one.right)
        lines: list[str] = []
        for word in words.split():
            longer = joined(lines[-1], word) if lines else word
            if lines and _wide(longer, size, self.bold) <= room:
                lines[-1] = longer
            elif _wide(word, size, self.bold) <= room:
                lines.append(word)
            else:
                return None
            if len(lines) > most:
                return None
        return lines or ([""] if most > 0 else None)


def _centred(lines: Sequence[str], one: Asked) -> tuple[Word, ...]:
    middle = (one.left + one.right) / 2
    return tuple(Word(line, middle, number) for number, line in enumerate(lines) if line)


def line_high(size: float) -> float:
    """The height that one line of a size takes, in millimetres, and a hair."""
    return lines_high(1, size)


def lines_high(lines: int, size: float) -> float:
    """The height that so many lines of a size take, in millimetres, and a hair; none take none."""
    return ((lines - 1) * _LEADING + _HIGH) * size / MM + 0.01 if lines else 0.0


def lines_in(high: float, size: float) -> int:
    """How many lines of a size there is room for in a height (mm)."""
    return int((high * MM / size - _HIGH) / _LEADING + 1e-9) + 1 if size * _HIGH <= high * MM else 0


def _room(left: float, right: float) -> float:
    return (right - left - 2 * PAD) * MM


def _wide(words: str, size: float, bold: bool) -> float:
    return _share(words, bold) * size


@lru_cache(maxsize=65536)
def _share(words: str, bold: bool) -> float:
    return text.width(words, 1.0, bold) * SQUEEZE


def plain(rule: str) -> bool:
    """Whether a label stands there as it is."""
    return rule == WHOLE
