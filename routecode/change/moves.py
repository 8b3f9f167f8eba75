"""Columns of a bay that moved along with all that is wired to them: a bay extended in the middle, a layout shifted.

Proved, not guessed: exactly one column before and one after have this wiring and this normal. The raw sets are not touched;
their jacks read otherwise, and that is told here once instead of path by path.
"""

from collections import defaultdict
from collections.abc import Iterable
from typing import NamedTuple

from attrs import field, frozen

from routecode.change.matched import AFTER, BEFORE, Matched
from routecode.circuit.plant import PlacedBay

Mark = tuple[object, ...]


class Move(NamedTuple):
    """Neighbouring columns `first` to `last` (as they were) of a bay, and by how much they moved; `jacks`: where they are now."""

    bay: str
    first: int
    last: int
    shift: int
    jacks: tuple[int, ...]


@frozen(eq=False)
class Moves:
    """All moves, and the jack (shared number) that took the place of another."""

    runs: tuple[Move, ...] = ()
    jack: dict[int, int] = field(factory=dict)

    def now(self, jacks: Iterable[int]) -> tuple[int, ...]:
        """Jacks of the before side where they are now."""
        return tuple(self.jack.get(jack, jack) for jack in jacks)


def moves(matched: Matched, bays: Iterable[str]) -> Moves:
    """The moves of the bays named (ids as they read after)."""
    names = {matched.identity.bays.get(name, name): name for name in matched.before.bays}
    runs: list[Move] = []
    jacks: dict[int, int] = {}
    for name in sorted(bays):
        old, new = matched.before.bays.get(names.get(name, "")), matched.after.bays.get(name)
        if old is None or new is None or old.rows != new.rows:
            continue
        moved = _moved(_columns(matched, BEFORE, old), _columns(matched, AFTER, new))
        for was, now in moved.items():
            for row in ("top", "bottom")[: old.rows]:
                jacks[matched.shared_node(BEFORE, old.jack(row, was))] = new.jack(row, now)
        runs += _runs(moved, new)
    return Moves(tuple(runs), jacks)


def _columns(matched: Matched, side: str, bay: PlacedBay) -> dict[int, Mark]:
    """What each wired column is: the places behind each of its jacks, and its normal."""
    plant = matched.plant(side)
    found: dict[int, Mark] = {}
    for column in range(1, bay.columns + 1):
        nodes = [bay.jack(row, column) for row in ("top", "bottom")[: bay.rows]]
        wired = tuple(tuple(sorted(matched.shared_node(side, other) for other in plant.wired(node))) for node in nodes)
        if any(wired):
            found[column] = (wired, bay.normals[column] if bay.rows == 2 else "")
    return found


def _moved(old: dict[int, Mark], new: dict[int, Mark]) -> dict[int, int]:
    """Columns before -> after, where wiring and normal are the same, on one column only of each side, and the number is not."""
    olds, news = _by_mark(old), _by_mark(new)
    pairs = (
        (columns[0], news[mark][0]) for mark, columns in olds.items() if len(columns) == 1 == len(news.get(mark, ()))
    )
    return {was: now for was, now in sorted(pairs) if was != now}


def _by_mark(columns: dict[int, Mark]) -> dict[Mark, list[int]]:
    found: dict[Mark, list[int]] = defaultdict(list)
    for column, mark in columns.items():
        found[mark].append(column)
    return found


def _runs(moved: dict[int, int], bay: PlacedBay) -> list[Move]:
    runs: list[list[int]] = []
    for was, now in moved.items():
        if runs and was == runs[-1][-1] + 1 and now - was == moved[runs[-1][-1]] - runs[-1][-1]:
            runs[-1].append(was)
        else:
            runs.append([was])
    rows = ("top", "bottom")[: bay.rows]
    return [
        Move(
            bay.id,
            run[0],
            run[-1],
            moved[run[0]] - run[0],
            tuple(bay.jack(row, moved[was]) for was in run for row in rows),
        )
        for run in runs
    ]
