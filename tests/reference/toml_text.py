"""TOML text from tables, for random studios. Writes what a person could have written; reads nothing."""

from __future__ import annotations

import re
from collections.abc import Iterator
from random import Random
from typing import Any

Table = dict[str, Any]
ESCAPES = {'"': '\\"', "\\": "\\\\"}


def quoted(text: str) -> str:
    """A basic string."""
    return '"' + "".join(ESCAPES.get(c, c) for c in text) + '"'


def key_text(key: str) -> str:
    """A key, quoted only where it must be."""
    return key if re.fullmatch(r"[A-Za-z0-9_-]+", key) else quoted(key)


def value_text(value: Any) -> str:
    """A value on one line."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return "[" + ", ".join(value_text(v) for v in value) + "]"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key_text(k)} = {value_text(v)}" for k, v in value.items()) + " }"
    return quoted(value) if isinstance(value, str) else str(value)


def is_array_of_tables(value: Any) -> bool:
    """Whether a value is written as `[[...]]`."""
    return isinstance(value, list) and bool(value) and all(isinstance(v, dict) for v in value)


def block(rng: Random, head: str, table: Table) -> str:
    """One header with its keys in any order, now and then with a comment."""
    keys = list(table)
    rng.shuffle(keys)
    note = [rng.choice(("# as built", "# [not a table]", "# see the label"))] if rng.random() < 0.1 else []
    return "\n".join([*note, head, *(f"{key_text(key)} = {value_text(table[key])}" for key in keys)])


def blocks(rng: Random, table: Table, path: tuple[str, ...]) -> Iterator[str]:
    """The blocks of a table and of all tables in it."""
    name = ".".join(map(key_text, path))
    tables = {k: v for k, v in table.items() if isinstance(v, dict)}
    arrays = {k: v for k, v in table.items() if is_array_of_tables(v) and not (path and rng.random() < 0.1)}
    plain = {k: v for k, v in table.items() if k not in tables and k not in arrays}
    if path and (plain or not (tables or arrays)):
        yield block(rng, f"[{name}]", plain)
    for key, value in arrays.items():
        yield from (block(rng, f"[[{'.'.join(map(key_text, (*path, key)))}]]", entry) for entry in value)
    for key, value in tables.items():
        yield from blocks(rng, value, (*path, key))


def document(rng: Random, table: Table) -> str:
    """A file that says this table; its blocks stand in any order."""
    parts = list(blocks(rng, table, ()))
    rng.shuffle(parts)
    return "\n\n".join(parts) + "\n"
