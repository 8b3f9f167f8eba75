"""Cases kept as Markdown: each heading is a studio, each fenced block one of its files.

`# ! id` at the end of a line says which mistakes point at that line; an id in brackets is beyond a JSON Schema.
"""

import re
from pathlib import Path
from typing import Any, NamedTuple

from routecode.files.positions import Positions
from routecode.files.toml import parse
from routecode.ground.finding import Mistake
from routecode.ground.place import At, Spot

HERE = Path(__file__).parent
HEAD = '[studio]\ntitle = "Millrace"\nlanguage = 1\n'
_BLOCK = re.compile(r"^```toml *(\S*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_MARK = re.compile(r"# ! (.*)$")


class Case(NamedTuple):
    """One studio: the text of each file by its name."""

    title: str
    files: dict[str, str]

    @property
    def tables(self) -> list[tuple[str, dict[str, Any]]]:
        """Each file's name and parsed table."""
        return [(name, table_of(name, text)) for name, text in self.files.items()]

    @property
    def expected(self) -> list[tuple[str, int, str]]:
        """File, line and id of each mistake that the marks announce, sorted."""
        return sorted((file, line, word.strip("()")) for file, line, word in self._marks())

    @property
    def seen_by_schema(self) -> set[str]:
        """The files in which a schema must find a fault."""
        return {file for file, _, word in self._marks() if not word.startswith("(")}

    def _marks(self) -> list[tuple[str, int, str]]:
        return [
            (file, number, word)
            for file, text in self.files.items()
            for number, line in enumerate(text.split("\n"), 1)
            if (mark := _MARK.search(line))
            for word in mark[1].split()
        ]

    def told(self, mistakes: tuple[Mistake, ...]) -> list[tuple[str, int, str]]:
        """File, line and id of each mistake, sorted; a mistake without a place stands on line 1 of studio.toml."""
        return sorted((*self._line(mistake.place), mistake.id) for mistake in mistakes)

    def _line(self, place: At | Spot | None) -> tuple[str, int]:
        if not isinstance(place, At):
            return ("studio.toml", 1)
        spot = Positions(self.files[place.file]).key(place.path)
        while spot is None:
            place = At(place.file, place.path[:-1])
            spot = Positions(self.files[place.file]).key(place.path)
        return (place.file, spot.line)


def table_of(name: str, text: str) -> dict[str, Any]:
    """The parsed table of a text that is good TOML."""
    table = parse(name, text.encode()).table
    assert table is not None, f"{name} is no TOML:\n{text}"
    return table


def cases(page: str) -> list[Case]:
    """The cases of a page in this folder."""
    found = []
    for chapter in (HERE / page).read_text("utf-8").split("\n## ")[1:]:
        files = {name or "a.toml": text for name, text in _BLOCK.findall(chapter)}
        assert files, chapter
        found.append(Case(chapter.split("\n")[0], {"studio.toml": HEAD} | files))
    return found
