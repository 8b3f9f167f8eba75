"""Rough edits of random studios: any key dropped, exchanged or repeated, any table called otherwise, as long as it still compiles.

Rougher than `tests.reference.edits`, whose edits are what a person would do: units and models vanish, bays shrink, ports change
their direction. What comes out means little, and must be compared exactly all the same.
"""

from collections.abc import Iterator, Mapping
from copy import deepcopy
from random import Random
from typing import Any

from tests.reference.compiler import circuit_of
from tests.reference.studios import random_studio
from tests.reference.toml_text import document
from tests.reference.written import united

Files = Mapping[str, str]
Spot = tuple[Any, Any, tuple[Any, ...]]
"""A table or list, one of its keys, and the whole way to it."""
TRIES = 40


def spots(table: Any, path: tuple[Any, ...] = ()) -> Iterator[Spot]:
    """Every key of a table and of all that is in it."""
    for key, value in list(table.items() if isinstance(table, dict) else enumerate(table)):
        yield table, key, (*path, key)
        if isinstance(value, dict | list):
            yield from spots(value, (*path, key))


def any_edit(whole: dict[str, Any], rng: Random) -> dict[str, Any]:
    """A copy with one place changed; it may be no legal studio any more."""
    whole = deepcopy(whole)
    places = [spot for spot in spots(whole) if spot[2][0] != "studio"]
    table, key, path = rng.choice(places)
    like = [spot for spot in places if spot[1] == key and spot[2][0] == path[0] and len(spot[2]) == len(path)]
    other, its_key, _ = rng.choice(like)
    kind = rng.choice(("drop", "drop", "exchange", "repeat", "other"))
    if kind == "drop":
        del table[key]
    elif kind == "exchange":
        table[key], other[its_key] = other[its_key], table[key]
    elif kind == "repeat":
        table[key] = deepcopy(other[its_key])
    elif type(table[key]) is int:
        table[key] = max(1, table[key] + rng.choice((-1, 1, 2)))
    elif isinstance(table[key], list):
        rng.shuffle(table[key])
    return whole


def roughly_edited(seed: int) -> tuple[Files, Files]:
    """A random studio before and after one to six such edits that compile."""
    rng = Random(seed)
    before = random_studio(seed)
    whole, wanted = united(before), rng.choice((1, 1, 2, 3, 6))
    for _ in range(TRIES):
        edited = any_edit(whole, rng)
        if circuit_of({"studio.toml": document(Random(seed), edited)})[0] is not None:
            whole, wanted = edited, wanted - 1
        if not wanted:
            break
    return before, {"studio.toml": document(Random(seed), whole)}


def called_otherwise(files: Files, head: str = "new-") -> Files:
    """Every unit, bay and setup with another id, `was` the old one; their order among themselves stays."""
    whole = united(files)
    places = {ident for kind in ("unit", "bay") for ident in whole.get(kind, {})}
    for table, key, path in list(spots(whole)):
        text = table[key]
        if isinstance(text, str) and not {"title", "notes"} & set(path) and text.partition("/")[0] in places:
            table[key] = head + text if "/" in text else text
        elif "include" in path and isinstance(text, str):
            table[key] = head + text
    for kind in ("unit", "bay", "setup"):
        if kind in whole:
            whole[kind] = {head + ident: {**table, "was": ident} for ident, table in whole[kind].items()}
    return {"studio.toml": document(Random(0), whole)}
