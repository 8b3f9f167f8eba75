"""Studios in a loose form, to be edited: every cable, column, cord, plug, position and route stated by itself, in one file.

The loose form says the same as the text it was made of; ports, insides, needs, splits and Y-cords stay as they are written.
Reads text as the reference does, and nothing of the tool.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from copy import deepcopy
from typing import Any

from tests.reference.readings import RIGHT
from tests.reference.spread import spread
from tests.reference.toml_text import is_array_of_tables, key_text, value_text

Table = dict[str, Any]
SPREAD_KEYS = ("top", "bottom")
LABELS = ("label_top", "label_bottom")
PLACES = ("from", "to", "at")


def names(value: Any) -> list[str]:
    """The names a field stands for."""
    return spread(value, RIGHT)


def is_split(entry: Table) -> bool:
    """Whether a cable is a deliberate split, or a cord a Y-cord."""
    return any(
        isinstance(entry[side], list) and bool(entry[side]) and isinstance(entry[side][0], list)
        for side in ("from", "to")
    )


def loosened(whole: Table) -> Table:
    """A copy of all tables in the loose form."""
    whole = deepcopy(whole)
    cables = list(_column_cables(whole))
    for bay in whole.get("bay", {}).values():
        if "column" in bay:
            bay["column"] = [one for entry in bay["column"] for one in _columns(entry)]
            bay["column"] = _merged(bay["column"])
    cables += [one for entry in whole.get("cable", []) for one in _cables(entry)]
    whole["cable"] = _united(cables)
    for array in ("normal", "route"):
        if array in whole and not any(" ch " in str(entry) for entry in whole[array]):
            whole[array] = [one for entry in whole[array] for one in _pairs(entry)]
    for setup in whole.get("setup", {}).values():
        if "cord" in setup:
            setup["cord"] = [one for entry in setup["cord"] for one in _cords(entry)]
        if "plug" in setup:
            setup["plug"] = [{**entry, "at": jack} for entry in setup["plug"] for jack in names(entry["at"])]
    return {key: table for key, table in whole.items() if table}


def _column_cables(whole: Table) -> Iterator[Table]:
    for ident, bay in whole.get("bay", {}).items():
        for entry in bay.get("column", []):
            for row in SPREAD_KEYS:
                numbers = names(entry["at"]) if row in entry else []
                for at, end in zip(numbers, names(entry.get(row, [])), strict=True):
                    yield {"from": f"{ident}/{at}" if bay.get("rows") == 1 else f"{ident}/{row} {at}", "to": end}


def _columns(entry: Table) -> Iterator[Table]:
    numbers = names(entry["at"])
    for place, number in enumerate(numbers):
        keys = {key: value for key, value in entry.items() if key not in (*SPREAD_KEYS, *LABELS)}
        for label in LABELS:
            if label in entry and len(names(entry[label])) == len(numbers):
                keys[label] = names(entry[label])[place]
        yield {**keys, "at": int(number)}


def _merged(columns: list[Table]) -> list[Table]:
    found: dict[int, Table] = {}
    for entry in columns:
        found.setdefault(entry["at"], {}).update(entry)
    return [found[number] for number in sorted(found)]


def _cables(entry: Table) -> Iterator[Table]:
    if is_split(entry):
        yield entry
        return
    ends = list(zip(names(entry["from"]), names(entry["to"]), strict=True))
    numbers = names(entry["number"]) if "number" in entry else []
    for place, (near, far) in enumerate(ends):
        number = {"number": numbers[place if len(numbers) == len(ends) else 0]} if numbers else {}
        yield {**entry, "from": near, "to": far, **number}


def _united(cables: list[Table]) -> list[Table]:
    """Each pair of places once, with all that is said of it; the keys of a split are not touched."""
    found: dict[Any, Table] = {}
    for number, entry in enumerate(cables):
        pair = number if is_split(entry) else frozenset((entry["from"], entry["to"]))
        first = found.setdefault(pair, entry)
        found[pair] = {**entry, **first} | {key: value for key, value in entry.items() if key not in ("from", "to")}
    return list(found.values())


def _pairs(entry: Table) -> Iterator[Table]:
    for near, far in zip(names(entry["from"]), names(entry["to"]), strict=True):
        yield {**entry, "from": near, "to": far}


def _cords(entry: Table) -> Iterator[Table]:
    if isinstance(entry["to"], list):
        yield {**entry, "to": names(entry["to"])}
    else:
        yield from _pairs(entry)


# -- places that read otherwise ------------------------------------------------------------------------------------------


def replaced(value: Any, turn: Callable[[str], str]) -> Any:
    """The places of a field, each by the one it becomes; lists of lists stay what they are."""
    if isinstance(value, list):
        return [replaced(part, turn) for part in value]
    if not isinstance(value, str):
        return value
    spelt = names(value)
    other = [turn(name) for name in spelt]
    if other == spelt:
        return value
    return other[0] if len(other) == 1 else other


def jacks_replaced(whole: Table, turn: Callable[[str], str]) -> None:
    """Every reference to a jack by the one it becomes; the columns themselves are left alone."""
    setups = [
        entry for setup in whole.get("setup", {}).values() for kind in ("cord", "plug") for entry in setup.get(kind, [])
    ]
    for entry in [*whole.get("cable", []), *whole.get("normal", []), *setups]:
        for key in PLACES:
            if key in entry:
                entry[key] = replaced(entry[key], turn)
    for ident, bay in whole.get("bay", {}).items():
        for mult in bay.get("mult", []):
            mult["at"] = [turn(f"{ident}/{at}").partition("/")[2] for at in names(mult["at"])]


# -- text ----------------------------------------------------------------------------------------------------------------


def text_of(whole: Table) -> str:
    """The tables as a file, in their own order."""
    return "\n\n".join(_blocks(whole, ())) + "\n"


def _blocks(table: Table, path: tuple[str, ...]) -> Iterator[str]:
    plain = {
        key: value for key, value in table.items() if not isinstance(value, dict) and not is_array_of_tables(value)
    }
    name = ".".join(map(key_text, path))
    if path and (plain or not table):
        yield "\n".join([f"[{name}]", *_lines(plain)])
    for key, value in table.items():
        if is_array_of_tables(value):
            head = f"[[{'.'.join(map(key_text, (*path, key)))}]]"
            yield from ("\n".join([head, *_lines(entry)]) for entry in value)
        elif isinstance(value, dict):
            yield from _blocks(value, (*path, key))


def _lines(table: Table) -> list[str]:
    return [f"{key_text(key)} = {value_text(value)}" for key, value in table.items()]
