"""A piece of a strip, and a cable flag, as shapes at true scale: what is cut out, with its cut marks, from the corner at (0, 0)."""

from attrs import frozen

from routecode.hands.labels_flags import Flag
from routecode.hands.labels_geometry import Piece
from routecode.show.labels_fit import PAD, SQUEEZE
from routecode.show.labels_shapes import CUT, HAIR, THIN, Line, Shape, Text, label
from routecode.show.labels_strip import BOTTOM, TOP, Strip
from routecode.show.paper import fonts, text
from routecode.show.paper.pen import MM

MARK = 3.0
"""Length of a cut mark; it begins `_AWAY` from the corner, so that none of it is left on the piece."""
_AWAY = 0.6
TICK = 1.2
"""A short stroke outside both edges of the strip where the cell of a column begins or ends; to be held against the bay."""
FLAG_HALF, FLAG_HIGH = 32.0, 14.0
"""The half of a flag that is read, and its height, in millimetres."""
FLAG_LARGEST, FLAG_LEAST = 7.0, 4.5
_FLAG_NUMBER = 9.0


@frozen
class Block:
    """Something to be cut out: its size (mm), what stands above it, its shapes."""

    wide: float
    high: float
    caption: str
    shapes: tuple[Shape, ...]


def piece_block(strip: Strip, piece: Piece) -> Block:
    """A piece of a strip."""
    long, high = piece.right - piece.left, strip.geometry.high
    shapes: list[Shape] = [*_outline(long, high), *_columns(strip, piece)]
    for number, band in enumerate(strip.bands):
        if number:
            shapes.append(Line(0, band.top, long, band.top, "line", HAIR))
        for column in _blank(strip, piece, number):
            shapes += _edges(strip, piece, number, (column, column))
        for cell in band.cells:
            if piece.first <= cell.first <= piece.last:
                shapes += _edges(strip, piece, number, (cell.first, cell.last))
                for word in cell.words:
                    y = band.baseline(cell, word.line)
                    shapes.append(label(word.middle - piece.left, y, word.text, band.size, band.name == "group"))
    return Block(long, high, _caption(strip, piece), tuple(dict.fromkeys(shapes)))


def _caption(strip: Strip, piece: Piece) -> str:
    side = "from behind, column 1 on the right" if strip.rear else "from the front"
    which = f", piece {piece.number} of {piece.of}" if piece.of > 1 else ""
    columns = (piece.last, piece.first) if strip.rear else (piece.first, piece.last)
    joins = []
    if piece.number > 1:
        joins.append("its left end joins the piece before")
    if piece.number < piece.of:
        joins.append("its right end joins the piece after")
    join = f"; {', '.join(joins)}" if joins else ""
    return f"{strip.title}, {side}{which}: columns {columns[0]} to {columns[1]}{join}"


def _columns(strip: Strip, piece: Piece) -> list[Shape]:
    """Ticks outside both edges of the strip where the cell of each column begins and ends."""
    high = strip.geometry.high
    found: list[Shape] = []
    for column in range(piece.first, piece.last + 1):
        for edge in strip.geometry.cell(column):
            x = edge - piece.left
            found.append(Line(x, -_AWAY - TICK, x, -_AWAY, "tick", THIN))
            found.append(Line(x, high + _AWAY, x, high + _AWAY + TICK, "tick", THIN))
    return found


def _blank(strip: Strip, piece: Piece, number: int) -> list[int]:
    """The columns without a label: they have their cells all the same, to be written on by hand."""
    band = strip.bands[number]
    if band.name not in (TOP, BOTTOM):
        return []
    filled = {column for cell in band.cells for column in range(cell.first, cell.last + 1)}
    return [column for column in range(piece.first, piece.last + 1) if column not in filled]


def _edges(strip: Strip, piece: Piece, number: int, columns: tuple[int, int]) -> list[Shape]:
    band = strip.bands[number]
    return [
        Line(edge - piece.left, band.top, edge - piece.left, band.bottom, "cell", HAIR)
        for edge in strip.geometry.over(*columns)
    ]


