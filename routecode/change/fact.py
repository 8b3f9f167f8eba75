"""One fact that differs between two sides, and how facts are stated and compared. Which there are is in `facts`."""

from collections.abc import Iterator
from typing import Any, NamedTuple

from routecode.change.matched import AFTER, BEFORE
from routecode.ground.place import At

Value = Any
Key = tuple[Any, ...]
Said = tuple[Value, At]
"""A value and where it is stated."""
Stated = dict[Key, Said]
"""The facts of one kind on one side."""


class Fact(NamedTuple):
    """One differing fact: `kind` and `key` (shared numbers or names) say which, values are None where a side has none.

    `setup` is the setup (as it reads after) it holds in, None for fixed wiring; `nodes` are the shared nodes it touches.
    """

    kind: str
    key: tuple[Any, ...]
    before: Value
    after: Value
    before_at: At | None
    after_at: At | None
    nodes: tuple[int, ...]
    setup: str | None = None

    @property
    def place(self) -> tuple[str, At]:
        """(side, place) where a reader finds it: after, if it stands there."""
        if self.after_at is not None:
            return AFTER, self.after_at
        assert self.before_at is not None
        return BEFORE, self.before_at


def pair(a: int, b: int) -> tuple[int, int]:
    """The unordered pair of two nodes."""
    return (a, b) if a < b else (b, a)


def differing_keys(before: Stated, after: Stated) -> Iterator[tuple[Key, Said | None, Said | None]]:
    """The keys whose values differ, with what each side says."""
    for key, one in before.items():
        other = after.get(key)
        if other is None or other[0] != one[0]:
            yield key, one, other
    for key, one in after.items():
        if key not in before:
            yield key, None, one


def fact(
    kind: str, key: Key, before: Said | None, after: Said | None, nodes: tuple[int, ...], setup: str | None = None
) -> Fact:
    """The fact that two sides state differently."""
    values, places = (before and before[0], after and after[0]), (before and before[1], after and after[1])
    return Fact(kind, key, *values, *places, nodes, setup)
