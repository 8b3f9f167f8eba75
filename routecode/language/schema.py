"""The JSON Schema (draft-07) that editors use for the wiring language, made from the declarations.

A schema sees one file. What needs the whole studio (a table continued in another file, names that must exist) it cannot
tell, so it refuses nothing that is right, and reading the studio refuses more.
"""

import tomllib
from collections.abc import Callable
from typing import Any

from routecode.language.kinds import (
    Choice,
    Choices,
    Day,
    Ends,
    Flag,
    Id,
    Key,
    Kind,
    LegList,
    NameList,
    Number,
    Quantity,
    Reserved,
    Steps,
    Tables,
    Text,
    TextList,
    Whole,
)
from routecode.language.plan import Declared, declarations, summary
from routecode.language.values import HIGHEST, LONGEST, LONGEST_NOTES
from routecode.language.written import KEYED, LISTED, SINGLE

Schema = dict[str, Any]

ADDRESS = "studio.schema.json"
_SEEN = r"[^\u0000-\u001f\u007f-\u009f]"
_ID = r"^[^\u0000-\u002c\u002e\u002f\u003a-\u0040\u005b-\u005e\u0060\u007b-\u00a9]{1,100}$"
"""Leaves out what is no letter, digit, `-` or `_` up to U+00A9; the decoder is stricter beyond."""

_DOTS = r"(?:[^.\u0000-\u001f\u007f-\u009f]|\.[^.\u0000-\u001f\u007f-\u009f])*"
_RANGE_END = r"(?:[0-9]|\.[0-9])\.\.[0-9]+(?: step [0-9]*[1-9][0-9]*)?"
_NAME = rf"^{_DOTS}(?:\.|{_RANGE_END})?$"
"""A text without `..`, or with one range at its end."""

_COLUMNS = r"^[0-9]+(?:\.\.[0-9]+(?: step [0-9]*[1-9][0-9]*)?)?$"
_PORT = _NAME.replace(r"[^.\u", r"[^./\u")


def studio_schema() -> Schema:
    """The schema of one file of a studio."""
    properties: Schema = {}
    definitions: Schema = {}
    for name, record in SINGLE:
        _define(record, definitions, whole=False)
        properties[name] = _reference(record)
    for name, record in KEYED:
        _define(record, definitions, whole=False)
        properties[name] = {
            "description": summary(record),
            "type": "object",
            "propertyNames": {"pattern": _ID},
            "additionalProperties": _reference(record),
        }
    for name, record in LISTED:
        _define(record, definitions, whole=True)
        properties[name] = {"description": summary(record), "type": "array", "items": _reference(record)}
    return {
        "$schema": "http://json-schema.org/draft-07/schema#",
        "$id": ADDRESS,
        "title": "The wiring of a recording studio",
        "description": "One file of a studio, in version 1 of the wiring language.",
        "x-tombi-toml-version": "v1.0.0",
        "type": "object",
        "properties": properties,
        "additionalProperties": False,
        "definitions": dict(sorted(definitions.items())),
    }


def _reference(record: type) -> Schema:
    return {"$ref": f"#/definitions/{record.__name__}"}


def _define(record: type, definitions: Schema, *, whole: bool) -> None:
    """Define a record class and those it holds; `whole`: the table stands in one file, so its keys can be demanded."""
    if record.__name__ in definitions:
        return
    declared = list(declarations(record))
    definition: Schema = {
        "description": summary(record),
        "type": "object",
        "properties": {each.name: _property(each) for each in declared},
        "additionalProperties": False,
    }
    if whole and any(each.key.required for each in declared):
        definition["required"] = [each.name for each in declared if each.key.required]
    definitions[record.__name__] = definition
    for each in declared:
        if isinstance(each.key.kind, Tables):
            _define(each.key.kind.record, definitions, whole=True)


