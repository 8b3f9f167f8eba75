"""The JSON Schemas of all documents as text, by file name: made from the declarations, committed, and held by a test.

`python -m routecode.cli.generate` writes them.
"""

from routecode.ground.canonical import canonical
from routecode.show.contracts import DOCUMENTS
from routecode.show.document import refused_shape
from routecode.show.shape import Schema, Word

_ERRORS: Schema = {
    "$schema": "http://json-schema.org/draft-07/schema#",
    "$id": "errors.schema.json",
    "title": "routecode/errors/1",
    "description": "What every command prints with --json where there is no answer.",
    **refused_shape(Word("The document that was asked for, or `routecode/errors/1`.")).schema,
}


def schemas() -> dict[str, str]:
    """The text of each schema, by its path below the root of the project."""
    made = {f"{document.name}.schema.json": document.schema for document in DOCUMENTS} | {"errors.schema.json": _ERRORS}
    return {f"schemas/{name}": canonical(schema) for name, schema in sorted(made.items())}
