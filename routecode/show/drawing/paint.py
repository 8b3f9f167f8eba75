"""The picture painted: text for graphviz in which everything has its place already (`neato -n2`), the same places for every side."""

from collections.abc import Sequence
from enum import Enum

from attrs import define, field

from routecode.show.drawing import look
from routecode.show.drawing.compare import Mark
from routecode.show.drawing.curve import dashes, flat, rounded, straight
from routecode.show.drawing.labels import Label, place_labels, title_place
from routecode.show.drawing.legend import FOOT, HEAD, Sample, samples
from routecode.show.drawing.measure import PLAIN, SMALL, TITLE, fitted, width
from routecode.show.drawing.picture import Block, Line, Picture, Point, Slot, Stroke, Word
from routecode.show.drawing.quote import quoted
from routecode.show.drawing.route import Placed

MARGIN = 16.0


class View(Enum):
    """Which side is shown; the value ends the file's name."""

    ONE = ""
    BEFORE = "before"
    AFTER = "after"
    CHANGE = "change"

    def shows(self, mark: Mark) -> bool:
        """Whether something with this mark is there."""
        if self is View.BEFORE:
            return mark.was
        return mark.is_ if self is View.AFTER else True

    def word(self, mark: Mark) -> bool:
        """Whether a text that only one side has is shown; a change shows what it is now."""
        if mark in (Mark.SAME, Mark.CHANGED):
            return True
        return self.shows(mark) and not (self is View.CHANGE and mark is Mark.GONE)


@define
class Painted:
    """Graphviz text, how many edges it draws, and for each drawn thing what is said of it (id -> text) and its dash pattern (id -> lengths)."""

    text: str = ""
    edges: int = 0
    said: dict[str, str] = field(factory=dict)
    dash: dict[str, tuple[float, ...]] = field(factory=dict)
    size: Point = (0.0, 0.0)


def page_size(picture: Picture, placed: Placed, foot: Sequence[str]) -> Point:
    """Width and height of the page of every view."""
    widest = max([placed.size[0], 460.0, *(width(text, PLAIN) for text in foot), samples(picture)[-1].right])
    return round(widest + 2 * MARGIN, 1), round(placed.size[1] + HEAD + FOOT + 2 * MARGIN, 1)


def paint(
    picture: Picture, placed: Placed, view: View, texts: tuple[str, str], size: Point, cut: bool = False
) -> Painted:
    """The text of one view. `texts`: head and foot line. `cut`: dash patterns are cut here, for formats that know only graphviz' own."""
    painter = _Painter(picture, placed, view, size, cut)
    painter.page(*texts)
    return painter.done()