def _property(declared: Declared) -> Schema:
    key = declared.key
    schema: Schema = {"description": _hover(key), **schema_of(key.kind)}
    if declared.default not in (None, ()):
        schema["default"] = declared.default
    if key.example:
        schema["examples"] = [_plain(value) for value in tomllib.loads(key.example).values()]
    return schema


def _hover(key: Key) -> str:
    words = [key.doc]
    if key.required:
        words.append("Must be given.")
    if key.default_words:
        words.append(f"Without it: {key.default_words}.")
    return " ".join(words)


def _plain(value: Any) -> Any:
    return value if isinstance(value, (str, int, float, bool, list)) else str(value)


def schema_of(kind: Kind) -> Schema:
    """The schema of the values of one kind."""
    return _SCHEMAS[type(kind)](kind)


def _pattern(pattern: str) -> Schema:
    return {"type": "string", "minLength": 1, "maxLength": LONGEST, "pattern": pattern}


_LINE = _pattern(rf"^{_SEEN}+$")


def _text(kind: Text) -> Schema:
    if kind.lines:
        return {"type": "string", "minLength": 1, "maxLength": LONGEST_NOTES}
    return {"anyOf": [{"type": "string", "enum": list(kind.usual)}, _LINE]} if kind.usual else dict(_LINE)


def _one_or_list(one: Schema, *more: Schema) -> Schema:
    return {"anyOf": [one, {"type": "array", "items": {"anyOf": [one, *more]} if more else one}, *more]}


def _names(kind: NameList) -> Schema:
    if kind.numbers:
        return _one_or_list(_pattern(_COLUMNS), {"type": "integer"})
    return _one_or_list(_pattern(_PORT if kind.of == "ports" else _NAME))


def _legs(_kind: LegList) -> Schema:
    name = _pattern(_NAME)
    texts = {"type": "array", "items": name, "minItems": 1}
    return {"anyOf": [name, texts, {"type": "array", "items": texts, "minItems": 1}]}


def _texts(kind: TextList) -> Schema:
    texts = {"type": "array", "items": dict(_LINE)} | ({} if kind.repeats else {"uniqueItems": True})
    return {"anyOf": [dict(_LINE), texts]} if kind.one else texts


def _choices(kind: Choices) -> Schema:
    word = {"type": "string", "enum": list(kind.words)}
    return {"anyOf": [word, {"type": "array", "items": word, "uniqueItems": True}]}


def _number(kind: Number) -> Schema:
    return {"type": "number", "exclusiveMinimum" if kind.above else "minimum": kind.low, "maximum": HIGHEST}


_PARTS = r"(?:\.[0-9]{1,9})?"


def _quantity(kind: Quantity) -> Schema:
    units = "|".join(f"(?:[+-]?[0-9]{{1,3}}{_PARTS} {unit})" for unit in kind.units if unit != "V")
    volts = rf"|(?:\+?[0-9]{{1,6}}{_PARTS} V)" if "V" in kind.units else ""
    return {"type": "string", "pattern": f"^(?:{units}{volts})$"}


_SCHEMAS: dict[type, Callable[[Any], Schema]] = {
    Text: _text,
    Id: lambda _: _pattern(_ID),
    NameList: _names,
    LegList: _legs,
    TextList: _texts,
    Steps: lambda _: {"type": "array", "items": _pattern(_NAME), "minItems": 2},
    Ends: lambda _: _one_or_list(_pattern(_NAME)),
    Whole: lambda kind: {"type": "integer", "minimum": kind.low, "maximum": kind.high},
    Number: _number,
    Flag: lambda _: {"type": "boolean"},
    Choice: lambda kind: {"type": "string", "enum": list(kind.words)},
    Choices: _choices,
    Quantity: _quantity,
    Day: lambda _: {"type": "string", "format": "date"},
    Reserved: lambda _: {"anyOf": [{"type": "boolean"}, dict(_LINE)]},
    Tables: lambda kind: {"type": "array", "items": _reference(kind.record)},
}
