"""A TOML text as a list of pieces that can be taken out and put in: tables with a header, statements, entries of inline values.

A piece owns the comment lines right above it and the empty lines before those, so that taking a piece out and putting it back gives
the same text. The comment at the top of a file, and one with an empty line on both sides, belong to no piece. For texts that parse.
"""

import re
from bisect import bisect_left, bisect_right
from typing import NamedTuple

from routecode.files.scan import Found, Path, Span, scan

_BLANK = re.compile(r"[ \t]*\n?")
_COMMENT = re.compile(r"[ \t]*#")
_NAMING = ("number", "at", "name", "from", "path", "switch", "rule")
"""Keys by which one table of an array is told from another, the first that is there."""


class Text:
    """A file's text: `text` is as for places (no byte-order mark, `\\n` line ends); edits are made in the bytes as they are."""

    def __init__(self, data: bytes) -> None:
        raw = data.decode("utf-8")
        self.mark = "\ufeff" if raw.startswith("\ufeff") else ""
        self.raw = raw.removeprefix("\ufeff")
        self.text = self.raw.replace("\r\n", "\n")
        self._wide = [match.start() - number for number, match in enumerate(re.finditer("\r\n", self.raw))]
        self.line_end = "\r\n" if self._wide and self._wide[0] == self.text.find("\n") else "\n"

    def offset(self, at: int) -> int:
        """Where an offset in `text` is in `raw`."""
        return at + bisect_left(self._wide, at)


class Statement(NamedTuple):
    """`key = value` on lines of its own: its path, its extent in the text, and what it says without comments."""

    path: Path
    start: int
    end: int
    code: str

    @property
    def identity(self) -> str:
        """What makes it the same statement."""
        return self.code


class Block(NamedTuple):
    """A header with all below it up to the next one; what comes before the first header has the path `()`."""

    path: Path
    start: int
    end: int
    header: str
    header_end: int
    statements: tuple[Statement, ...]

    @property
    def identity(self) -> str:
        """What makes it the same table: its header, and in an array the key that tells it from others."""
        if not self.path or isinstance(self.path[-1], str):
            return self.header
        codes = {statement.path[-1]: statement.code for statement in self.statements}
        named = next((codes[key] for key in _NAMING if key in codes), "")
        return f"{self.header} {named}"

    @property
    def code(self) -> str:
        """What it says without comments."""
        return "\n".join([self.header, *(statement.code for statement in self.statements)])


class Entry(NamedTuple):
    """One element of an array, or one key with its value in an inline table."""

    path: Path
    start: int
    end: int
    code: str

    @property
    def identity(self) -> str:
        """What makes it the same entry."""
        return self.code


class Layout:
    """The pieces of one text, in its order."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.found: Found = scan(text)[0]
        self._starts = [0, *(match.end() for match in re.finditer("\n", text))]
        self._busy = self._busy_lines()
        self.blocks = self._blocks()

    def entries(self, container: Path) -> list[Entry]:
        """The entries of an inline array or table."""
        found = self.found
        entries = []
        for path, (start, end) in found.values.items():
            if path[:-1] == container and len(path) == len(container) + 1:
                begin = start if isinstance(path[-1], int) else found.keys[path][0]
                entries.append(Entry(path, begin, end, self.text[begin:end]))
        return sorted(entries, key=lambda entry: entry.start)

    # -- lines ----------------------------------------------------------------------------------------------------------

    def _line(self, offset: int) -> int:
        return bisect_right(self._starts, offset) - 1

    def _end_of(self, line: int) -> int:
        """The offset after a line and its end."""
        return self._starts[line + 1] if line + 1 < len(self._starts) else len(self.text)

    def _written(self) -> list[tuple[Path, Span, bool]]:
        """(path, where, whether a header) of everything that stands on lines of its own, in order."""
        found, written = self.found, []
        for path, span in found.values.items():
            if any(path[:depth] in found.leaves for depth in range(1, len(path))):
                continue
            is_header = path not in found.leaves
            first = found.keys[path][0]
            written.append((path, (first, first if is_header else span[1]), is_header))
        return sorted(written, key=lambda each: each[1])

    def _busy_lines(self) -> set[int]:
        """The lines of headers and statements."""
        return {
            line for _, (start, end), _ in self._written() for line in range(self._line(start), self._line(end) + 1)
        }

    def _is(self, kind: re.Pattern[str], line: int) -> bool:
        if line in self._busy or not 0 <= line < len(self._starts):
            return False
        text = self.text[self._starts[line] : self._end_of(line)]
        return bool(kind.fullmatch(text) if kind is _BLANK else kind.match(text)) and (bool(text) or line == 0)

    def _begin(self, line: int) -> int:
        """The first line of a piece whose first busy line this is: its comments, and the empty lines above."""
        first = line
        while self._is(_COMMENT, first - 1):
            first -= 1
        if first == 0 and line:
            first = line  # the comment of the file
        while self._is(_BLANK, first - 1):
            first -= 1
        return first

    # -- pieces ---------------------------------------------------------------------------------------------------------

    def _blocks(self) -> tuple[Block, ...]:
        groups: list[tuple[Path, int, list[tuple[Path, Span]]]] = [((), -1, [])]
        for path, span, is_header in self._written():
            if is_header:
                groups.append((path, self._line(span[0]), []))
            else:
                groups[-1][2].append((path, span))
        return tuple(self._block(*group) for group in groups)

    def _block(self, path: Path, line: int, inner: list[tuple[Path, Span]]) -> Block:
        statements = tuple(self._statement(each, span) for each, span in inner)
        last = self._line(inner[-1][1][1]) if inner else line
        while last >= 0 and self._is(_COMMENT, last + 1) and not self._leads(last + 1):
            last += 1
        end = self._end_of(last) if last >= 0 else self._top()
        if line < 0:
            return Block(path, 0, end, "", statements[0].start if statements else end, statements)
        header = self.text[self._starts[line] : self._end_of(line)].partition("#")[0].strip()
        return Block(path, self._starts[self._begin(line)], end, header, self._end_of(line), statements)

    def _statement(self, path: Path, span: Span) -> Statement:
        first, last = self._line(span[0]), self._line(span[1])
        begin = self._starts[first]
        code = self.text[begin : span[1]].strip()
        return Statement(path, self._starts[self._begin(first)], self._end_of(last), code)

    def _leads(self, line: int) -> bool:
        """Whether a comment line belongs to what stands below it."""
        while self._is(_COMMENT, line):
            line += 1
        return line in self._busy

    def _top(self) -> int:
        """The end of the comment at the top of the file."""
        line = 0
        while self._is(_COMMENT, line):
            line += 1
        return self._starts[line] if line < len(self._starts) else len(self.text)
