"""Sentences by numbers, and for every place in a picture the numbers of the sentences that touch it.

Numbers are all that ties a sentence to a picture on the page: no name of a user becomes part of a script or of a selector.
"""

from collections import defaultdict
from collections.abc import Iterable

from routecode.show.review.touching import Touched


class Numbers:
    """Gives sentences their numbers, from 0 in the order of telling."""

    def __init__(self) -> None:
        self.count = 0
        self._names: dict[str, set[int]] = defaultdict(set)
        self._joints: dict[tuple[str, str], set[int]] = defaultdict(set)
        self._units: dict[str, set[int]] = defaultdict(set)

    def add(self, touched: Touched) -> int | None:
        """The number of a sentence that touches these places; None where it touches none."""
        if not touched.names and not touched.units:
            return None
        number = self.count
        self.count += 1
        for name in touched.names:
            self._names[name].add(number)
            self._units[name.partition("/")[0]].add(number)
        for joint in touched.joints:
            self._joints[joint].add(number)
        for unit in touched.units:
            self._units[unit].add(number)
        return number

    def at(self, names: Iterable[str]) -> frozenset[int]:
        """The sentences that touch any of some ports or jacks."""
        return frozenset().union(*(self._names[name] for name in names if name in self._names))

    def along(self, joints: Iterable[tuple[str, str]]) -> frozenset[int]:
        """The sentences whose ways take any of some joints, in either direction."""
        keys = ((one, other) if one <= other else (other, one) for one, other in joints)
        return frozenset().union(*(self._joints[key] for key in keys if key in self._joints))

    def of(self, unit: str) -> frozenset[int]:
        """The sentences that touch a unit or any of its ports."""
        return frozenset(self._units.get(unit, ()))
