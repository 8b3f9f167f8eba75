"""JSON documents: how one is put together and written. Which there are is in `documents.py`.

One item of a list stands on one line: documents compare line by line, and a million rows are written fast.
"""

import json
import re
from collections.abc import Iterable, Iterator
from typing import Any

from attrs import frozen

from routecode.ground.finding import Mistake
from routecode.ground.place import Spot
from routecode.show.shape import Always, OrNull, Record, Schema, Several, Shape, Whole, Word
from routecode.show.spots import first_of, further, in_order, spot_of
from routecode.studio.opened import Opened

Row = dict[str, Any]
MOST_LISTED = 1_000
"""Errors that a document lists; a flood of them is mostly one mistake made many times."""

PLACE = Record(
    (
        ("file", Word("The file, below the folder of the studio.")),
        ("line", Whole("From 1.", low=1)),
        ("column", Whole("From 1, in code points.", low=1)),
    )
)
ANYWHERE = OrNull(PLACE, "Where it stands in the text.")
ALSO = Record((("text", Word("What stands there.")), ("place", ANYWHERE)))
ERROR = Record(
    (
        ("id", Word("The fault, in words that stay.")),
        ("text", Word("One sentence.")),
        ("place", ANYWHERE),
        ("why", Word("Why it is one; may be empty.")),
        ("do", Word("What to do; may be empty.")),
        ("also", Several(ALSO, "Further places.")),
    )
)

_RISKY = re.compile("[\u007f-\u009f\u00ad\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff]")
"""Legal in JSON, but able to move, hide or reorder text on a terminal."""


@frozen
class Document:
    """A kind of document: NAME in `schema` (`routecode/NAME/1`), what it is, its keys after `schema` and `ok`."""

    name: str
    doc: str
    fields: tuple[tuple[str, Shape], ...]

    @property
    def identity(self) -> str:
        """What stands under `schema`."""
        return f"routecode/{self.name}/1"

    @property
    def record(self) -> Record:
        """The shape of an answer."""
        return Record((("schema", Always(self.identity)), ("ok", Always(True)), *self.fields), "An answer.")

    def answer(self, *values: Any) -> Row:
        """An answer from the values of its keys, in order."""
        return self.record.row(self.identity, True, *values)

    @property
    def schema(self) -> Schema:
        """The JSON Schema (draft-07): an answer, or what kept it from being given."""
        return {
            "$schema": "http://json-schema.org/draft-07/schema#",
            "$id": f"{self.name}.schema.json",
            "title": self.identity,
            "description": self.doc,
            "anyOf": [self.record.schema, refused_shape(Always(self.identity)).schema],
        }


def refused_shape(identity: Shape) -> Record:
    """The shape of a document that says why there is no answer."""
    fields = (("schema", identity), ("ok", Always(False)), ("errors", Several(ERROR)))
    return Record(fields, "Why there is no answer.")


def refused(name: str, mistakes: Iterable[Mistake], opened: Opened | None) -> Row:
    """The document of a request or source that could not be read; of a flood the first MOST_LISTED, and their number."""
    found = list(mistakes)
    first = in_order(first_of(found, MOST_LISTED), opened)
    if len(first) < len(found):
        text = f"{len(found):,} errors; the first {len(first):,} are listed."
        first.append(Mistake("more-errors", text, do="Correct these, then ask again."))
    return refused_shape(Word()).row(f"routecode/{name}/1", False, [_error(mistake, opened) for mistake in first])


def mistake_rows(mistakes: Iterable[Mistake], opened: Opened | None) -> list[Row]:
    """Mistakes as the contract has them, in the order of the text, the first MOST_LISTED."""
    return [_error(mistake, opened) for mistake in in_order(first_of(list(mistakes), MOST_LISTED), opened)]


def _error(mistake: Mistake, opened: Opened | None) -> Row:
    also = [ALSO.row(words, place(further(at, opened))) for words, at in mistake.also]
    return ERROR.row(mistake.id, mistake.text, place(spot_of(mistake, opened)), mistake.why, mistake.do, also)


def place(spot: Spot | None) -> Row | None:
    """A place as the contract has it."""
    return None if spot is None else PLACE.row(spot.file, spot.line, spot.column)


def written(document: Row) -> str:
    """The document as text: equal documents give equal text, keys in the order given, a line end at the end."""
    return "".join(_pieces(document))


def _pieces(document: Row) -> Iterator[str]:
    encode = json.JSONEncoder(ensure_ascii=False).encode
    before = "{\n"
    for key, value in document.items():
        yield f"{before}  {encode(key)}: "
        before = ",\n"
        if isinstance(value, list) and value:
            yield "[\n    "
            yield _safe(",\n    ".join(map(encode, value)))
            yield "\n  ]"
        else:
            yield _safe(encode(value))
    yield "\n}\n"


def _safe(text: str) -> str:
    return _RISKY.sub(lambda match: f"\\u{ord(match.group()):04x}", text)
