"""One revision of a studio, opened: its texts, its circuit or its mistakes, its findings, and the places they stand at.

Everything is worked out when first asked for. What is not here: where the texts come from (`files`), how it looks (`show`).
"""

import gc
import re
from datetime import date
from functools import cached_property
from typing import Any

from routecode.circuit.again import compile_again
from routecode.circuit.circuit import Circuit, compile_studio
from routecode.files.hostile import readable
from routecode.files.positions import Positions
from routecode.files.toml import parse
from routecode.files.tree import Files
from routecode.ground.finding import Mistake
from routecode.ground.place import At, Spot
from routecode.language.decode import Known, decode
from routecode.language.written import Studio
from routecode.rules.run import Report, judge


class Opened:
    """A revision: `name` is a full commit id, or `worktree`; `today` is the day on which acceptances with `until` are judged.

    `like`: another revision, opened. What both say in the same words is read and resolved once; the answers are the same without it.
    """

    def __init__(self, files: Files, name: str, today: date | None = None, like: "Opened | None" = None) -> None:
        self.files = files
        self.name = name
        self.today = today
        self._like = like
        self._tables: dict[str, dict[str, Any]] = {}
        self._positions: dict[str, Positions] = {}
        self._lines: dict[str, list[str]] = {}

    @cached_property
    def _compiled(self) -> tuple[Studio | None, Circuit | None, tuple[Mistake, ...]]:
        collecting = gc.isenabled()
        gc.disable()  # hundreds of thousands of small values are made and kept; looking for cycles among them costs a third
        try:
            return self._read()
        finally:
            if collecting:
                gc.enable()

    @property
    def studio(self) -> Studio | None:
        """The studio as written; None with mistakes."""
        return self._compiled[0]

    @property
    def circuit(self) -> Circuit | None:
        """The circuit; None with mistakes."""
        return self._compiled[1]

    @property
    def mistakes(self) -> tuple[Mistake, ...]:
        """Source errors; with any there is no circuit."""
        return self._compiled[2]

    @cached_property
    def report(self) -> Report:
        """Findings of all rules in all states (ValueError where there is no circuit)."""
        if self.circuit is None:
            raise ValueError("a studio with mistakes has no findings")
        return judge(self.circuit, self.today)

    def _read(self) -> tuple[Studio | None, Circuit | None, tuple[Mistake, ...]]:
        like, texts = self._like, self.files.texts
        self._like = None
        same: dict[str, dict[str, Any]] = {}
        if like is not None and like.circuit is not None:
            same = {name: like._tables[name] for name, text in texts.items() if like.files.texts.get(name) == text}
        mistakes = [*self.files.mistakes, *self._parse(same), *_range_bomb(self.files)]
        if mistakes:
            return None, None, tuple(mistakes)
        tables, known = sorted(self._tables.items()), None
        if like is not None and like.studio is not None and 2 * len(same) > len(texts):
            changed = (texts.keys() | like.files.texts.keys()) - same.keys()
            gone = [(name, table) for name, table in sorted(like._tables.items()) if name in changed]
            known = Known(like.studio, frozenset(changed), gone)
        studio, told = decode(tables, known)
        if studio is None:
            return None, None, told
        circuit = compile_again(studio, like.circuit) if known and like and like.circuit else None
        if circuit is not None:
            return studio, circuit, ()
        circuit, problems = compile_studio(studio)
        return studio, circuit, problems

    def _parse(self, same: dict[str, dict[str, Any]]) -> list[Mistake]:
        """Fill `_tables`; the mistakes of the files that are no TOML."""
        mistakes = []
        for name in sorted(self.files.texts):
            if name in same:
                self._tables[name] = same[name]
                continue
            parsed = parse(name, self.files.texts[name])
            if parsed.mistake is not None:
                mistakes.append(parsed.mistake)
            elif parsed.table is not None:
                self._tables[name] = parsed.table
        return mistakes

    def table(self, name: str) -> dict[str, Any] | None:
        """What a file says, as parsed; None for a file with a mistake in its text."""
        return self._tables.get(name) if self._compiled else None

    # -- places ---------------------------------------------------------------------------------------------------------

    def spot(self, at: At | Spot | None) -> Spot | None:
        """Line and column of a place in the text."""
        if at is None or isinstance(at, Spot):
            return at
        positions = self._positions.get(at.file)
        if positions is None:
            if at.file not in self.files.texts:  # no wiring, such as results of tests: its line is said as it is
                line = at.path[0] if at.path else 1
                return Spot(at.file, line if isinstance(line, int) else 1, 1)
            positions = self._positions[at.file] = Positions(self._text(at.file))
        path = at.path
        while path:
            found = positions.value(path) or positions.key(path)
            if found is not None:
                return Spot(at.file, *found)
            path = path[:-1]
        return Spot(at.file, 1, 1)

    def line(self, spot: Spot) -> str:
        """The line of text at a spot, without its line end; empty where there is none."""
        lines = self._lines.get(spot.file)
        if lines is None:
            lines = self._lines[spot.file] = self._text(spot.file).split("\n") if spot.file in self.files.texts else []
        return lines[spot.line - 1] if 0 < spot.line <= len(lines) else ""

    def _text(self, name: str) -> str:
        return readable(self.files.texts[name])


MOST_NAMES = 1_000_000
"""Most names that all ranges of a studio may stand for."""

_RANGE = re.compile(rb"([0-9]{1,6})\.\.([0-9]{1,6})")


def _range_bomb(files: Files) -> list[Mistake]:
    """Ranges are small text for many names: a studio whose ranges name more than can be held is refused before any is spread."""
    total = 0
    for name in sorted(files.texts):
        data = files.texts[name]
        for first, last in _RANGE.findall(data) if b".." in data else ():
            total += abs(int(last) - int(first)) + 1
            if total > MOST_NAMES:
                text = f"The ranges of this studio stand for more than {MOST_NAMES:,} names; this file is where it gets too many."
                return [Mistake("too-many-names", text, Spot(name, 1, 1), do="Check the ends of its ranges.")]
    return []
