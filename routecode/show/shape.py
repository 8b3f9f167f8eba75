"""The shape of a JSON document, declared once: it makes the rows of the document, and it makes the JSON Schema.

A small language of its own: words, numbers, flags, choices, lists, records. Not for input; that is `language`.
"""

from collections.abc import Sequence
from typing import Any

from attrs import frozen

Schema = dict[str, Any]


@frozen
class Word:
    """A text."""

    doc: str = ""

    @property
    def schema(self) -> Schema:
        """Its JSON Schema."""
        return _told({"type": "string"}, self.doc)


@frozen
class Whole:
    """A whole number, from `low` up."""

    doc: str = ""
    low: int = 0

    @property
    def schema(self) -> Schema:
        """Its JSON Schema."""
        return _told({"type": "integer", "minimum": self.low}, self.doc)


@frozen
class Real:
    """A number."""

    doc: str = ""

    @property
    def schema(self) -> Schema:
        """Its JSON Schema."""
        return _told({"type": "number"}, self.doc)


@frozen
class Yes:
    """True or false."""

    doc: str = ""

    @property
    def schema(self) -> Schema:
        """Its JSON Schema."""
        return _told({"type": "boolean"}, self.doc)


@frozen
class OneOf:
    """One of some texts."""

    words: tuple[str, ...]
    doc: str = ""

    @property
    def schema(self) -> Schema:
        """Its JSON Schema."""
        return _told({"type": "string", "enum": list(self.words)}, self.doc)


@frozen
class Always:
    """This value and no other."""

    value: str | bool
    doc: str = ""

    @property
    def schema(self) -> Schema:
        """Its JSON Schema."""
        return _told({"const": self.value}, self.doc)


@frozen
class OrNull:
    """As `inner`, or null."""

    inner: "Shape"
    doc: str = ""

    @property
    def schema(self) -> Schema:
        """Its JSON Schema."""
        return _told({"anyOf": [self.inner.schema, {"type": "null"}]}, self.doc)


@frozen
class Several:
    """A list; a `distinct` one is a set: sorted, no duplicates."""

    inner: "Shape"
    doc: str = ""
    distinct: bool = False

    @property
    def schema(self) -> Schema:
        """Its JSON Schema."""
        unique: Schema = {"uniqueItems": True} if self.distinct else {}
        return _told({"type": "array", "items": self.inner.schema, **unique}, self.doc)


@frozen
class Record:
    """An object with exactly these keys, in this order."""

    fields: tuple[tuple[str, "Shape"], ...]
    doc: str = ""

    @property
    def names(self) -> tuple[str, ...]:
        """Its keys."""
        return tuple(name for name, _ in self.fields)

    def row(self, *values: Any) -> dict[str, Any]:
        """An object of this shape from the values of its keys, in order."""
        return dict(zip(self.names, values, strict=True))

    def rows(self, lists: Sequence[Sequence[Any]]) -> list[dict[str, Any]]:
        """Objects of this shape, one for each list of values."""
        names = self.names
        return [dict(zip(names, values, strict=True)) for values in lists]

    @property
    def schema(self) -> Schema:
        """Its JSON Schema."""
        return _told(
            {
                "type": "object",
                "properties": {name: shape.schema for name, shape in self.fields},
                "required": list(self.names),
                "additionalProperties": False,
            },
            self.doc,
        )


Shape = Word | Whole | Real | Yes | OneOf | Always | OrNull | Several | Record


def _told(schema: Schema, doc: str) -> Schema:
    return {"description": doc, **schema} if doc else schema
