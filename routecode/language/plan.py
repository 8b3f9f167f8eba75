"""How each record class is read: made once from the declarations in `written`. Reads nothing itself."""

from collections.abc import Iterator
from functools import cache
from types import MappingProxyType
from typing import Any, NamedTuple

import attrs
from attrs import frozen

from routecode.language.kinds import Key, NameList, Tables
from routecode.language.values import PORT_NAMES, Read, reader
from routecode.language.written import KEYED, LISTED, SINGLE

SINGLE_CLASSES = MappingProxyType(dict(SINGLE))
KEYED_CLASSES = MappingProxyType(dict(KEYED))
LISTED_CLASSES = MappingProxyType(dict(LISTED))
TOP = (*SINGLE_CLASSES, *KEYED_CLASSES, *LISTED_CLASSES)
"""The names of all tables at the top of a file."""


@frozen
class Plan:
    """What the decoder needs for one record class, by the keys as they stand in TOML."""

    record: type
    declared: dict[str, Key]
    keys: dict[str, tuple[str, Read]]
    """Keys with a value: the field of the record, and the reader."""
    tables: dict[str, type]
    """Keys that are arrays of tables: the record class of the tables. Fields have the same name."""
    required: tuple[str, ...]
    lists: dict[str, tuple[str, bool]]
    """Keys with names: the field, and whether whole numbers are allowed. Most values of a studio are these."""

    @property
    def names(self) -> tuple[str, ...]:
        """All keys, in the order of declaration."""
        return tuple(self.declared)


class Declared(NamedTuple):
    """One key of a record class: its field, the key as it stands in TOML (`from_` is `from`), what holds without it."""

    field: str
    name: str
    default: Any
    key: Key


def declarations(record: type) -> Iterator[Declared]:
    """The keys of a record class, in the order of declaration."""
    for attribute in attrs.fields(record):
        key = attribute.metadata.get("key")
        if key is not None:
            yield Declared(attribute.name, attribute.name.rstrip("_"), attribute.default, key)


def summary(record: type) -> str:
    """What a table is, in one sentence: the first line of the record's docstring."""
    return (record.__doc__ or "").split("\n")[0]


@cache
def plan_of(record: type) -> Plan:
    """The plan of a record class."""
    keys: dict[str, tuple[str, Read]] = {}
    tables: dict[str, type] = {}
    declared: dict[str, Key] = {}
    for field, name, _, key in declarations(record):
        declared[name] = key
        if isinstance(key.kind, Tables):
            tables[name] = key.kind.record
        else:
            keys[name] = (field, reader(key))
    required = tuple(name for name, key in declared.items() if key.required)
    lists = {
        name: (keys[name][0], key.kind.numbers)
        for name, key in declared.items()
        if isinstance(key.kind, NameList) and key.kind.of not in PORT_NAMES
    }
    return Plan(record, declared, keys, tables, required, lists)


def headings() -> Iterator[tuple[str, type]]:
    """Every table of the language with its header (`[unit.ID]`, `[[unit.ID.port]]`) and record class, in order."""
    for name, record in SINGLE:
        yield f"[{name}]", record
        for inner, inner_record in plan_of(record).tables.items():
            yield f"[[{name}.{inner}]]", inner_record
    for name, record in KEYED:
        yield f"[{name}.ID]", record
        for inner, inner_record in plan_of(record).tables.items():
            yield f"[[{name}.ID.{inner}]]", inner_record
    for name, record in LISTED:
        yield f"[[{name}]]", record


@cache
def tables() -> frozenset[str]:
    """The keys that hold tables, whatever table they are of."""
    return frozenset(name for _, record in headings() for name in plan_of(record).tables)


@cache
def holders() -> MappingProxyType[str, tuple[str, ...]]:
    """For each key, the headers of the tables that take it."""
    found: dict[str, list[str]] = {}
    for heading, record in headings():
        for name in plan_of(record).declared:
            found.setdefault(name, []).append(heading)
    return MappingProxyType({name: tuple(listed) for name, listed in found.items()})
