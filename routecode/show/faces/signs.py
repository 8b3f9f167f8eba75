"""The signs of a face: normals, plugs, lanes of mults and sideways normals, curves of cords, and the legend that names them.

A normal is a stroke from row to row with a bar at each end where a plug breaks it; a link plug is a square in its jack.
"""

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from routecode.show.drawing import look, measure
from routecode.show.drawing.compare import Mark
from routecode.show.faces import ink
from routecode.show.faces.jacks import Face, Normal

RADIUS = 8.0
"""Of a jack."""
LANE = 7.0
MOST_LANES = 10
"""Lanes that one piece has room for; how many are not drawn is said."""
_STUB = 7.0
_BAR = 5.0


def mark_of(word: str) -> Mark:
    """How a word of a mark looks; one that is not known looks like `changed`."""
    return next((mark for mark in Mark if mark.value == word), Mark.CHANGED)


def mark_look(word: str) -> ink.Look:
    """The frame of a marked jack."""
    mark = mark_of(word)
    dash = {Mark.NEW: "", Mark.GONE: "4 3"}.get(mark, "7 2 2 2")
    return ink.Look(f"face-mark face-{mark.value}", look.tint(mark, look.PAPER), look.colour(mark, look.INK), 2, dash)


# -- normals and plugs --------------------------------------------------------------------------------------------------


def normal(found: Normal, x: float, top: float, bottom: float, target: str) -> str:
    """The stroke of a normal between the edges of its two jacks; `target` is the row it goes to."""
    if found.pattern in ("none", "held"):
        return ""
    if found.closed:
        out = ink.line(x, top, x, bottom, ink.INK)
    else:
        out = ink.line(x, top, x, top + _STUB, ink.INK) + ink.line(x, bottom - _STUB, x, bottom, ink.INK)
    rows = {"half": (target,), "full": ("top", "bottom")}.get(found.pattern, ())
    for row in rows:
        y = top + _STUB if row == "top" else bottom - _STUB
        out += ink.line(x - _BAR, y, x + _BAR, y, ink.INK)
    return out


def jack(x: float, y: float, used: bool, rear: bool) -> str:
    """An empty jack: a ring in front, a square frame behind."""
    how = ink.RING if used else ink.RING_OPEN
    if rear:
        side = RADIUS - 0.5
        return ink.box(x - side, y - side, 2 * side, 2 * side, how, 2) + ink.ring(x, y, 2, ink.SOLID)
    return ink.ring(x, y, RADIUS, how) + ink.ring(x, y, 3.2, ink.INK._replace(wide=0.8))


def cord_plug(x: float, y: float) -> str:
    """The plug of a cord."""
    return ink.ring(x, y, 5.6, ink.SOLID)


def link_plug(x: float, y: float) -> str:
    """A link plug."""
    return ink.box(x - 5, y - 5, 10, 10, ink.SOLID)


def dummy_plug(x: float, y: float) -> str:
    """A dummy plug: a cross in a square."""
    steps = f"M{x - 5:g} {y - 5:g}L{x + 5:g} {y + 5:g}M{x + 5:g} {y - 5:g}L{x - 5:g} {y + 5:g}"
    return ink.box(x - 5, y - 5, 10, 10, ink.INK._replace(fill=look.PAPER)) + ink.path(steps, ink.INK)


def hatch(x: float, y: float, wide: float, high: float) -> str:
    """The ground of a reserved column."""
    steps = []
    offset = 6.0
    while offset < wide + high:
        x1, y1 = x + max(0.0, offset - high), y + min(offset, high)
        x2, y2 = x + min(offset, wide), y + max(0.0, offset - wide)
        steps.append(f"M{ink.number(x1)} {ink.number(y1)}L{ink.number(x2)} {ink.number(y2)}")
        offset += 8
    return ink.path("".join(steps), ink.HATCH)


# -- lanes and cords ----------------------------------------------------------------------------------------------------


class Drop(NamedTuple):
    """Where a lane reaches a jack: its place, and whether the lane is below it."""

    x: float
    y: float
    below: bool


class Lane(NamedTuple):
    """A joint drawn beside the normals: its jacks here, its kind, whether it is joined now, whether it leads elsewhere."""

    drops: tuple[Drop, ...]
    mult: bool
    closed: bool
    leaves: bool

    @property
    def span(self) -> tuple[float, float]:
        """From left to right."""
        places = [drop.x for drop in self.drops]
        return min(places) - 14, max(places) + (26 if self.leaves else 14)


def laid(lanes: Sequence[Lane]) -> tuple[list[tuple[int, Lane]], int]:
    """Each lane with its level, so that none runs into another; and how many found no room."""
    ends: list[float] = []
    found: list[tuple[int, Lane]] = []
    for lane in sorted(lanes, key=lambda lane: lane.span):
        left, right = lane.span
        level = next((index for index, end in enumerate(ends) if end <= left), len(ends))
        if level == MOST_LANES:
            continue
        ends[level:] = [right, *ends[level + 1 :]]
        found.append((level, lane))
    return found, len(lanes) - len(found)


