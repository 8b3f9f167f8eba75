"""From two sides (or one) to a picture: what is folded, which bands a bay has, which joints are lines and which stay inside a band."""

from attrs import evolve

from routecode.show.drawing.around import Part
from routecode.show.drawing.boxes import unit_block
from routecode.show.drawing.compare import Both, Mark
from routecode.show.drawing.fold import Bundle, Cell, bundles, fold
from routecode.show.drawing.measure import visible
from routecode.show.drawing.order import returning
from routecode.show.drawing.passes import bands, passes
from routecode.show.drawing.picture import Attach, Block, Frame, Line, Picture
from routecode.show.drawing.strips import Lane, strip_block


def compose(both: Both, part: Part, setup: bool = False) -> Picture:
    """The picture of a part of both sides."""
    folded = fold(both, part)
    bundled = bundles(part, folded)
    groups = bands(both, folded, bundled)
    maker = _Maker(both, bundled)
    names = iter(f"n{number}" for number in range(1, 1 + len(part.units) + sum(map(len, groups.values()))))
    for unit in part.units:
        maker.unit(unit, folded.cells.get(unit, []), next(names))
    for bay, found in groups.items():
        for index, cells in enumerate(found):
            maker.band(bay, cells, next(names), (index + 1, len(found)))
    maker.hang()
    blocks = tuple(maker.blocks())
    lines = maker.lines()
    back = returning(lines, frozenset(node for name, _, node in maker.units if not passes(both, name)))
    return Picture(
        blocks,
        tuple(evolve(line, back=line.id in back) for line in lines),
        _frames(both, blocks),
        both.compared,
        part.drawn,
        part.of,
        setup,
    )


class _Maker:
    def __init__(self, both: Both, bundled: list[Bundle]) -> None:
        self.both = both
        self.bundled = bundled
        self.node_of: dict[int, str] = {}
        self.units: list[tuple[str, list[Cell], str]] = []
        self.strips: list[tuple[str, list[Cell], str, tuple[int, int]]] = []
        self.lanes: dict[str, list[Lane]] = {}
        self.rail: dict[tuple[int, bool], str] = {}
        """(index of the bundle, whether its first end) -> port of the rail it leaves by."""
        self.inside: set[int] = set()
        self.bays = set(both.bays)

    def unit(self, name: str, cells: list[Cell], node: str) -> None:
        self.units.append((name, cells, node))
        self.node_of.update({cell.id: node for cell in cells})

    def band(self, name: str, cells: list[Cell], node: str, part: tuple[int, int]) -> None:
        self.strips.append((name, cells, node, part))
        self.node_of.update({cell.id: node for cell in cells})
        self.lanes[node] = []

    def hang(self) -> None:
        """Give every joint that is made at the front of a bay, or inside it, its lane."""
        for index, line in enumerate(self.bundled):
            if line.kind == "cable":
                continue
            a, b = self.node_of[line.a.id], self.node_of[line.b.id]
            if a == b and self._two_rows(line.a, line.row_a):
                self.inside.add(index)
                self._lane(a, line, ((line.a, line.row_a), (line.b, line.row_b)), leaves=False)
                continue
            for cell, row, first in ((line.a, line.row_a, True), (line.b, line.row_b, False)):
                if self._two_rows(cell, row):
                    node = self.node_of[cell.id]
                    self.rail[index, first] = f"r{sum(1 for lane in self.lanes[node] if lane.leaves)}"
                    self._lane(node, line, ((cell, row),), leaves=True)

    def _two_rows(self, cell: Cell, row: str) -> bool:
        return bool(row) and row != "single" and cell.block in self.bays

    def _lane(self, node: str, line: Bundle, ends: tuple[tuple[Cell, str], ...], leaves: bool) -> None:
        self.lanes[node].append(Lane(line, ends, len(self.lanes[node]), leaves))

    def blocks(self) -> list[Block]:
        found = [unit_block(self.both, name, cells, node) for name, cells, node in self.units]
        return found + [
            strip_block(self.both, name, cells, self.lanes[node], node, part) for name, cells, node, part in self.strips
        ]

    def lines(self) -> list[Line]:
        found = []
        for index, line in enumerate(self.bundled):
            if index in self.inside:
                continue
            a = self._attach(line.a, line.row_a, self.rail.get((index, True)), gives=True)
            b = self._attach(line.b, line.row_b, self.rail.get((index, False)), gives=False)
            note = "reversed" if "reversed" in line.traits else ""
            made = Line(f"l{index + 1}", line.kind, a, b, len(line.joints), line.mark, note, self._said(line))
            found.append(evolve(made, joints=line.ends))
        return found

    def _attach(self, cell: Cell, row: str, rail: str | None, gives: bool) -> Attach:
        node = self.node_of[cell.id]
        if rail is not None:
            return Attach(node, rail, "e")
        if not row:
            return Attach(node, f"c{cell.id}", "s" if gives else "n")
        if row == "single":
            return Attach(node, f"u{cell.id}", "s" if gives else "n")
        upper = row == self.both.upper_row(cell.block)
        return Attach(node, f"{'u' if upper else 'l'}{cell.id}", "n" if upper else "s")

    def _said(self, line: Bundle) -> str:
        """The line in words: kind, ends, count, numbers, what became of it."""
        words = [
            f"{_KIND[line.kind]}{'s' if len(line.joints) > 1 else ''} from {self._end(line.a, line.row_a)} to {self._end(line.b, line.row_b)}"
        ]
        numbers = [joint.number for joint in line.joints if joint.number]
        if len(line.joints) > 1:
            words.append(f"{len(line.joints)} in order")
        if numbers:
            words.append(numbers[0] if len(set(numbers)) == 1 else f"{numbers[0]} to {numbers[-1]}")
        words += [word for word in ("reversed" if "reversed" in line.traits else "", line.mark.value) if word]
        return visible(", ".join(words))

    def _end(self, cell: Cell, row: str) -> str:
        before, after = (self.both.bay if cell.block in self.bays else self.both.unit)(cell.block)
        found = after or before
        title = found.title if found is not None else cell.block
        return f"{title} {row + ' ' if row in ('top', 'bottom') else ''}{cell.label}"


_KIND = {"cable": "Cable", "cord": "Cord", "normal": "Normal", "mult": "Mult joint"}


def _frames(both: Both, blocks: tuple[Block, ...]) -> tuple[Frame, ...]:
    found = []
    for room in sorted({block.room for block in blocks} - {""}):
        was, now = both.before.rooms.get(room), both.after.rooms.get(room)
        mark = Mark.NEW if was is None else (Mark.GONE if now is None else (Mark.SAME if was == now else Mark.CHANGED))
        found.append(Frame(room, visible(was or now or room), visible(now or was or room), mark))
    return tuple(found)
