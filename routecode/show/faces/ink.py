"""What a face is made of: texts, lines, boxes and paths as SVG. Knows no bay.

Every shape carries its look as attributes and a class (`face-ink`, `face-quiet`, ...), so that it stands alone and a page may
still restyle it, for a dark ground say. No shape has an id: several faces may stand on one page.
"""

import re
from collections.abc import Sequence
from typing import NamedTuple
from unicodedata import combining, east_asian_width

from routecode.show import escape
from routecode.show.drawing import look, measure

SIZE = 9.0
"""Size of texts; titles are larger, words of marks smaller."""
LINE = 11.0
"""Height of a line of text."""
_ABOVE = 8.4
"""From the top of a line to where its letters stand."""
_MOST_MARKS = 4
"""Marks above and below one letter that are kept: enough for every script, too few to reach the next line."""
_TOKEN = re.compile(r" +|[^ ]+")


class Look(NamedTuple):
    """How a shape looks: class, fill, stroke, width, dash pattern."""

    name: str
    fill: str = "none"
    stroke: str = "none"
    wide: float = 1.0
    dash: str = ""

    @property
    def attributes(self) -> str:
        """As attributes of an element."""
        parts = [f'class="{self.name}"', f'fill="{self.fill}"']
        if self.stroke != "none":
            parts += [f'stroke="{self.stroke}"', f'stroke-width="{self.wide:g}"']
        if self.dash:
            parts.append(f'stroke-dasharray="{self.dash}"')
        return " ".join(parts)


INK = Look("face-stroke", stroke=look.INK, wide=1.3)
SOLID = Look("face-solid", look.INK)
QUIET = Look("face-rule", stroke=look.ROOM_EDGE)
GROUND = Look("face-ground", look.PAPER)
PANEL = Look("face-panel", look.BAY_FILL, look.BAY_EDGE)
REAR = Look("face-panel face-rear", look.ROOM_FILL, look.UNIT_EDGE, dash="6 3")
RING = Look("face-ring", look.JACK_FILL, look.BAY_EDGE, 1.2)
RING_OPEN = Look("face-ring face-open", look.PAPER, look.BAY_EDGE, 0.8)
HATCH = Look("face-hatch", stroke="#B9A873", wide=0.8)
SIDEWAYS = Look("face-sideways", stroke=look.INK, wide=1.2, dash="4 2")
MULT = Look("face-mult", stroke=look.INK, wide=2.0)
CORD = Look("face-cord", stroke=look.INK, wide=2.0, dash="2 3")
HALO = Look("face-halo", stroke=look.BAY_FILL, wide=4.5)
LEADER = Look("face-leader", stroke=look.QUIET, wide=0.8, dash="1 2")


def shown(text: str) -> str:
    """A text of users on one line, without signs that a document cannot hold or that disturb what is around it."""
    kept: list[str] = []
    marks = 0
    for sign in measure.visible(escape.visible(text)):
        marks = marks + 1 if combining(sign) else 0
        if marks <= _MOST_MARKS:
            kept.append(sign)
    return "".join(kept)


def safe(text: str) -> str:
    """A text for content or attributes of SVG."""
    text = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return text.replace('"', "&quot;").replace("'", "&#39;")


def number(value: float) -> str:
    """A coordinate with at most two places."""
    return f"{round(value, 2):g}" if abs(value) < 100_000 else f"{value:.0f}"


def titled(words: str) -> str:
    """What is told of a shape when pointed at, or to who cannot see it."""
    return f"<title>{safe(words)}</title>"


def text(
    x: float,
    y: float,
    words: str,
    *,
    size: float = SIZE,
    anchor: str = "middle",
    bold: bool = False,
    name: str = "face-ink",
    fill: str = look.INK,
    turned: bool = False,
) -> str:
    """A line of text standing at (x, y); `turned`: it reads upward."""
    weight = ' font-weight="bold"' if bold else ""
    turn = f' transform="rotate(-90 {number(x)} {number(y)})"' if turned else ""
    place = f'x="{number(x)}" y="{number(y)}" font-size="{size:g}" text-anchor="{anchor}"'
    return f'<text class="{name}" {place}{weight} fill="{fill}"{turn}>{safe(words)}</text>\n'


def path(steps: str, how: Look) -> str:
    """A path; `steps` as in the attribute `d`."""
    return f'<path {how.attributes} d="{steps}"/>\n'


def line(x1: float, y1: float, x2: float, y2: float, how: Look) -> str:
    """A straight line."""
    return path(f"M{number(x1)} {number(y1)}L{number(x2)} {number(y2)}", how)