def _outline(long: float, high: float) -> list[Shape]:
    """The edge of what is cut out, and cut marks outside its corners."""
    found: list[Shape] = [
        Line(0, 0, long, 0, "edge", HAIR),
        Line(0, high, long, high, "edge", HAIR),
        Line(0, 0, 0, high, "edge", HAIR),
        Line(long, 0, long, high, "edge", HAIR),
    ]
    for x, outward in ((0.0, -1), (long, 1)):
        for y, upward in ((0.0, -1), (high, 1)):
            near, far = _AWAY, _AWAY + MARK
            found.append(Line(x + outward * near, y, x + outward * far, y, "cut", CUT))
            found.append(Line(x, y + upward * near, x, y + upward * far, "cut", CUT))
    return found


# -- flags --------------------------------------------------------------------------------------------------------------


@frozen
class FlagMade:
    """A flag as a block, and the texts of it that had to be cut."""

    block: Block
    cut: tuple[str, ...]


def flag_block(flag: Flag) -> FlagMade:
    """A flag: a half, the wrap between two fold lines, a half with the same words."""
    wrap = flag.wrap_mm
    long = 2 * FLAG_HALF + wrap
    words, cut = _flag_words(flag)
    shapes: list[Shape] = _outline(long, FLAG_HIGH)
    for x in (FLAG_HALF, FLAG_HALF + wrap):
        shapes.append(Line(x, 0, x, FLAG_HIGH, "fold", CUT, True))
    for start in (0.0, FLAG_HALF + wrap):
        shapes += [
            Text(start + PAD * 3, y, line, size, "label", "start", bold, SQUEEZE) for y, line, size, bold in words
        ]
    return FlagMade(Block(long, FLAG_HIGH, "", tuple(shapes)), cut)


def _flag_words(flag: Flag) -> tuple[list[tuple[float, str, float, bool]], tuple[str, ...]]:
    """The lines of a half (where each stands, its text, size, whether bold), and the texts that were cut."""
    room = (FLAG_HALF - 6 * PAD) * MM / SQUEEZE
    cut = []
    head = f"{flag.number} dead" if flag.dead else flag.number
    size = text.largest(head, room, _FLAG_NUMBER, FLAG_LEAST, True)
    shown = text.shortened(head, room, size, True)
    if shown.endswith("…") and not head.endswith("…"):
        cut.append(head)
    y = PAD + fonts.ASCENT * size / MM
    found = [(y, shown, size, True)]
    y += fonts.DESCENT * size / MM
    ends = (f"here: {flag.here}", f"other end: {flag.there}")
    small, lines = _flag_lines(ends, room, FLAG_HIGH - y - PAD)
    for end, kept in zip(ends, lines, strict=True):
        if kept[-1].endswith("…") and not end.endswith("…"):
            cut.append(end)
        for line in kept:
            found.append((y + fonts.ASCENT * small / MM, line, small, False))
            y += small * 1.05 / MM
    return found, tuple(cut)


def _flag_lines(ends: tuple[str, str], room: float, high: float) -> tuple[float, list[list[str]]]:
    """Both ends at the largest size at which all of them is there; at the smallest, cut after as many lines as there is room for."""
    size = FLAG_LARGEST
    while True:
        lines = [text.wrapped(end, room, size) for end in ends]
        most = int((high * MM / size - fonts.ASCENT - fonts.DESCENT) / 1.05) + 1
        if sum(map(len, lines)) <= most:
            return size, lines
        if size <= FLAG_LEAST:
            break
        size -= 0.5
    share = max(1, most // 2)
    first = min(len(lines[0]), max(share, most - len(lines[1])))
    second = max(1, most - first)
    return size, [_kept(one, few, room, size) for one, few in zip(lines, (first, second), strict=True)]


def _kept(lines: list[str], most: int, room: float, size: float) -> list[str]:
    if len(lines) <= most:
        return lines
    last = text.shortened(" ".join(lines[most - 1 : most + 2]), room, size)
    return [*lines[: most - 1], last if last.endswith("…") else text.shortened(f"{last}…", room, size)]
