"""What a partial return leaves as it is although it was otherwise then, and how to return that, too. Decides nothing."""

from collections.abc import Iterator
from typing import Any

from routecode.history.back import tables
from routecode.history.back_parts import Tables, Wanted, heads, parts, settled
from routecode.studio.opened import Opened


def beside(now: Opened, then: Opened, wanted: Wanted) -> list[str]:
    """Sentences, a few at most; of bay columns, models and included setups."""
    ours, theirs = tables(now), tables(then)
    found: list[str] = []
    for unit in wanted.units:
        found += _model(ours, theirs, unit)
        found += _columns(ours, theirs, unit, wanted)
    for setup in wanted.setups:
        found += _included(ours, theirs, setup, wanted)
    return list(dict.fromkeys(found))


def _model(ours: Tables, theirs: Tables, unit: str) -> Iterator[str]:
    for model in _values(theirs, "unit", unit, "model"):
        if _said(ours, "model", model) != _said(theirs, "model", model):
            yield f"Its model `{model}` was another one then, and stays as it is now."


def _columns(ours: Tables, theirs: Tables, unit: str, wanted: Wanted) -> Iterator[str]:
    bays = {each for side in (ours, theirs) for table in side.values() for each in _keys(table.get("bay"))}
    for bay in sorted(bays - set(wanted.bays)):
        if _naming(ours, bay, unit) != _naming(theirs, bay, unit):
            yield f"What the columns of `{bay}` say of it was otherwise then, and stays. To return that, too: --bay {bay}"


def _included(ours: Tables, theirs: Tables, setup: str, wanted: Wanted) -> Iterator[str]:
    for other in _values(theirs, "setup", setup, "include"):
        if other not in wanted.setups and _said(ours, "setup", other) != _said(theirs, "setup", other):
            yield f"It includes `{other}`, which was otherwise then, and stays. To return that, too: --setup {other}"


def _naming(side: Tables, bay: str, unit: str) -> list[str]:
    """The columns of a bay that name a unit, as texts to be compared."""
    columns = [
        column
        for part in parts(side, Wanted(bays=(bay,)))
        if part.path[0] == "bay" and isinstance(part.value, dict)
        for column in _list(part.value.get("column"))
    ]
    return sorted(repr(settled(column)) for column in columns if unit in heads(column))


def _values(side: Tables, kind: str, each: str, key: str) -> list[str]:
    """The texts under a key of a table with an id."""
    found = [table[kind][each].get(key) for table in side.values() if isinstance(_below(table, kind, each), dict)]
    return [
        text for value in found for text in (value if isinstance(value, list) else [value]) if isinstance(text, str)
    ]


def _said(side: Tables, kind: str, each: str) -> list[str]:
    return sorted(
        repr((key, settled(part)))
        for table in side.values()
        for key, value in (_below(table, kind, each) or {}).items()
        for part in (_list(value) or [value])
    )


def _below(table: Any, kind: str, each: str) -> Any:
    below = table.get(kind)
    found = below.get(each) if isinstance(below, dict) else None
    return found if isinstance(found, dict) else None


def _keys(value: Any) -> list[str]:
    return list(value) if isinstance(value, dict) else []


def _list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []
