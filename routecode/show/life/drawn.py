"""The union of all revisions drawn once: one layout, one picture, in which each thing carries when it is there.

A group of the picture has a key: `pK` is there at the times of the set K; `nK` and `gK` are the words that it is new, or gone;
`cK` is the word that the box K is written otherwise; `tK` is one of several texts of a box.
"""

import itertools
import xml.etree.ElementTree as ET
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping

from attrs import evolve, frozen

from routecode.show.drawing import around
from routecode.show.drawing.compare import Mark
from routecode.show.drawing.compose import compose
from routecode.show.drawing.engine import Engine, Fault, run
from routecode.show.drawing.layout import layout_text, read_layout
from routecode.show.drawing.measure import SMALL, TITLE, fitted, width
from routecode.show.drawing.paint import View, page_size, paint
from routecode.show.drawing.picture import Block, Line, Picture, Point, Stroke, Word
from routecode.show.drawing.route import Placed
from routecode.show.drawing.strips import normal_strokes
from routecode.show.drawing.svg import finish
from routecode.show.escape import visible
from routecode.show.life.union import Times, Union, times_of
from routecode.show.review import embed
from routecode.show.review.embed import PIXELS, Thing, embedded

NEW, GONE, CHANGED = "new", "gone", "changed"


@frozen
class Drawn:
    """The picture for the page; `sets`: the times of each key number; `variants`: of boxes that were written otherwise the times of
    each way; `texts`: when a box has one of several texts, and when the box is there; `note`: what is left out, or an empty text."""

    picture: embed.Picture
    sets: tuple[Times, ...]
    variants: tuple[tuple[Times, ...], ...]
    texts: tuple[tuple[Times, Times], ...]
    note: str


def draw(union: Union, title: str, count: int, engine: Engine) -> Drawn | Fault:
    """The picture of `count` revisions."""
    part = around.whole(union.both)
    if around.size(union.both) > around.WHOLE_UP_TO:
        always = frozenset(range(count))
        part = around.nearby(union.both, _touched(union, always))
    picture = compose(union.both, part)
    answer = run(engine, "dot", "json", layout_text(picture))
    if isinstance(answer, Fault):
        return answer
    placed = read_layout(picture, answer.decode(errors="replace"))
    if placed is None:
        return Fault(f"{engine.name} left something out of the layout.")
    timed = _Timed(union, picture, placed, frozenset(range(count)))
    painted = paint(timed.picture, placed, View.ONE, (visible(title), _FOOT), page_size(picture, placed, [_FOOT]))
    drawing = run(engine, "neato", "svg", painted.text)
    if isinstance(drawing, Fault):
        return drawing
    svg = finish(drawing, painted, visible(title), _described(picture, count))
    if svg is None:
        return Fault(f"{engine.name} left lines out of the drawing.")
    made = embedded(
        _words_last(svg, timed.things), "life", lambda attributes: timed.things.get(attributes.get("id", "")), PIXELS
    )
    note = (
        f"What changed, with what is joined to it: {part.drawn} of {part.of} units and bays." if part.left_out else ""
    )
    return Drawn(made, tuple(timed.sets), tuple(timed.variants), tuple(timed.texts), note)


def _words_last(svg: str, things: Mapping[str, Thing]) -> str:
    """The picture with the words that tell of a change over everything else."""
    root = ET.fromstring(svg)  # noqa: S314 (written by routecode itself)
    for group in root.findall(f"{_SVG}g"):
        last = [each for each in group if things.get(each.get("id", ""), Thing()).group[:1] in _TOLD]
        for each in last:
            group.remove(each)
            group.append(each)
    return ET.tostring(root, encoding="unicode")


_SVG = "{http://www.w3.org/2000/svg}"
_TOLD = ("n", "g", "c")
_FOOT = "unpatched; design aid: check on site"


def _described(picture: Picture, count: int) -> str:
    units = sum(1 for block in picture.blocks if block.kind == "unit")
    bays = len({block.of for block in picture.blocks if block.kind == "band"})
    return (
        f"{units} units and {bays} bays over {count} revisions, in one layout. The signal flows from top to bottom. "
        "What the chosen revision does not have is hidden; what it changed is told beside the picture."
    )


