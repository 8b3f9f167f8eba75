"""Random studios that the language accepts, small, and rich in odd features. The same seed gives the same bytes.

Not a fuzzer of bad text: everything here is legal.
"""

from __future__ import annotations

from collections.abc import Iterator
from random import Random
from typing import Any

from .drafts import Draft, Table
from .edits import mutate
from .random_setups import add_routes, add_setups
from .random_units import ANALOGUE, DIGITAL, OWN, add_units
from .random_wiring import add_bay, add_cables, add_mults, add_normals, dead_cables
from .toml_text import document, is_array_of_tables

__all__ = ["SIZES", "mutate", "random_studio"]

SIZES = {"tiny": (3, 5, 1, 1), "small": (5, 13, 3, 3), "large": (14, 18, 3, 3)}
"""Fewest and most units, most bays, most setups."""
FILES = ("units.toml", "bays/north.toml", "bays/south side.toml", "setups.toml", "a/b/c/rest.toml", "größe.toml")

Fragment = tuple[tuple[str, ...], Table, bool]
"""The path of a table, some of its keys, and whether it is an entry of an array."""


def random_studio(seed: int, size: str = "small") -> dict[str, str]:
    """The files of a studio by their names. Size is `tiny`, `small` or `large`."""
    rng = Random(seed)
    draft = drawn_up(rng, DIGITAL[seed % len(DIGITAL)], *SIZES[size])
    files = scattered(rng, draft.whole)
    dead = dead_cables(draft, Random(seed))
    return files | ({"dead.toml": document(Random(seed), {"cable": dead})} if dead else {})


def drawn_up(rng: Random, digital: str, fewest: int, most: int, bays: int, setups: int) -> Draft:
    """The studio as one table."""
    draft = Draft(rng)
    draft.whole["studio"] = {"title": rng.choice(("Millrace", 'The "mill"', "Mühle 2")), "language": 1}
    signals = [rng.choice(ANALOGUE), rng.choice(ANALOGUE), rng.choice(ANALOGUE), digital]
    add_units(draft, rng.randint(fewest, most), [*signals, *([rng.choice(tuple(OWN))] if rng.random() < 0.4 else [])])
    for ident in rng.sample(("north", "south", "B-3", "9"), rng.randint(1, bays)):
        add_bay(draft, ident)
    add_cables(draft)
    add_mults(draft)
    add_normals(draft)
    add_routes(draft)
    own_signals(draft.whole)
    add_setups(draft, rng.choice((0, *range(1, setups + 1), setups)), document(Random(0), draft.whole))
    furnish(draft)
    decorate(draft)
    return draft


def own_signals(whole: Table) -> None:
    """Declare the signals of one's own that ports use."""
    used = {
        port["signal"]
        for kind in ("unit", "model")
        for table in whole.get(kind, {}).values()
        for port in table.get("port", [])
    }
    whole |= {"signal": {name: {"like": OWN[name]} for name in sorted(used & set(OWN))}} if used & set(OWN) else {}


def furnish(draft: Draft) -> None:
    """Rooms, racks and notes: nothing of it is part of the circuit."""
    if draft.chance(0.5):
        draft.whole["room"] = {"control": {"title": "Control room"}}
        draft.whole["rack"] = {"left": {"title": "Left rack", "room": "control"}}
        for kind in ("unit", "bay"):
            for table in draft.whole[kind].values():
                table |= {"rack": "left"} if draft.chance(0.4) else {}
                table |= {"notes": "Seen\ton the wall.".replace("\t", " ")} if draft.chance(0.1) else {}


def decorate(draft: Draft) -> None:
    """Keys of columns, cables and setups that join nothing."""
    columns = [e for bay in draft.whole["bay"].values() for e in bay.get("column", []) if "top" in e or "bottom" in e]
    setups = list(draft.whole.get("setup", {}).values())
    for tables, keys in (
        (columns, {"reserved": "second tape machine"}),
        (columns, {"reserved": True}),
        (columns, {"group": "Microphones"}),
        (draft.whole.get("cable", []), {"loom": "A1"}),
        ([cord for setup in setups for cord in setup.get("cord", [])], {"adapter": "balanced to unbalanced"}),
        (setups, {"sample_rate": 96000}),
    ):
        for table in tables:
            table |= keys if draft.chance(0.06) else {}


def fragments(rng: Random, table: Table, path: tuple[str, ...] = ()) -> Iterator[Fragment]:
    """Everything of a table in parts that may stand in different files."""
    plain = {k: v for k, v in table.items() if not isinstance(v, dict) and not is_array_of_tables(v)}
    if len(path) == 2 or (plain and path):
        keys = sorted(plain)
        cut = rng.randint(0, len(keys)) if rng.random() < 0.3 else len(keys)
        yield path, {key: plain[key] for key in keys[:cut]}, False
        if cut < len(keys):
            yield path, {key: plain[key] for key in keys[cut:]}, False
    for key, value in table.items():
        if is_array_of_tables(value):
            yield from (((*path, key), entry, True) for entry in value)
        elif isinstance(value, dict):
            yield from fragments(rng, value, (*path, key))


def scattered(rng: Random, whole: Table) -> dict[str, str]:
    """The studio in several files, its tables split and in any order."""
    names = ["studio.toml", *rng.sample(FILES, rng.randint(0, 4))]
    files: dict[str, Table] = {name: {} for name in names}
    files["studio.toml"]["studio"] = dict(whole["studio"])
    parts = list(fragments(rng, {key: table for key, table in whole.items() if key != "studio"}))
    rng.shuffle(parts)
    for path, keys, entry in parts:
        put(files[rng.choice(names)], path, keys, entry)
    order = sorted(files, key=lambda _: rng.random())
    return {name: document(rng, files[name]) for name in order}


def put(table: Table, path: tuple[str, ...], keys: Table, entry: bool) -> None:
    """Write some keys, or one entry, into the table of a file."""
    for part in path[:-1]:
        table = table.setdefault(part, {})
    if entry:
        here: Any = table.setdefault(path[-1], [])
        here.append(dict(keys))
    else:
        table.setdefault(path[-1], {}).update(keys)
