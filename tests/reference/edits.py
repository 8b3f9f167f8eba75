"""One random legal edit of a studio's files: what a person might change between two commits."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator, Mapping
from random import Random
from typing import Any

from .drafts import Table
from .toml_text import document
from .written import united

Edit = Callable[[dict[str, Table], Random], str | None]
"""Changes one of the tables and names its file, or changes nothing and gives None."""
Site = tuple[str, Table, str]
"""A file, a table in it, and one of its keys."""


def mutate(files: Mapping[str, str], rng: Random) -> dict[str, str]:
    """The files after one edit. Some edit is always found; only the file that changes is written anew."""
    tables = {name: tomllib.loads(text) for name, text in files.items()}
    for kind in rng.sample(EDITS, len(EDITS)):
        changed = kind(tables, rng)
        if changed is not None:
            fresh = document(rng, tables[changed])
            return {name: fresh if name == changed else text for name, text in files.items()}
    raise AssertionError("a studio always has a title to change")


def lists(tables: dict[str, Table], *path: str) -> Iterator[Site]:
    """Each array of tables at this path, `*` standing for any id."""
    for name, table in tables.items():
        for above in below(table, path[:-1]):
            if path[-1] in above:
                yield name, above, path[-1]


def below(table: Table, path: tuple[str, ...]) -> Iterator[Table]:
    """Each table at this path."""
    if not path:
        yield table
        return
    for key, value in table.items():
        if path[0] in ("*", key) and isinstance(value, dict):
            yield from below(value, path[1:])


def drop_entry(*path: str) -> Edit:
    """An edit that takes out one entry of such an array."""

    def edit(tables: dict[str, Table], rng: Random) -> str | None:
        sites = list(lists(tables, *path))
        if not sites:
            return None
        name, above, key = rng.choice(sites)
        above[key].pop(rng.randrange(len(above[key])))
        if not above[key]:
            del above[key]
        return name

    return edit


def change_key(path: tuple[str, ...], key: str, values: tuple[Any, ...]) -> Edit:
    """An edit that gives a key of one entry, which has it already, another value."""

    def edit(tables: dict[str, Table], rng: Random) -> str | None:
        sites = [(n, e) for n, above, array in lists(tables, *path) for e in above[array] if key in e]
        if not sites:
            return None
        name, entry = rng.choice(sites)
        entry[key] = rng.choice([value for value in values if value != entry[key]])
        return name

    return edit


def turn(*path: str) -> Edit:
    """An edit that turns the polarity of one entry which states it, or of a new statement where none is."""
    return change_key(path, "polarity", ("kept", "reversed"))


def retitle(tables: dict[str, Table], rng: Random) -> str | None:
    """Another title of the studio: no path changes."""
    tables["studio.toml"]["studio"]["title"] = f"Mill {rng.randint(1, 999)}"
    return "studio.toml"


def away(tables: dict[str, Table], rng: Random) -> str | None:
    """A unit goes away, or comes back."""
    sites = [(n, table) for n, whole in tables.items() for table in below(whole, ("unit", "*"))]
    gone = {ident for ident, table in united_of(tables)["unit"].items() if "away" in table}
    name, table = rng.choice(sites)
    if table.pop("away", None) is None:
        idents = [i for whole in tables.values() for i, t in whole.get("unit", {}).items() if t is table]
        if gone & set(idents):
            return None
        table["away"] = "on loan"
    return name


def united_of(tables: dict[str, Table]) -> Table:
    """All files as one table."""
    return united({name: document(Random(0), table) for name, table in tables.items()})


def rest_elsewhere(tables: dict[str, Table], rng: Random) -> str | None:
    """Another resting position of a switch."""
    sites = [(n, e) for kind in ("unit", "model") for n, a, k in lists(tables, kind, "*", "switch") for e in a[k]]
    if not sites:
        return None
    name, entry = rng.choice(sites)
    entry["positions"] = [*entry["positions"][1:], entry["positions"][0]]
    return name


def exchange(tables: dict[str, Table], rng: Random) -> str | None:
    """What is wired to one column is wired to another one, and the other way round."""
    entries = [(n, e, row) for n, a, k in lists(tables, "bay", "*", "column") for e in a[k] for row in e]
    singles = [(n, e, row) for n, e, row in entries if row in ("top", "bottom") and isinstance(e["at"], int)]
    restated = str(united_of(tables).get("cable", []))
    free = [(n, e, row) for n, e, row in singles if isinstance(e[row], str) and e[row] not in restated]
    pairs = [(x, y) for x in free for y in free if x[0] == y[0] and (x[1] is not y[1] or x[2] < y[2])]
    if not pairs:
        return None
    (name, one, row), (_, other, far_row) = rng.choice(pairs)
    one[row], other[far_row] = other[far_row], one[row]
    return name


def unwire(tables: dict[str, Table], rng: Random) -> str | None:
    """Nothing is wired any more to the row of some columns."""
    sites = [
        (n, e, row)
        for n, above, key in lists(tables, "bay", "*", "column")
        for e in above[key]
        for row in ("top", "bottom")
        if row in e
    ]
    if not sites:
        return None
    name, entry, row = rng.choice(sites)
    del entry[row]
    return name


def turn_bay(tables: dict[str, Table], rng: Random) -> str | None:
    """The sources of a bay are said to be in the other row."""
    sites = [(n, table) for n, whole in tables.items() for table in below(whole, ("bay", "*")) if "sources" in table]
    if not sites:
        return None
    name, table = rng.choice(sites)
    table["sources"] = "top" if table["sources"] == "bottom" else "bottom"
    return name


def exclude(tables: dict[str, Table], rng: Random) -> str | None:
    """A setup no longer includes others."""
    sites = list(lists(tables, "setup", "*", "include"))
    if not sites:
        return None
    name, above, key = rng.choice(sites)
    del above[key]
    return name


def new_setup(tables: dict[str, Table], rng: Random) -> str | None:
    """One more setup, that includes another if there is one."""
    there = sorted(united_of(tables).get("setup", {}))
    name, ident = rng.choice(sorted(tables)), f"new-{len(there)}"
    if ident in there:
        return None
    tables[name].setdefault("setup", {})[ident] = {"include": [rng.choice(there)]} if there else {"title": "New"}
    return name


SWITCHED = ("none", "half", "full", "parallel")
LINKS = ("top", "bottom", "none")
EDITS: tuple[Edit, ...] = (
    retitle,
    away,
    rest_elsewhere,
    exchange,
    unwire,
    turn_bay,
    exclude,
    new_setup,
    drop_entry("cable"),
    drop_entry("normal"),
    drop_entry("route"),
    drop_entry("bay", "*", "mult"),
    *(drop_entry("setup", "*", array) for array in ("cord", "plug", "set", "route", "need")),
    change_key(("bay", "*", "column"), "normal", SWITCHED),
    change_key(("bay", "*", "column"), "plug", LINKS),
    change_key(("normal",), "breaks", ("to", "from", "both", "never")),
    change_key(("unit", "*", "inside"), "control", ("none", "level")),
    turn("cable"),
    turn("setup", "*", "cord"),
    turn("unit", "*", "inside"),
)
