"""What a partial return takes: the tables of a bay, unit or setup, and what is written of their wiring elsewhere.

A bay takes its tables, and the cables and normals that name its jacks; a unit its tables, and the cables and routes that name its
ports; a setup its tables. What bay columns say of a unit belongs to the bay. Tables are as parsed; nothing is resolved here.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from routecode.files.edit import Inside
from routecode.files.scan import Path

Table = dict[str, Any]
Tables = Mapping[str, Table]
"""The tables of all files, by file name."""

KINDS = ("bay", "unit", "setup")
_LISTED = {"cable": ("bay", "unit"), "normal": ("bay",), "route": ("unit",)}
"""Arrays of tables at the top, and what they are the wiring of."""

Said = tuple[Any, ...]


class Wanted(NamedTuple):
    """What is to be as it was; nothing named: the whole studio."""

    bays: tuple[str, ...] = ()
    units: tuple[str, ...] = ()
    setups: tuple[str, ...] = ()
    files: tuple[str, ...] = ()

    @property
    def is_whole(self) -> bool:
        """Whether the whole studio is asked for."""
        return not any(self)

    def of(self, kind: str) -> tuple[str, ...]:
        """The ids of one kind of table."""
        return {"bay": self.bays, "unit": self.units, "setup": self.setups}[kind]


class Part(NamedTuple):
    """One table that belongs to what is wanted: its file, its path there, and what it says."""

    file: str
    path: Path
    value: Any

    @property
    def said(self) -> Said:
        """What it says, wherever it is written."""
        if self.path[0] in KINDS:
            return tuple(sorted(_statements(str(self.path[0]), str(self.path[1]), self.value)))
        return (self.path[0], settled(self.value))


def parts(tables: Tables, wanted: Wanted) -> list[Part]:
    """All tables that belong to what is wanted."""
    found = []
    for file, table in sorted(tables.items()):
        for kind in KINDS:
            below = table.get(kind)
            for each in below if isinstance(below, dict) else ():
                if each in wanted.of(kind):
                    found.append(Part(file, (kind, each), below[each] if isinstance(below, dict) else None))
        for name, kinds in _LISTED.items():
            ids = {each for kind in kinds for each in wanted.of(kind)}
            elements = table.get(name)
            for index, element in enumerate(elements if isinstance(elements, list) else ()):
                if ids and ids & set(heads(element)):
                    found.append(Part(file, (name, index), element))
    return found


def differing(now: list[Part], then: list[Part]) -> tuple[list[Part], list[Part]]:
    """The parts of both sides without those that say the same, in whatever file they stand."""
    return _without_same(now, then), _without_same(then, now)


def _without_same(these: list[Part], those: list[Part]) -> list[Part]:
    others: Counter[Said] = Counter(part.said for part in _united(those) if part.path[0] not in KINDS)
    keyed = {part.path: part.said for part in _united(those) if part.path[0] in KINDS}
    same = {part.path for part in _united(these) if part.path[0] in KINDS and keyed.get(part.path) == part.said}
    left = []
    for part in these:
        if part.path[0] in KINDS:
            left += [] if part.path in same else [part]
        elif others[part.said]:
            others[part.said] -= 1
        else:
            left.append(part)
    return left


def _united(found: list[Part]) -> Iterator[Part]:
    """Parts that several files have pieces of, as one; the others as they are."""
    pieces: dict[Path, list[Any]] = {}
    for part in found:
        if part.path[0] in KINDS:
            pieces.setdefault(part.path, []).append(part.value)
        else:
            yield part
    for path, values in pieces.items():
        whole: Table = {}
        for value in values:
            for key, below in value.items() if isinstance(value, dict) else ():
                is_more = isinstance(below, list) and isinstance(whole.get(key), list)
                whole[key] = [*whole[key], *below] if is_more else below
        yield Part("", path, whole)


def inside(found: list[Part], file: str) -> Inside:
    """Whether a path of a file belongs to these parts."""
    paths = {part.path for part in found if part.file == file}
    return lambda path: path[:2] in paths


def heads(value: Any) -> Iterator[str]:
    """The units and bays that the places in a table name."""
    for text in _texts(value):
        head, slash, _ = text.partition("/")
        if slash:
            yield head


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict | list):
        for each in value.values() if isinstance(value, dict) else value:
            yield from _texts(each)


# -- what is said, wherever it is written ----------------------------------------------------------------------------------


def said(tables: Tables) -> Counter[Said]:
    """All that the tables of a studio say, each statement with the thing it is of; files and order do not matter."""
    found: Counter[Said] = Counter()
    for table in tables.values():
        for name, value in table.items():
            if isinstance(value, dict):
                for each, below in value.items():
                    found.update(_statements(name, each, below))
            else:
                elements = value if isinstance(value, list) else [value]
                found.update((name, settled(element)) for element in elements)
    return found


def _statements(kind: str, each: str, value: Any) -> Iterator[Said]:
    """What a table with an id says; that it is there is said once for every piece that says nothing."""
    if not isinstance(value, dict) or not value:
        yield (kind, each, "", settled(value))
        return
    for key, below in value.items():
        elements = below if isinstance(below, list) and below and isinstance(below[0], dict) else [below]
        for element in elements:
            yield (kind, each, key, settled(element))


def settled(value: Any) -> Any:
    """A value without the order of keys and of tables in arrays, to be compared and sorted."""
    if isinstance(value, dict):
        return ("table", tuple(sorted((key, settled(below)) for key, below in value.items())))
    if isinstance(value, list):
        elements = [settled(each) for each in value]
        is_tables = any(isinstance(each, dict) for each in value)
        return ("array", tuple(sorted(elements, key=repr) if is_tables else elements))
    return (type(value).__name__, repr(value))
