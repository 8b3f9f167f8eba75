"""Line and column of any key or value of a TOML document that parsed.

Not a parser, and not for texts that did not parse. Two engines give the same answers: the exact scanner (`scan.py`)
reads everything; the quick one is used where every statement is one line (no text over several lines, no array over
several lines): it finds the headers with one expression and scans only the sections that the path can stand in.
"""

import re
from bisect import bisect_left
from functools import lru_cache
from typing import NamedTuple, Protocol

from routecode.files.scan import Found, Headers, Path, Span, key_parts, scan, scan_section

_HEADER = re.compile(
    r"""\n[ \t]*+\[(\[?+)((?>(?:[^\]"'\n]++|"(?>(?:[^"\\\n]++|\\.)*)"|'[^'\n]*+')*))\]""",
)
_ARRAY = re.compile(r"=[ \t]*+\[")
_FLAT = re.compile(r"""\[(?>(?:[^\[\]{}"'\n#]++|"(?>(?:[^"\\\n]++|\\.)*)"|'[^'\n]*+')*)\]""")
_LINE_END = re.compile("\n")
_MANY = 64
"""Spots of one text after which its lines are counted once and for all."""
_TEXT = re.compile(r""""(?>(?:[^"\\\n]++|\\.)*)"|'[^'\n]*+'""")


class Spotless(NamedTuple):
    """A `Spot` that does not know its file: line and column from 1, and length, all in code points.

    A value that goes over several lines has its whole length, line ends counted as one each.
    """

    line: int
    column: int
    length: int


class _Engine(Protocol):
    def value(self, path: Path) -> Span | None: ...

    def key(self, path: Path) -> Span | None: ...


class Positions:
    """Places in one text. `text` has no byte-order mark and `\\n` for every line end, as `Parsed.text` gives it.

    A table that has a header of its own stands at the last part of it; an item of an array of tables likewise; a table
    or array of tables that is only implied stands where it is first named; the empty path is the start of the document.
    """

    def __init__(self, text: str, *, exact: bool = False) -> None:
        self._text = text
        self._exact = exact or not is_one_line_each(text)
        self._made: _Engine | None = None
        self._asked = 0
        self._ends: list[int] = []

    def value(self, path: Path) -> Spotless | None:
        """Where the value of `path` stands; None when the document has no such path."""
        return self._spot(self._engine.value(path)) if path else Spotless(1, 1, 0)

    def key(self, path: Path) -> Spotless | None:
        """Where the key of `path` stands (the last part of a dotted one). An element of an array answers as itself."""
        return self._spot(self._engine.key(path)) if path else Spotless(1, 1, 0)

    @property
    def _engine(self) -> _Engine:
        if self._made is None:
            self._made = scan(self._text)[0] if self._exact else _Quick(self._text)
        return self._made

    def _spot(self, span: Span | None) -> Spotless | None:
        if span is None:
            return None
        self._asked += 1
        if self._asked < _MANY:
            return spot_of(self._text, *span)
        if not self._ends:
            self._ends = [match.start() for match in _LINE_END.finditer(self._text)] or [len(self._text)]
        start, end = span
        line = bisect_left(self._ends, start)
        return Spotless(line + 1, start - (self._ends[line - 1] if line else -1), end - start)


def spot_of(text: str, start: int, end: int) -> Spotless:
    """Line, column and length of a stretch of `text` given by offsets."""
    return Spotless(text.count("\n", 0, start) + 1, start - text.rfind("\n", 0, start), end - start)


def offset_of(text: str, spot: Spotless) -> int:
    """The offset in `text` where a spot begins."""
    start = 0
    for _ in range(spot.line - 1):
        start = text.index("\n", start) + 1
    return start + spot.column - 1


def is_one_line_each(text: str) -> bool:
    """Whether every statement of this (valid) document surely stands on a line of its own."""
    if '"""' in text or "'''" in text:
        return False
    at = 0
    while match := _ARRAY.search(text, at):
        start = match.end() - 1
        flat = _FLAT.match(text, start)
        at = flat.end() if flat else _nested_end(text, start)
        if at < 0:
            return False
    return True


