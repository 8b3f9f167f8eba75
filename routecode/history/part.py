"""The files of a studio in which two revisions may differ in meaning: those that changed, and all that hangs together with them.

A studio of several areas that share no cable, setup, title or number differs in one of them as if it stood alone, and that one is opened
much faster. It is only ever a question of speed: whatever is not surely apart hangs together, and where little is left out, or a rule
looks at the whole studio, the answer is None and the revisions are opened whole. No file is read here, and nothing is compiled.
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from attrs import frozen

from routecode.files.toml import parse
from routecode.files.tree import STUDIO, Files
from routecode.ground.place import At
from routecode.language.ranges import spread

Table = dict[str, Any]
MOST = 0.5
"""Share of the bytes above which a part is no part."""

_PLACED = ("unit", "bay", "setup", "cable", "normal", "route", "accept")
"""Tables that are of some place in the studio. Files without any are part of everything."""
_DEFINING = ("model", "room", "rack", "cable_type", "signal")
_BY_KEY = {"model": "model", "room": "room", "rack": "rack", "type": "cable_type", "signal": "signal", "like": "signal"}
"""Keys that name a definition, and its table."""
_OWN = {
    "unit": ("port", "inside", "switch", "multipin", "phantom_on", "away"),
    "bay": (
        "label_top",
        "label_bottom",
        "group",
        "reserved",
        "at",
        "normal",
        "contact",
        "normalling",
        "plug",
        "sources",
        "mult",
    ),
    "cable": ("polarity", "cold", "pins", "dead"),
    "accept": ("rule",),
    "normal": ("breaks",),
    "setup": ("polarity", "adapter"),
    "route": (),
}
"""Keys that say nothing of anything else; everything else is taken to name things."""
_ALWAYS = ("title", "notes", "because")


@frozen
class Said:
    """What one file says: its tables, the names by which it hangs together with others, and those that it defines for others.

    `general`: it belongs to no place. `summed`: a rule that adds up the whole studio may look at it.
    """

    tables: Table
    names: frozenset[str]
    general: bool
    summed: bool


class Parts:
    """Finds the parts of revisions that are asked for one after another; what was read of a file is remembered."""

    def __init__(self) -> None:
        self._read: dict[str, list[tuple[bytes, Said | None]]] = {}
        """The two texts of each file that were read last."""
        self._now: dict[str, tuple[bytes, Said]] = {}
        """The revision that the index is of."""
        self._by_name: dict[str, set[str]] = {}

    def between(self, before: Files, after: Files) -> tuple[Files, Files] | None:
        """The parts of two revisions that differ; both are empty where only text differs. None: take them whole.

        `before` compiles.
        """
        if before.mistakes or after.mistakes or before.texts.keys() != after.texts.keys():
            return None
        olds = {
            name: text
            for name, text in before.texts.items()
            if after.texts[name] is not text and after.texts[name] != text
        }
        if STUDIO in olds:
            return None
        pairs = [(self.said(name, text), self.said(name, after.texts[name])) for name, text in olds.items()]
        different = []
        for name, (old, new) in zip(olds, pairs, strict=True):
            if old is None or new is None:
                return None
            if not _says_the_same(old.tables, new.tables):
                if old.general or new.general:
                    return None
                different.append((name, old.names | new.names))
        if not different:
            return Files(before.root, {}, ()), Files(after.root, {}, ())
        chosen = self._together(after.texts, different)
        if chosen is None:
            return None
        return _chosen(before, chosen), _chosen(after, chosen)

    def said(self, name: str, text: bytes) -> Said | None:
        """What a file says; None where it is no TOML."""
        known = self._read.setdefault(name, [])
        for kept, found in known:
            if kept is text or kept == text:
                return found
        parsed = parse(name, text)
        said = said_by(parsed.table) if parsed.table is not None else None
        self._read[name] = [*known[-1:], (text, said)]
        return said

    def _together(self, texts: Mapping[str, bytes], different: list[tuple[str, frozenset[str]]]) -> set[str] | None:
        """The files that hang together with those that differ, and those that belong to no place."""
        if not self._index(texts) or any(said.summed for _, said in self._now.values()):
            return None
        chosen = {name for name, (_, said) in self._now.items() if said.general}
        shared = {name for file in chosen for name in self._now[file][1].names}
        queue = [name for _, names in different for name in names]
        chosen.update(name for name, _ in different)
        seen = set(queue)
        for name in queue:
            if name in shared:
                continue
            for file in self._by_name.get(name, ()):
                if file not in chosen:
                    chosen.add(file)
                    more = self._now[file][1].names - seen
                    seen |= more
                    queue += more
        size = sum(len(texts[name]) for name in chosen)
        return None if size > MOST * sum(map(len, texts.values())) else chosen

    def _index(self, texts: Mapping[str, bytes]) -> bool:
        """Bring the index of names to these texts; whether all of them could be read."""
        for name in self._now.keys() - texts.keys():
            self._take_out(name)
        for name, text in texts.items():
            if name in self._now and self._now[name][0] is text:
                continue
            said = self.said(name, text)
            if said is None:
                return False
            self._take_out(name)
            self._now[name] = (text, said)
            for word in said.names:
                self._by_name.setdefault(word, set()).add(name)
        return True

    def _take_out(self, name: str) -> None:
        kept = self._now.pop(name, None)
        for word in kept[1].names if kept is not None else ():
            self._by_name[word].discard(name)


def _says_the_same(old: Table, new: Table) -> bool:
    """Whether two tables are equal to the letter: `1`, `1.0` and `true` are equal numbers, and only one of them may be right."""
    return old == new and repr(old) == repr(new)


def _chosen(files: Files, names: set[str]) -> Files:
    return Files(files.root, {name: text for name, text in files.texts.items() if name in names}, ())


# -- what a file says -------------------------------------------------------------------------------------------------------


def said_by(tables: Table) -> Said:
    """What the tables of one file say."""
    general = not any(name in tables for name in _PLACED)
    return Said(tables, frozenset(_names(tables)), general, _is_summed(tables))


def _names(tables: Table) -> Iterator[str]:
    for kind in _DEFINING:
        if isinstance(tables.get(kind), dict):
            yield from (f"{kind} {name}".casefold() for name in tables[kind])
    for kind in ("unit", "bay", "setup"):
        keyed = tables.get(kind)
        for name, table in keyed.items() if isinstance(keyed, dict) else ():
            yield from _heads(name)
            if isinstance(table, dict):
                title = table.get("title")
                yield f"title {title if isinstance(title, str) else name}"
                yield from _all(table, kind)
    for kind in ("cable", "normal", "route", "accept"):
        rows = tables.get(kind)
        for row in rows if isinstance(rows, list) else ():
            if isinstance(row, dict):
                yield from _all(row, kind)


def _all(table: Table, kind: str) -> Iterator[str]:
    """The names in a table and in the tables within it."""
    for key, value in table.items():
        if (
            key in _ALWAYS
            or key in _OWN[kind]
            or (key == "to" and "switch" in table)
            or (key == "set" and isinstance(value, str))
        ):
            continue
        if key in _BY_KEY and isinstance(value, str):
            yield f"{_BY_KEY[key]} {value}".casefold()
        elif key in ("number", "loom"):
            yield from (f"{key} {name}" for name in _spread(value))
        elif key == "at" and kind == "accept":
            yield from (f"number {name}" for name in _spread(value))
            yield from _texts(value, kind)
        else:
            yield from _texts(value, kind)


def _texts(value: Any, kind: str) -> Iterator[str]:
    if isinstance(value, str):
        yield from _heads(value)
    elif isinstance(value, list):
        for one in value:
            yield from _texts(one, kind)
    elif isinstance(value, dict):
        yield from _all(value, kind)


def _heads(text: str) -> tuple[str]:
    """The unit, bay or setup that a text names, if it names one: ids that differ only in case hang together too."""
    return (text.partition("/")[0].casefold(),)


def _spread(value: Any) -> Iterable[str]:
    """A text or a list of texts with its ranges spread; as it is where that is a mistake."""
    listed = value if isinstance(value, list) else [value]
    texts = tuple(one for one in listed if isinstance(one, str))
    faults: list[Any] = []
    return spread(texts, At("", ()), faults) if texts and len(texts) == len(listed) else texts or ()


def _is_summed(tables: Table) -> bool:
    """Whether something may be told of the whole studio: how its shields are made, which cables are documented, a rate of all of it."""
    rows = tables.get("cable")
    for row in rows if isinstance(rows, list) else ():
        if not isinstance(row, dict) or "shield" in row or ("type" in row and "metres" in row):
            return True
    for kind, key in (("bay", "shields"), ("setup", "sample_rate")):
        keyed = tables.get(kind)
        if isinstance(keyed, dict) and any(not isinstance(table, dict) or key in table for table in keyed.values()):
            return True
    return False