def _touched(union: Union, always: Times) -> set[around.Step]:
    """Units and columns at which something is not always the same."""
    found = {
        around.step(end)
        for joint in union.both.joints
        for end in (joint.a, joint.b)
        if times_of(joint.traits) != always
    }
    found |= {(name, "") for name in union.both.units if union.blocks[name] != always}
    found |= {(bay, str(number)) for (bay, number), each in union.normals.items() if len(each) > 1}
    return found


class _Timed:
    """The picture with the strokes of all times in it and words for what comes and goes, and what each group of it is."""

    def __init__(self, union: Union, picture: Picture, placed: Placed, always: Times) -> None:
        self.union, self.placed, self.always = union, placed, always
        self.sets: list[Times] = []
        self._numbers: dict[Times, int] = {}
        self.things: dict[str, Thing] = {}
        self.variants: list[tuple[Times, ...]] = []
        self.texts: list[tuple[Times, Times]] = []
        self._joined = self._times_of_ends()
        self._met: Counter[object] = Counter()
        lines = {line.id: self._line(line) for line in picture.lines}
        words: dict[str, list[tuple[Word, str]]] = {}
        for line in picture.lines:
            if lines[line.id] != always:
                words.setdefault(line.a.node, []).extend(self._beside(line, lines[line.id]))
        self.picture = evolve(
            picture, blocks=tuple(self._block(block, words.get(block.node, [])) for block in picture.blocks)
        )
        for frame in picture.frames:
            for part in ("", "-ground", "-title"):
                self._thing(f"room-{frame.id}{part}", union.rooms.get(frame.id, always))

    def number(self, times: Times) -> int:
        """The number of a set of times."""
        if times not in self._numbers:
            self._numbers[times] = len(self.sets)
            self.sets.append(times)
        return self._numbers[times]

    def _thing(self, name: str, times: Times, key: str = "p", called: str = "") -> None:
        if times != self.always:
            self.things[name] = Thing(called, group=f"{key}{self.number(times)}")

    def _times_of_ends(self) -> dict[object, list[Times]]:
        """Kind and ends -> the times of the joints there, in the order in which their lines stand in the picture."""
        found: dict[object, list[Times]] = defaultdict(list)
        for joint in sorted(self.union.both.joints, key=lambda joint: joint.traits):
            found[joint.kind, frozenset((joint.a.text, joint.b.text))].append(times_of(joint.traits))
        return found

    def _line(self, line: Line) -> Times:
        """When a line is there."""
        times = self._when("", line.kind, line.joints)
        self._thing(line.id, times)
        self._thing(f"{line.id}-label", times)
        return times

    def _when(self, where: str, kind: str, joints: tuple[tuple[str, str], ...]) -> Times:
        """When the joints of a line are there, all at the same times. Of several lines between the same ends each is asked for once."""
        if not joints:
            return self.always
        ends = (kind, frozenset(joints[0]))
        known = self._joined.get(ends, [self.always])
        at = self._met[where, ends]
        self._met[where, ends] += 1
        return known[min(at, len(known) - 1)]

    # -- blocks ---------------------------------------------------------------------------------------------------------

    def _block(self, block: Block, more: list[tuple[Word, str]]) -> Block:
        times = self.union.blocks.get(block.of, self.always)
        name = f"{block.kind}-{block.of}-{block.node}"
        self._thing(name, times)
        words = list(self._words(block, times)) + more
        if times != self.always:
            words += _said((12.0, block.high + 6.0), self.number(times))
        for index, (_, key) in enumerate(words):
            if key:
                self.things[f"{name}-word{index}"] = Thing(group=key)
        strokes = tuple(self._strokes(block, times))
        self._slots(block, times)
        return evolve(block, strokes=tuple(stroke for stroke, _ in strokes), words=tuple(word for word, _ in words))

    def _words(self, block: Block, times: Times) -> Iterator[tuple[Word, str]]:
        """The words of a box with their keys: where its title or note was another at times, each at its times, and that it changed."""
        each = self.union.written.get(block.of, {})
        for word in block.words:
            which = 0 if word.bold and word.size == TITLE else 1 if block.kind == "unit" else -1
            texts: dict[str, Times] = {}
            for written, when in each.items():
                if which >= 0:
                    texts[written[which]] = texts.get(written[which], frozenset()) | when
            if len(texts) < 2:
                yield word, self._key(times)
                continue
            room = block.wide - 8 if block.kind == "unit" else width(word.text, word.size, word.bold) + 4
            for text, when in sorted(texts.items()):
                fit = fitted(visible(text), room, word.size, word.bold)
                yield evolve(word, text=fit), f"t{len(self.texts)}"
                self.texts.append((when, times))
        if len(each) > 1:
            yield Word(CHANGED, (26.0, block.high + 6.0), SMALL, True, Mark.SAME), f"c{len(self.variants)}"
            self.variants.append(tuple(each.values()))

    def _key(self, times: Times) -> str:
        """The key of what is there at some times; none for what always is."""
        return f"p{self.number(times)}" if times != self.always else ""

    def _slots(self, block: Block, whole: Times) -> None:
        for slot in block.slots:
            found: set[int] = set()
            for named in slot.names:
                rest = named.partition("/")[2]
                pin = rest.rpartition(" ")[2] if block.kind == "band" else rest
                found |= self.union.pins.get((block.of, pin), frozenset())
            self._thing(f"{block.node}-{slot.port}", (frozenset(found) or whole) & whole)

    def _strokes(self, block: Block, whole: Times) -> Iterator[tuple[Stroke, Times]]:
        """The lanes of a band as they are, and in place of its normals those of all times."""
        index = 0
        for stroke in block.strokes:
            if stroke.kind == "normal" and len(stroke.points) == 2:
                continue
            times = self._when(block.node, stroke.kind, stroke.joints)
            self._thing(f"{block.node}-s{index}", times)
            index += 1
            yield stroke, times
        if block.kind != "band":
            return
        for slot in block.slots:
            if not slot.port.startswith("u") or block.gap[1] <= block.gap[0]:
                continue
            column = int(slot.names[0].rpartition(" ")[2]) if slot.names else 0
            for normal, times in sorted(self.union.normals.get((block.of, column), {}).items()):
                for stroke in normal_strokes(normal, slot.left + slot.wide / 2, block.gap, Mark.SAME):
                    self._thing(f"{block.node}-s{index}", times & whole)
                    index += 1
                    yield stroke, times

    def _beside(self, line: Line, times: Times) -> list[tuple[Word, str]]:
        """The words of a line, at the middle of its longest piece, as seen from the block it leaves."""
        corners = self.placed.lines[line.id]
        (x, y), (right, top) = max(itertools.pairwise(corners), key=_length)
        left, low = self.placed.blocks[line.a.node]
        middle = ((x + right) / 2 - left + 14, (y + top) / 2 - low)
        return _said(middle, self.number(times))


