"""Tables of many files brought together by name. Reads no keys: those are the decoder's.

A piece is a table as parsed with the place of its header. A table with an id may have pieces in several files; arrays
of tables are joined in the order of the file names, each table keeping its index within its own file.
"""

import re
from collections.abc import Sequence
from typing import Any

from attrs import Factory, frozen

from routecode.ground.finding import Mistake
from routecode.ground.nearest import did_you_mean
from routecode.ground.place import At
from routecode.language.mistakes import MOST_GUESSED, either
from routecode.language.names import ID_RULE, id_fault
from routecode.language.plan import KEYED_CLASSES, LISTED_CLASSES, SINGLE_CLASSES, TOP, holders, tables
from routecode.language.subjects import quoted_id
from routecode.language.values import told

Table = dict[str, Any]
Piece = tuple[At, Table]
File = tuple[str, Table]


@frozen
class United:
    """All pieces of a studio: `single[table]`, `keyed[table][id]` and `listed[table]`."""

    single: dict[str, list[Piece]] = Factory(lambda: {name: [] for name in SINGLE_CLASSES})
    keyed: dict[str, dict[str, list[Piece]]] = Factory(lambda: {name: {} for name in KEYED_CLASSES})
    listed: dict[str, list[Piece]] = Factory(lambda: {name: [] for name in LISTED_CLASSES})


def unite(files: Sequence[File], mistakes: list[Mistake]) -> United:
    """The pieces of all files, by file name; what is no table of the language is a mistake and left out."""
    united = United()
    for file, data in sorted(files, key=lambda each: each[0]):
        for name, value in data.items():
            if name in united.keyed:
                _add_keyed(united.keyed[name], file, name, value, mistakes)
            elif name in united.listed:
                united.listed[name] += tables_of(value, At(file, (name,)), f"[[{name}]]", mistakes)
            elif name in united.single:
                if type(value) is dict:
                    united.single[name].append((At(file, (name,)), value))
                else:
                    mistakes.append(_no_table(name, value, At(file, (name,)), f"[{name}]"))
            else:
                mistakes.append(_unknown_top(name, value, At(file, (name,)), len(mistakes) < MOST_GUESSED))
    return united


def tables_of(value: Any, at: At, heading: str, mistakes: list[Mistake]) -> list[Piece]:
    """The tables of an array with their places; anything else is a mistake."""
    if type(value) is not list:
        mistakes.append(_no_table(str(at.path[-1]), value, at, heading))
        return []
    file, path = at
    pieces = []
    for index, table in enumerate(value):
        place = At(file, (*path, index))
        if type(table) is dict:
            pieces.append((place, table))
        else:
            mistakes.append(_no_table(f"{path[-1]}", table, place, heading))
    return pieces


def _add_keyed(known: dict[str, list[Piece]], file: str, name: str, value: Any, mistakes: list[Mistake]) -> None:
    if type(value) is not dict:
        mistakes.append(_no_table(name, value, At(file, (name,)), f"[{name}.ID]"))
        return
    for each, table in value.items():
        at = At(file, (name, each))
        if type(table) is not dict:
            mistakes.append(_no_id(name, each, table, at))
            continue
        if says := id_fault(each):
            mistakes.append(Mistake("bad-id", f"The id `{each[:80]}` {says}.", at, why=ID_RULE, do=_id_do(name, each)))
        known.setdefault(each, []).append((at, table))


def _id_do(name: str, each: str) -> str:
    """An id made of what was written, and where the written text belongs."""
    made = "-".join(re.findall(r"\w+", each[:80])) or "another-id"
    return f"Write [{name}.{made}], and `{each[:80]}` as its title."


def _no_table(name: str, value: Any, at: At, heading: str) -> Mistake:
    if type(value) is dict and heading.startswith("[["):
        text = f"`{name}` stands in single brackets; there can be several, so it takes double ones."
    else:
        text = f"`{name}` must be made of tables {heading}, not {told(value)}."
    return Mistake("wrong-type", text, at, do=f"Write the header as {heading}.")


def _no_id(name: str, each: str, value: Any, at: At) -> Mistake:
    heading = f"[{name}.{quoted_id(each)}]"
    if type(value) is list and value and type(value[0]) is dict:
        return Mistake(
            "wrong-type",
            f"`{name}.{each}` must be one table, not an array of tables.",
            at,
            do=f"Write the header as {heading}.",
        )
    text = f"`{each}` stands right below [{name}]; {name.replace('_', ' ')}s are tables with an id of their own."
    return Mistake("wrong-type", text, at, do=f"Write a header such as [{name}.ID] above it.")


def _unknown_top(name: str, value: Any, at: At, guess: bool) -> Mistake:
    places = holders().get(name)
    if places and (type(value) is list or (type(value) is dict and name in tables())):
        text = f"`{name}` is no table of its own; it is a part of {either(places)}."
        inner = next((each for each in places if each.startswith("[[")), places[0])
        inner = inner.replace("[[", "").replace("]]", "").replace("[", "").replace("]", "")
        return Mistake("unknown-table", text, at, do=f"Write the header as [[{inner}.{name}]].")
    if places and type(value) is not dict:
        text = f"`{name}` is a key of {either(places)}; here it stands above every header."
        return Mistake("unknown-key", text, at, do="Move it below the header of the table it is meant for.")
    what = "table" if type(value) in (dict, list) else "key"
    do = (did_you_mean(name, TOP) if guess else "") or f"The tables are: {', '.join(TOP)}."
    return Mistake(f"unknown-{what}", f"There is no {what} `{name[:80]}`.", at, do=do)
