"""Writes what is made from the declarations: `python -m routecode.language.generate`, in a checkout of the project.

For those who work on the language; nothing else imports it. A test fails while a written file is not what is made here.
"""

from pathlib import Path

from routecode.ground.canonical import canonical
from routecode.language.reference import language_page
from routecode.language.schema import studio_schema

ROOT = Path(__file__).parents[2]


def generated() -> dict[str, str]:
    """The text of each generated file, by its path below the root of the project."""
    return {
        "routecode/pages/language.md": language_page(),
        "schemas/studio.schema.json": canonical(studio_schema()),
    }


if __name__ == "__main__":
    for name, text in generated().items():
        (ROOT / name).write_bytes(text.encode())