def _length(ends: tuple[Point, Point]) -> float:
    """Of a piece that runs along an axis."""
    return abs(ends[0][0] - ends[1][0]) + abs(ends[0][1] - ends[1][1])


def _said(at: Point, number: int) -> list[tuple[Word, str]]:
    """The words `new` and `gone` at one place; the page shows one of them, or none."""
    return [(Word(text, at, SMALL, True, Mark.SAME), f"{text[0]}{number}") for text in (NEW, GONE)]


def keys(drawn: Drawn, after: int, before: int | None) -> Mapping[str, list[str]]:
    """For a step from one time to another: which keys are hidden, new, gone, and which boxes are written otherwise."""
    found: dict[str, list[str]] = {"hidden": [], NEW: [], GONE: [], CHANGED: [], "text": []}
    for number, times in enumerate(drawn.sets):
        was, now = before is not None and before in times, after in times
        if now and not was and before is not None:
            found[NEW].append(str(number))
        elif was and not now:
            found[GONE].append(str(number))
        elif not now:
            found["hidden"].append(str(number))
    for number, each in enumerate(drawn.variants):
        ways = [next((index for index, times in enumerate(each) if at in times), -1) for at in (after, before)]
        if ways[0] != ways[1] and min(ways) >= 0:
            found[CHANGED].append(str(number))
    for number, (when, there) in enumerate(drawn.texts):
        if after in when or (after not in there and before in when):
            found["text"].append(str(number))
    return found