def _nested_end(text: str, start: int) -> int:
    """The end of an array that closes on its own line, else -1."""
    line_end = text.find("\n", start)
    line = _TEXT.sub(lambda match: "_" * len(match.group()), text[start : line_end if line_end >= 0 else len(text)])
    depth = 0
    for index, character in enumerate(line):
        if character == "[":
            depth += 1
        elif character == "]":
            depth -= 1
            if not depth:
                return start + index + 1
        elif character == "#":
            return -1
    return -1


class _Section(NamedTuple):
    """A table with a header: its path, the offset of the first name in the header, the number of the header."""

    path: Path
    names: int
    number: int


class _Quick:
    """Headers by one expression; sections scanned one by one, when a path can stand in them."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._headers = list(_HEADER.finditer("\n" + text))  # offsets in here are one too high
        self._families: dict[str | int, dict[Path, _Section]] = {}
        self._named: dict[str | int, list[tuple[int, tuple[str, ...]]]] | None = None
        self._scanned: dict[int, Found] = {}

    def _family(self, first: str | int) -> dict[Path, _Section]:
        """The tables whose headers begin with this name, in the order of the text."""
        family = self._families.get(first)
        if family is not None:
            return family
        family = self._families[first] = {}
        headers = Headers()
        for number, names in self._by_name.get(first, ()):
            match = self._headers[number]
            path = headers.path(names, bool(match[1]))
            family[path] = _Section(path, match.start(2) - 1, number)
        return family

    @property
    def _by_name(self) -> dict[str | int, list[tuple[int, tuple[str, ...]]]]:
        """The number and the names of every header, by the first name."""
        if self._named is None:
            self._named = {}
            for number, match in enumerate(self._headers):
                names = _names(match[2])
                self._named.setdefault(names[0], []).append((number, names))
        return self._named

    def _body(self, number: int) -> Span:
        """Where the keys below a header begin and end; -1 is what comes before the first header."""
        after = self._headers[number + 1] if number + 1 < len(self._headers) else None
        end = after.start() if after else len(self._text)
        if number < 0:
            return 0, end
        match = self._headers[number]
        return match.end() - 1 + len(match.group(1)), end

    def value(self, path: Path) -> Span | None:
        section = self._family(path[0]).get(path)
        if section is not None:
            return self._header_part(section, path)
        scanned = self._scan_for(path)
        for found in scanned:
            if path in found.values:
                return found.values[path]
        return self._loose(path, scanned)

    def key(self, path: Path) -> Span | None:
        for found in self._scan_for(path):
            if path in found.keys:
                return found.keys[path]
        return self.value(path)

    def _scan_for(self, path: Path) -> list[Found]:
        """The sections whose table `path` stands below: one for each beginning of it that has a header."""
        found = [self._found((), -1)]
        family = self._family(path[0])
        for depth in range(1, len(path)):
            section = family.get(path[:depth])
            if section is not None:
                found.append(self._found(section.path, section.number))
        return found

    def _found(self, path: Path, number: int) -> Found:
        found = self._scanned.get(number)
        if found is None:
            found = self._scanned[number] = Found()
            scan_section(self._text, *self._body(number), path, found)
        return found

    def _loose(self, path: Path, scanned: list[Found]) -> Span | None:
        """The first mention of a table without a header: in a dotted key, or on the way in a longer header."""
        spans = [found.loose[path] for found in scanned if path in found.loose]
        depth = len(path)
        for section in self._family(path[0]).values():
            if section.path[:depth] == path:
                spans.append(self._header_part(section, path))
                break
        return min(spans, default=None)

    def _header_part(self, section: _Section, path: Path) -> Span:
        """The part of the header that names `path`, a beginning of the section's own path."""
        parts, _ = key_parts(self._text, section.names)
        return parts[sum(isinstance(step, str) for step in path) - 1][1]


@lru_cache(maxsize=65536)
def _names(dotted: str) -> tuple[str, ...]:
    return tuple(name for name, _ in key_parts(dotted, 0)[0])
