"""The exact scanner: walks a TOML document statement by statement and notes where each key and value stands.

It is not a parser: it decodes keys and nothing else, and takes any bare word for a value. On a text that parsed it
finds everything; on one that did not it stops at the first thing out of order and says what it was in the middle of.
"""

import re
from typing import NamedTuple, cast

Path = tuple[str | int, ...]
Span = tuple[int, int]

_SPACE = re.compile(r"[ \t]*+")
_GAP = re.compile(r"(?>(?:[ \t\n]++|#[^\n]*+)*)")
_PART = re.compile(r"""([A-Za-z0-9_-]++)|"((?>(?:[^"\\\n]++|\\[^\n])*))"|'([^'\n]*+)'""")
_SIMPLE = re.compile(
    r'''"{3}(?>(?:[^"\\]++|\\.|"{1,2}(?!"))*)"{3,5}|"(?!"")(?>(?:[^"\\\n]++|\\[^\n])*)"'''
    r"""|'{3}(?>(?:[^']++|'{1,2}(?!'))*)'{3,5}|'(?!'')[^'\n]*+'"""
    r"""|[A-Za-z0-9+\-_.:]++(?>(?:(?<=\d\d) \d\d:[\d:.Z+-]++)?)""",
    re.DOTALL,
)
_END = re.compile(r"[ \t]*+(?>(?:#[^\n]*+)?)(?:\n|\Z)")
_ESCAPE = re.compile(r"\\(?:u([0-9A-Fa-f]{4})|U([0-9A-Fa-f]{8})|(.))", re.DOTALL)
_ESCAPED = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r"}


class Lost(NamedTuple):
    """The text is out of order at `at`; `kind` is what was read, `opened` where its statement or bracket begins."""

    kind: str
    at: int
    opened: int


class _LostError(Exception):
    """How a scan stops; never leaves this module."""

    def __init__(self, kind: str, at: int, opened: int) -> None:
        super().__init__(kind)
        self.lost = Lost(kind, at, opened)


class Again(NamedTuple):
    """A key or table given twice: its path, where it stands, and where it stood before."""

    path: Path
    here: Span
    before: Span


class Found:
    """What a scan found, as offsets (start, end) into the text.

    `keys` and `values` hold what is written out: keys with their values, elements of arrays, tables with a header of
    their own (both then mean the last part of the header). `loose` holds the first mention of what is only implied: a
    table named on the way to another, an array of tables as a whole.
    """

    def __init__(self) -> None:
        self.keys: dict[Path, Span] = {}
        self.values: dict[Path, Span] = {}
        self.loose: dict[Path, Span] = {}
        self.dotted: set[Path] = set()  # tables made by dotted keys: no header may open them again
        self.leaves: set[Path] = set()  # given by `key = value`: nothing may be put into them
        self.again: list[Again] = []

    def value(self, path: Path) -> Span | None:
        """Where the value of `path` stands."""
        return self.values.get(path) or self.loose.get(path)

    def key(self, path: Path) -> Span | None:
        """Where the key of `path` stands; an element of an array has none, its own place answers."""
        return self.keys.get(path) or self.value(path)

    def repeat(self, path: Path, here: Span) -> None:
        """Note that `path` was there already."""
        before = self.keys.get(path) or self.value(path)
        if before is not None:
            self.again.append(Again(path, here, before))


def key_parts(text: str, at: int) -> tuple[list[tuple[str, Span]], int]:
    """A dotted key from `at` on: its parts with their spans, and where it ends (blanks after it included)."""
    parts = []
    start = at
    while True:
        at = blank(text, at)
        match = _PART.match(text, at)
        if match is None:
            raise _LostError("key", at, start)
        parts.append((_part_name(match), match.span()))
        at = blank(text, match.end())
        if text[at : at + 1] != ".":
            return parts, at
        at += 1


def _part_name(match: re.Match[str]) -> str:
    bare, basic, literal = match.groups()
    if bare is not None:
        return str(bare)
    if basic is None:
        return str(literal)
    return _ESCAPE.sub(_unescape, basic) if "\\" in basic else str(basic)


def _unescape(match: re.Match[str]) -> str:
    code = match.group(1) or match.group(2)
    if code is None:
        return _ESCAPED.get(match.group(3), match.group(3))
    return chr(int(code, 16)) if int(code, 16) < 0x110000 else match.group()


def blank(text: str, at: int) -> int:
    """The offset of what follows blanks and tabs."""
    match = _SPACE.match(text, at)
    return match.end() if match else at


def gap(text: str, at: int) -> int:
    """The offset of what follows blanks, line ends and comments."""
    match = _GAP.match(text, at)
    return match.end() if match else at


class Headers:
    """Turns the names of headers into paths: counts the items of each array of tables as they come."""

    def __init__(self) -> None:
        self.last: dict[Path, int] = {}

    def path(self, names: tuple[str, ...], is_item: bool) -> Path:
        """The path of the table that this header opens."""
        last = self.last
        if not last and not is_item:
            return names
        path: Path = ()
        for name in names[:-1]:
            path = (*path, name)
            index = last.get(path)
            if index is not None:
                path = (*path, index)
        path = (*path, names[-1])
        if not is_item:
            return path
        index = last[path] = last.get(path, -1) + 1
        return (*path, index)