def lane(found: Lane, y: float) -> str:
    """The lane at the height `y` with its drops; open in the middle where it is broken now."""
    how = ink.MULT if found.mult else ink.SIDEWAYS
    aside = -11.0 if found.mult else 11.0
    steps = []
    for drop in found.drops:
        sign = 1 if drop.below else -1
        x = drop.x + aside
        start = f"M{ink.number(drop.x + aside / 2)} {ink.number(drop.y + sign * 6)}"
        steps.append(f"{start}L{ink.number(x)} {ink.number(drop.y + sign * 11)}V{ink.number(y)}")
    places = [drop.x + aside for drop in found.drops]
    left, right = min(places), max(places) + (12 if found.leaves else 0)
    if found.closed:
        steps.append(f"M{ink.number(left)} {ink.number(y)}H{ink.number(right)}")
    else:
        steps.append(f"M{ink.number(left)} {ink.number(y)}h5M{ink.number(right)} {ink.number(y)}h-5")
    if found.leaves:
        steps.append(f"M{ink.number(right - 4)} {ink.number(y - 3)}l4 3l-4 3")
    return ink.path("".join(steps), how)


def cord(one: tuple[float, float], other: tuple[float, float], middle: float, deep: float) -> str:
    """A cord between two jacks of one piece: through the middle between the rows, or in a bow down to `deep` within one row."""
    (x1, y1), (x2, y2) = one, other
    if y1 == y2:
        toward = y1 + (deep - y1) / 0.75
        first, second = (x1 + (x2 - x1) * 0.1, toward), (x2 - (x2 - x1) * 0.1, toward)
    else:
        aside = 16.0 if x1 == x2 else 0.0
        first, second = (x1 + aside, middle), (x2 + aside, middle)
    points = " ".join(f"{ink.number(x)} {ink.number(y)}" for x, y in (first, second, other))
    steps = f"M{ink.number(x1)} {ink.number(y1)}C{points}"
    return ink.path(steps, ink.HALO) + ink.path(steps, ink.CORD)


# -- legend -------------------------------------------------------------------------------------------------------------

Sign = tuple[Callable[[float, float], str], float, str]
"""Painted at a left edge and a middle height; how wide it is; what it means."""


def legend(face: Face, rear: bool) -> list[Sign]:
    """The signs that occur, in order."""
    return [*_normal_signs(face, rear), *_plug_signs(face, rear), *_mark_signs(face)]


def _normal_signs(face: Face, rear: bool) -> Iterator[Sign]:
    patterns = {column.normal.pattern for column in face.columns} if face.bay.rows == 2 else set()
    target = "bottom" if face.sources == "top" else "top"
    words = {
        "half": f"half normal: broken by a plug in the {target}",
        "full": "full normal: broken by a plug in either",
        "parallel": "parallel: never broken",
        "plug": f"link plug in the {target}: makes the normal",
        "held": f"link plug in the {face.sources}: no normal, the source is held off",
        "none": "no stroke: no normal",
    }
    for pattern, text in words.items():
        if pattern in patterns:
            yield (
                _normal_sign(pattern, target, face.sources, rear),
                12,
                text + (" (in front)" if rear and "link" in text else ""),
            )
    if any(column.normal.pattern not in ("none", "held") and not column.normal.closed for column in face.columns):
        yield lambda x, y: normal(Normal("parallel", False), x + 6, y - 11, y + 11, ""), 12, "open stroke: broken now"


def _normal_sign(pattern: str, target: str, source: str, rear: bool) -> Callable[[float, float], str]:
    def painted(x: float, y: float) -> str:
        out = normal(Normal(pattern, True), x + 6, y - 11, y + 11, target)
        row = None if rear else {"plug": target, "held": source}.get(pattern)
        return out + (link_plug(x + 6, y + (6 if row == "bottom" else -6)) if row else "")

    return painted


def _plug_signs(face: Face, rear: bool) -> Iterator[Sign]:
    jacks = [each for column in face.columns for each in column.jacks]
    if not rear and any(each.cords for each in jacks):
        yield lambda x, y: cord_plug(x + 6, y), 12, "cord; dotted to the name of its other end"
    if not rear and any(each.dummy for each in jacks):
        yield lambda x, y: dummy_plug(x + 6, y), 12, "dummy plug"
    if face.sideways:
        yield lambda x, y: ink.line(x, y, x + 24, y, ink.SIDEWAYS), 24, "normal that goes sideways (see the notes)"
    if face.mults:
        yield lambda x, y: ink.line(x, y, x + 24, y, ink.MULT), 24, "mult: all joined"
    if len({bool(each.behind) for each in jacks}) == 2:
        yield lambda x, y: jack(x + 8, y, False, rear), 16, "without colour: nothing is wired behind it"
    if any(column.reserved for column in face.columns):
        yield lambda x, y: hatch(x, y - 8, 20, 16), 20, "reserved"


def _mark_signs(face: Face) -> Iterator[Sign]:
    words = sorted({jack.mark for column in face.columns for jack in column.jacks if jack.mark})
    for word in words[:8]:
        yield _framed(word), 16, ink.shown(word)


def _framed(word: str) -> Callable[[float, float], str]:
    return lambda x, y: ink.box(x + 1, y - 7, 14, 14, mark_look(word), 2)


def painted_legend(signs: Sequence[Sign], left: float, right: float, top: float) -> tuple[str, float]:
    """The signs with their words, in lines as wide as there is room; and where they end."""
    out = ""
    x, y = left, top + 13
    for paint, wide, words in signs:
        room = right - left - wide - 6
        long = min(wide + 6 + measure.width(words, ink.SIZE), right - left)
        if x > left and x + long > right:
            x, y = left, y + 26
        out += paint(x, y)
        text = measure.fitted(words, room, ink.SIZE)
        out += ink.text(x + wide + 6, y + 3.2, text, anchor="start", name="face-quiet", fill=look.QUIET)
        x += long + 18
    return out, (y + 15 if signs else top)