class _Painter:
    def __init__(self, picture: Picture, placed: Placed, view: View, size: Point, cut: bool) -> None:
        self.picture, self.placed, self.view, self.size, self.cut = picture, placed, view, size, cut
        self.painted = Painted(size=size)
        self.out: list[str] = []
        self.shift = (MARGIN + (size[0] - 2 * MARGIN - placed.size[0]) / 2, MARGIN + FOOT)
        self.quiet = picture.compared and view is View.CHANGE

    def page(self, head: str, foot: str) -> None:
        """Everything, from the ground up: rooms, boxes, lines, words."""
        self._rect("page", (0, 0, *self.size), look.PAPER, look.PAPER)
        frames = [frame for frame in self.picture.frames if self.view.shows(frame.mark)]
        titles = {frame.id: frame.before if self.view is View.BEFORE else frame.after for frame in frames}
        for name, title in titles.items():
            self._frame(name, title)
        shown = [block for block in self.picture.blocks if self.view.shows(block.mark)]
        for block in shown:
            self._block(block)
        self.out += [
            f'{block.node} [shape=point, style=invis, width=0.01, pos="{self._pos(self._origin(block))}"]'
            for block in shown
        ]
        self.out.append(f'page0 [shape=point, style=invis, width=0.01, pos="{self._pos((1, 1))}"]')
        for block in shown:
            for index, stroke in enumerate(block.strokes):
                self._stroke(block, index, stroke)
        for line in self.picture.lines:
            if self.view.shows(line.mark):
                self._line(line)
        for name, title in titles.items():
            self._frame_title(name, title)
        for label in place_labels(self.picture, self.placed):
            if self.view.shows(label.line.mark):
                self._label(label)
        self._head_and_foot(head, foot)

    def done(self) -> Painted:
        """The finished text."""
        graph = 'graph [outputorder=breadthfirst, pad=0, margin=0, splines=true, bgcolor="white"]'
        font = f'fontname="{look.FONT}"'
        nodes = f'node [shape=box, fixedsize=true, label="", margin=0, {font}, fontsize=9, penwidth=0.8]'
        head = ["digraph drawing {", graph, nodes, f"edge [arrowhead=none, arrowtail=none, arrowsize=0.6, {font}]"]
        self.painted.text = "\n".join([*head, *self.out, "}", ""])
        return self.painted

    # -- places ---------------------------------------------------------------------------------------------------------

    def _at(self, point: Point) -> Point:
        return point[0] + self.shift[0], point[1] + self.shift[1]

    def _origin(self, block: Block) -> Point:
        return self._at(self.placed.blocks[block.node])

    def _pos(self, point: Point) -> str:
        return f"{point[0]:.2f},{point[1]:.2f}"

    # -- boxes ----------------------------------------------------------------------------------------------------------

    def _rect(self, name: str, box: tuple[float, float, float, float], fill: str, edge: str, more: str = "") -> None:
        x, y, right, top = box
        place = f'pos="{(x + right) / 2:.2f},{(y + top) / 2:.2f}", width={(right - x) / 72:.5f}, height={(top - y) / 72:.5f}'
        style = "" if "style=" in more else ", style=filled"
        self.out.append(f'"{name}" [id="{name}", {place}{style}, fillcolor="{fill}", color="{edge}"{more}]')

    def _text(self, name: str, text: str, at: Point, size: float, bold: bool = False, colour: str = look.INK) -> None:
        font = f', fontname="{look.FONT}-Bold"' if bold else ""
        wide = (width(text, size, bold) + 2) / 72
        place = f'pos="{self._pos(at)}", width={wide:.4f}, height={(size + 2) / 72:.4f}'
        self.out.append(
            f'"{name}" [id="{name}", shape=plaintext, {place}, fontsize={size:g}, fontcolor="{colour}"{font}, label={quoted(text)}]'
        )

    def _frame(self, name: str, title: str) -> None:
        left, foot, right, top = self.placed.frames[name]
        low, high = self._at((left, foot)), self._at((right, top))
        self._rect(f"room-{name}", (*low, *high), look.ROOM_FILL, look.ROOM_EDGE, ', style="filled,rounded"')
        self.painted.said[f"room-{name}"] = title

    def _frame_title(self, name: str, title: str) -> None:
        """Drawn over the lines, where it cannot be beside them."""
        left, _, right, top = self.placed.frames[name]
        text = fitted(title, right - left - 16, TITLE, bold=True)
        wide = width(text, TITLE, bold=True)
        x, y = self._at((title_place(self.placed, name, wide), top - 13))
        self._rect(
            f"room-{name}-ground", (x - wide / 2 - 1, y - 7, x + wide / 2 + 1, y + 7), look.ROOM_FILL, look.ROOM_FILL
        )
        self._text(f"room-{name}-title", text, (x, y), TITLE, bold=True, colour=look.QUIET)

    def _block(self, block: Block) -> None:
        x, y = self._origin(block)
        mark = block.mark if self.view is not View.ONE else Mark.SAME
        band = block.kind == "band"
        fill = look.tint(mark, look.BAY_FILL if band else look.UNIT_FILL)
        edge = look.colour(mark, look.BAY_EDGE if band else look.UNIT_EDGE)
        name = f"{block.kind}-{block.of}-{block.node}"
        pen = (
            ", penwidth=2.2" + (', style="filled,dashed"' if mark is Mark.GONE else "")
            if mark is not Mark.SAME
            else ", penwidth=1"
        )
        self._rect(name, (x, y, x + block.wide, y + block.high), fill, edge, pen)
        self.painted.said[name] = block.said
        for slot in block.slots:
            if self.view.shows(slot.mark):
                self._slot(block, slot, (x, y), band)
        for index, word in enumerate(block.words):
            if self.view.word(word.mark):
                self._word(f"{name}-word{index}", word, (x, y), block.mark is not Mark.SAME)

    def _slot(self, block: Block, slot: Slot, corner: Point, band: bool) -> None:
        x, y = corner[0] + slot.left, corner[1] + slot.low
        fill = look.tint(slot.mark, look.JACK_FILL if band else look.PORT_FILL)
        edge = look.colour(slot.mark, look.BAY_EDGE if band else look.UNIT_EDGE)
        ink = look.QUIET if slot.quiet or (self.quiet and block.mark is Mark.SAME) else look.INK
        pen = ", penwidth=1.8" if slot.mark is not Mark.SAME else ", penwidth=0.5"
        name = f"{block.node}-{slot.port}"
        self._rect(
            name,
            (x, y, x + slot.wide, y + slot.high),
            fill,
            edge,
            f'{pen}, fontsize={SMALL:g}, fontcolor="{ink}", label={quoted(slot.label)}',
        )

    def _word(self, name: str, word: Word, corner: Point, marked: bool) -> None:
        plain = look.QUIET if word.quiet or (self.quiet and not marked) else look.INK
        told = word.mark.value == word.text and word.mark is not Mark.SAME
        ink = look.colour(word.mark, plain) if told else plain
        self._text(name, word.text, (corner[0] + word.at[0], corner[1] + word.at[1]), word.size, word.bold, ink)

    # -- lines ----------------------------------------------------------------------------------------------------------

    def _stroke(self, block: Block, index: int, stroke: Stroke) -> None:
        if not self.view.shows(stroke.mark):
            return
        origin = self._origin(block)
        points = [(origin[0] + x, origin[1] + y) for x, y in stroke.points]
        name = f"{block.node}-s{index}"
        seen = look.stroke_look(stroke.kind, stroke.mark if self.view is not View.ONE else Mark.SAME, self.quiet)
        if stroke.kind == "plug":
            self._rect(name, (*points[0], *points[1]), seen.colour, seen.colour)
            return
        self._curve(name, (block.node, block.node), straight(points), seen, False)

    def _line(self, line: Line) -> None:
        points = rounded([self._at(point) for point in self.placed.lines[line.id]])
        seen = look.line_look(line.kind, line.count, line.mark, self.quiet)
        self.painted.said[line.id] = line.said
        self._curve(
            line.id, (line.a.node, line.b.node), points, seen, points[-1][1] > points[0][1] + 1 and line.a.edge != "e"
        )

    def _curve(self, name: str, ends: tuple[str, str], points: Sequence[Point], seen: look.Look, arrow: bool) -> None:
        pieces: list[Sequence[Point]] = [points]
        if seen.dash and self.cut:
            pieces = [straight(piece) for piece in dashes(flat(points), seen.dash)]
        elif seen.dash:
            self.painted.dash[name] = seen.dash
        for index, piece in enumerate(pieces):
            last = index == len(pieces) - 1
            head = ", arrowhead=normal" if arrow and last else ""
            place = _with_arrow(piece) if head else " ".join(self._pos(point) for point in piece)
            own = name if index == 0 else f"{name}-{index}"
            self.out.append(
                f'{ends[0]} -> {ends[1]} [id="{own}", color="{seen.colour}", penwidth={seen.wide:g}{head}, pos="{place}"]'
            )
            self.painted.edges += 1

    def _label(self, label: Label) -> None:
        x, y = self._at(label.at)
        mark = label.line.mark
        told = mark is not Mark.SAME
        edge = look.colour(mark, look.PAPER)
        ink = look.INK if told or not self.quiet else look.QUIET
        bold = f', fontname="{look.FONT}-Bold"' if told else ""
        box = (x - label.wide / 2, y - label.high / 2, x + label.wide / 2, y + label.high / 2)
        more = f', fontsize={SMALL:g}, fontcolor="{ink}"{bold}, label={quoted(label.text)}'
        self._rect(f"{label.line.id}-label", box, look.PAPER, edge if told else look.ROOM_FILL, more)

    # -- head and foot --------------------------------------------------------------------------------------------------

    def _head_and_foot(self, head: str, foot: str) -> None:
        wide, high = self.size
        room = wide - 2 * MARGIN
        text = fitted(head, room, TITLE + 2, bold=True)
        self._text(
            "head", text, (MARGIN + width(text, TITLE + 2, bold=True) / 2, high - MARGIN - 8), TITLE + 2, bold=True
        )
        text = fitted(foot, room, PLAIN)
        self._text("foot", text, (MARGIN + width(text, PLAIN) / 2, MARGIN - 2), PLAIN, colour=look.QUIET)
        for index, sample in enumerate(samples(self.picture)):
            self._sample(index, sample)

    def _sample(self, index: int, sample: Sample) -> None:
        y = MARGIN + 22
        for number, (kind, points, mark) in enumerate(sample.strokes):
            moved = [(MARGIN + a, y + b) for a, b in points]
            seen = (
                look.line_look(kind, 1, mark, False)
                if kind in ("cable", "cord")
                else look.stroke_look(kind, mark, False)
            )
            name = f"legend-{index}-{number}"
            if kind == "plug":
                self._rect(name, (*moved[0], *moved[1]), seen.colour, seen.colour)
            else:
                self._curve(name, ("page0", "page0"), straight(moved), seen, False)
        self._text(f"legend-{index}", sample.text, (MARGIN + sample.middle, y), SMALL)


def _with_arrow(points: Sequence[Point]) -> str:
    """The curve cut short by the length of an arrow head, and the tip."""
    (x, y), (bx, by) = points[-1], points[-2]
    away = max(((bx - x) ** 2 + (by - y) ** 2) ** 0.5, 0.01)
    base = (x + (bx - x) * 6 / away, y + (by - y) * 6 / away)
    return " ".join([f"e,{x:.2f},{y:.2f}", *(f"{a:.2f},{b:.2f}" for a, b in [*points[:-1], base])])