def scan(text: str) -> tuple[Found, Lost | None]:
    """Everything in `text`, up to the end or to the first thing out of order."""
    found = Found()
    try:
        _Scanner(text, found).document()
    except _LostError as error:
        return found, error.lost
    return found, None


def scan_section(text: str, start: int, end: int, base: Path, found: Found) -> None:
    """The keys between two headers, as keys of the table `base`, into `found`. Stops quietly where it gets lost."""
    try:
        _Scanner(text, found).section(start, end, base)
    except _LostError:
        return


class _Scanner:
    """One walk over one text."""

    def __init__(self, text: str, found: Found) -> None:
        self.text = text
        self.found = found
        self.headers = Headers()

    def document(self) -> None:
        at, path = 0, cast(Path, ())
        while (at := gap(self.text, at)) < len(self.text):
            start = at
            if self.text[at] == "[":
                path, at = self.header(at)
            else:
                at = self.statement(at, path)
            at = self.line_end(at, start)

    def section(self, start: int, end: int, base: Path) -> None:
        at = start
        while (at := gap(self.text, at)) < end:
            at = self.line_end(self.statement(at, base), at)

    def line_end(self, at: int, start: int) -> int:
        match = _END.match(self.text, at)
        if match is None:
            raise _LostError("end", blank(self.text, at), start)
        return match.end()

    def header(self, at: int) -> tuple[Path, int]:
        start, is_item = at, self.text.startswith("[[", at)
        try:
            parts, at = key_parts(self.text, at + 1 + is_item)
        except _LostError as error:
            raise _LostError("header", error.lost.at, start) from None
        if not self.text.startswith("]]" if is_item else "]", at):
            raise _LostError("header", at, start)
        path = self.headers.path(tuple(name for name, _ in parts), is_item)
        self.note_header(path, [span for _, span in parts], is_item)
        return path, at + 1 + is_item

    def note_header(self, path: Path, spans: list[Span], is_item: bool) -> None:
        found, here = self.found, spans[-1]
        taken = self.taken(path, is_item)
        if taken is not None:
            found.repeat(taken, here)
            return
        found.keys[path] = found.values[path] = here
        remaining = iter(spans)
        for depth, step in enumerate(path, 1):
            if isinstance(step, str):
                found.loose.setdefault(path[:depth], next(remaining))

    def taken(self, path: Path, is_item: bool) -> Path | None:
        """What stands in the way of a header: a value, or a table of another kind."""
        found = self.found
        for depth in range(1, len(path)):
            if path[:depth] in found.leaves:
                return path[:depth]
        table = path[:-1] if is_item else path
        is_other = table in found.loose and path[-1] == 0 if is_item else table in self.headers.last
        is_known = is_other or table in found.values or table in found.dotted
        return table if is_known else None

    def statement(self, at: int, base: Path) -> int:
        parts, after = key_parts(self.text, at)
        return self.assign(parts, after, base, Lost("equals", after, at))

    def assign(self, parts: list[tuple[str, Span]], at: int, base: Path, else_lost: Lost) -> int:
        """What follows a key: `=` and the value; gives the offset after it."""
        if self.text[at : at + 1] != "=":
            raise _LostError(*else_lost)
        found, path = self.found, base
        for name, span in parts[:-1]:
            path = (*path, name)
            if path in found.values or path in self.headers.last:
                found.repeat(path, span)
            found.loose.setdefault(path, span)
            found.dotted.add(path)
        name, span = parts[-1]
        path = (*path, name)
        at = blank(self.text, at + 1)
        is_again = path in found.values or path in found.loose
        if is_again:
            found.repeat(path, span)
        else:
            found.keys[path] = span
        end = self.value(at, path, else_lost.opened)
        found.leaves.add(path)
        return end

    def value(self, at: int, path: Path, opened: int) -> int:
        first = self.text[at : at + 1]
        if first == "[":
            end = self.array(at, path)
        elif first == "{":
            end = self.inline(at, path)
        else:
            match = _SIMPLE.match(self.text, at)
            if match is None:
                raise _LostError("value", at, opened)
            end = match.end()
        self.found.values.setdefault(path, (at, end))
        return end

    def array(self, start: int, path: Path) -> int:
        text, at, index = self.text, gap(self.text, start + 1), 0
        while text[at : at + 1] != "]":
            if at >= len(text):
                raise _LostError("array", at, start)
            at = gap(text, self.value(at, (*path, index), start))
            index += 1
            if text[at : at + 1] == ",":
                at = gap(text, at + 1)
            elif text[at : at + 1] != "]":
                raise _LostError("array", at, start)
        return at + 1

    def inline(self, start: int, path: Path) -> int:
        text, at = self.text, blank(self.text, start + 1)
        if text[at : at + 1] == "}":
            return at + 1
        while True:
            try:
                parts, at = key_parts(text, at)
            except _LostError as error:
                raise _LostError("inline", error.lost.at, start) from None
            at = blank(text, self.assign(parts, at, path, Lost("inline", at, start)))
            if text[at : at + 1] == "}":
                return at + 1
            if text[at : at + 1] != ",":
                raise _LostError("inline", at, start)
            at += 1