def box(x: float, y: float, wide: float, high: float, how: Look, round_: float = 0) -> str:
    """A rectangle."""
    corner = f' rx="{round_:g}"' if round_ else ""
    place = f'x="{number(x)}" y="{number(y)}" width="{number(wide)}" height="{number(high)}"'
    return f"<rect {how.attributes} {place}{corner}/>\n"


def ring(x: float, y: float, radius: float, how: Look) -> str:
    """A circle."""
    return f'<circle {how.attributes} cx="{number(x)}" cy="{number(y)}" r="{radius:g}"/>\n'


# -- texts in their room ------------------------------------------------------------------------------------------------


class Fitted(NamedTuple):
    """A text in lines, level or turned; `long` along the text, `cut` where not all of it is there."""

    lines: tuple[str, ...]
    turned: bool
    long: float
    cut: bool

    @property
    def high(self) -> float:
        """How much height it takes."""
        return self.long if self.turned else LINE * len(self.lines)


def wrapped(words: str, room: float, most: int = 10_000, size: float = SIZE, *, cut: bool = True) -> list[str] | None:
    """The text in at most `most` lines; None where it does not fit, or only with a word cut and `cut` is false."""
    lines = [""]
    for token in _tokens(words):
        longer = lines[-1] + token
        if measure.width(longer.rstrip(), size) <= room:
            lines[-1] = longer if lines[-1] or token.strip() else ""
            continue
        if measure.width(token, size) <= room:
            lines.append("" if token.isspace() else token)
        elif not cut:
            return None
        else:
            _cut_into(lines, token, room, size)
        if len(lines) > most:
            return None
    return [found.strip() for found in lines if found.strip()] or [""]


def _tokens(words: str) -> list[str]:
    """Where a line may end: at spaces, and at every sign of the wide scripts, which have none."""
    found: list[str] = []
    for token in _TOKEN.findall(words):
        wide = [east_asian_width(sign) in "WF" for sign in token]
        start = 0
        for index in range(1, len(token)):
            if wide[index]:
                found.append(token[start:index])
                start = index
        found.append(token[start:])
    return found


def _cut_into(lines: list[str], token: str, room: float, size: float) -> None:
    for sign in token:
        if lines[-1] and measure.width(lines[-1] + sign, size) > room:
            lines.append("")
        lines[-1] += sign


def fitted(words: str, wide: float, longest: float, most: int = 3) -> Fitted:
    """A text in a room `wide`: level in a few lines where that shows all of it, else turned, else cut with an ellipsis."""
    room = wide - 5
    level = wrapped(words, room, most, cut=False)
    if level is not None:
        return _made(level, False, False)
    across = max(1, min(most, int((wide - 3) // LINE)))
    turned = wrapped(words, longest, across, cut=False) or wrapped(words, longest, across)
    if turned is not None and (wide < longest or wrapped(words, room, most) is None):
        return _made(turned, True, False)
    level = wrapped(words, room, most)
    if level is not None:
        return _made(level, False, False)
    if wide < longest:
        return _made(_cut(words, longest, across), True, True)
    return _made(_cut(words, room, most), False, True)


def folded(words: str, room: float, most: int) -> list[str]:
    """A text in at most `most` lines, words cut where they must be, with an ellipsis where it is longer."""
    return wrapped(words, room, most, cut=False) or wrapped(words, room, most) or _cut(words, room, most)


def _made(lines: Sequence[str], turned: bool, cut: bool) -> Fitted:
    return Fitted(tuple(lines), turned, max(measure.width(found, SIZE) for found in lines), cut)


def _cut(words: str, room: float, most: int) -> list[str]:
    """As much as `most` lines hold, the last one with an ellipsis."""
    lines = wrapped(words[: int(most * room)], room) or [""]
    if len(lines) <= most:
        return lines
    *kept, last = lines[:most]
    while last and measure.width(last + "…", SIZE) > room:
        last = last[:-1]
    return [*kept, last.rstrip() + "…"]


def paint_lines(found: Fitted, middle: float, edge: float, *, down: bool, ground: bool, **how: str) -> str:
    """The lines around `middle`, from the height `edge` downward (`down`) or upward; on a ground of their own if asked."""
    high = found.high
    top = edge if down else edge - high
    across = LINE * len(found.lines)
    out = ""
    if ground:
        wide, tall = (across, high) if found.turned else (found.long + 2, high)
        out += box(middle - wide / 2, top, wide, tall, GROUND)
    for index, words in enumerate(found.lines):
        offset = LINE * index + _ABOVE
        if not found.turned:
            out += text(middle, top + offset, words, **how)  # type: ignore[arg-type] # names and colours only
            continue
        x = middle - across / 2 + offset
        anchor, y = ("end", top) if down else ("start", top + high)
        out += text(x, y, words, anchor=anchor, turned=True, **how)  # type: ignore[arg-type] # as above
    return out
