"""How often the signal has passed a bay before it reaches a column: columns of one count make one band of the drawing.

A chain such as voice strip, bay, compressor, bay, converter would otherwise run up past the whole bay again and again. A bay that
the signal passes once is one band. Loops are opened where they come back; the count is the largest along what is left.
"""

from routecode.show.drawing.compare import Both
from routecode.show.drawing.fold import Bundle, Cell, Folded

_MOST = 4

Node = tuple[str, int]
"""(unit, 0), (unit, 1) for what only arrives, or (row, cell) of a bay: `upper` carries the sources."""


def bands(both: Both, folded: Folded, lines: list[Bundle]) -> dict[str, list[list[Cell]]]:
    """For each bay its bands from top to bottom, each with its cells by column."""
    counts = _Counter(both, folded, lines).counts()
    answer: dict[str, list[list[Cell]]] = {}
    for bay in both.bays:
        cells = sorted(folded.cells.get(bay, []), key=lambda cell: int(cell.pins[0].name))
        if cells:
            answer[bay] = _grouped(cells, counts)
    return answer


def passes(both: Both, unit: str) -> bool:
    """Whether what arrives at a unit goes on through it."""
    return any(facts.passes for facts in both.unit(unit) if facts)


def _grouped(cells: list[Cell], counts: dict[int, int]) -> list[list[Cell]]:
    used = [counts[cell.id] for cell in cells if cell.used]
    last = used[0] if used else 0
    groups: dict[int, list[Cell]] = {}
    for cell in cells:
        if cell.used:
            last = counts[cell.id]
        groups.setdefault(last, []).append(cell)
    return [groups[count] for count in sorted(groups)]


class _Counter:
    """Largest number of earlier passes of its own bay for each cell."""

    def __init__(self, both: Both, folded: Folded, lines: list[Bundle]) -> None:
        self.both = both
        self.after: dict[Node, list[tuple[Node, str]]] = {}
        """Node -> (next node, bay that is left on the way)."""
        self.alike: list[tuple[int, int]] = []
        self.cells = {cell.id: cell for bay in both.bays for cell in folded.cells.get(bay, [])}
        for cell in self.cells.values():
            self._column(cell)
        for line in lines:
            self._line(line)

    def _node(self, cell: Cell, row: str) -> Node:
        if not row:  # what arrives at a wall box without insides does not leave by its other sockets
            return cell.block, 0 if cell.edge == "out" or passes(self.both, cell.block) else 1
        return ("upper" if row == self.both.upper_row(cell.block) else "lower"), cell.id

    def _column(self, cell: Cell) -> None:
        column = self.both.column(cell.block, int(cell.pins[0].name))
        if {column.before.pattern, column.after.pattern} - {"none", "held"}:  # also where a plug breaks it just now
            self.after.setdefault(("upper", cell.id), []).append((("lower", cell.id), ""))

    def _line(self, line: Bundle) -> None:
        a, b = self._node(line.a, line.row_a), self._node(line.b, line.row_b)
        if a == b:
            return
        if line.kind in ("normal", "mult") and line.a.block == line.b.block:
            self.alike.append((line.a.id, line.b.id))
        left = line.a.block if line.kind == "cable" and line.row_a else ""
        self.after.setdefault(a, []).append((b, left))
        self.after.setdefault(b, [])

    def counts(self) -> dict[int, int]:
        order = self._order()
        place = {node: index for index, node in enumerate(order)}
        passed: dict[Node, dict[str, int]] = {}
        for node in order:
            so_far = passed.setdefault(node, {})
            for other, left in self.after.get(node, ()):
                if place[other] > place[node]:
                    there = passed.setdefault(other, {})
                    for bay in {*so_far, left} - {""}:
                        there[bay] = max(there.get(bay, 0), so_far.get(bay, 0) + (bay == left))
        return self._settled(passed)

    def _settled(self, passed: dict[Node, dict[str, int]]) -> dict[int, int]:
        """One count for both rows of a column (the smaller), and one for columns that are joined inside the bay."""
        counts = {}
        for cell in self.cells.values():
            both_rows = [
                passed[node].get(cell.block, 0) for node in (("upper", cell.id), ("lower", cell.id)) if node in passed
            ]
            counts[cell.id] = min(min(both_rows, default=0), _MOST)
        for _ in self.alike:
            for a, b in self.alike:
                counts[a] = counts[b] = min(counts[a], counts[b])
        return counts

    def _order(self) -> list[Node]:
        """Nodes so that every line runs forward, but those that come back in a loop."""
        heads = {other for targets in self.after.values() for other, _ in targets}
        nodes = sorted(self.after)
        starts = [node for node in nodes if node not in heads] + [node for node in nodes if node in heads]
        done: dict[Node, None] = {}
        seen: set[Node] = set()
        for start in starts:
            stack: list[tuple[Node, int]] = [(start, 0)] if start not in seen else []
            seen.add(start)
            while stack:
                node, index = stack.pop()
                targets = self.after.get(node, [])
                if index < len(targets):
                    stack.append((node, index + 1))
                    other = targets[index][0]
                    if other not in seen:
                        seen.add(other)
                        stack.append((other, 0))
                else:
                    done[node] = None
        return list(reversed(done))
