"""Parts of one TOML text put in the place of the same parts of another; every byte that belongs to neither stays as it is.

What the parts are is told by their paths; what they mean is not known here. Tables, statements and entries that say the same on both
sides keep the text they have, comments included. Whoever splices parses the result and compares: text that is laid out in two quite
different ways cannot always be put together.
"""

from collections.abc import Callable, Container, Iterator, Mapping, Sequence
from difflib import SequenceMatcher
from typing import NamedTuple, Protocol

from routecode.files.edit_layout import Block, Entry, Layout, Text
from routecode.files.scan import Path, blank, gap

Inside = Callable[[Path], bool]
"""Whether what stands at a path is one of the parts, whole."""


class _Edit(NamedTuple):
    """A stretch of the text, by offsets, and what comes in its place."""

    start: int
    end: int
    text: str


class _Piece(Protocol):
    @property
    def path(self) -> Path: ...
    @property
    def start(self) -> int: ...
    @property
    def end(self) -> int: ...
    @property
    def code(self) -> str: ...
    @property
    def identity(self) -> str: ...


def spliced(now: bytes, is_now: Inside, then: bytes, is_then: Inside) -> bytes:
    """The text `now`, in which the parts say what those of `then` say. Both are UTF-8 and parse."""
    text = Text(now)
    work = _Splice(Layout(text.text), is_now, Layout(Text(then).text), is_then)
    return _applied(text, sorted(work.edits(), key=lambda edit: edit[:2]))


class _Splice:
    """One text on its way to be another."""

    def __init__(self, now: Layout, is_now: Inside, then: Layout, is_then: Inside) -> None:
        self._now = now
        self._is_now = is_now
        self._then = then
        self._is_then = is_then

    def edits(self) -> Iterator[_Edit]:
        """All edits; those at the same place in the order in which they are to stand."""
        yield from self._statements_outside()
        yield from self._entries()
        ours, theirs = self._now.blocks[1:], self._then.blocks[1:]
        yield from self._merged(ours, theirs, self._end_of_tables())

    # -- tables ---------------------------------------------------------------------------------------------------------

    def _end_of_tables(self) -> int:
        return self._now.blocks[-1].end if len(self._now.blocks) > 1 else len(self._now.text)

    def _merged(self, ours: Sequence[_Piece], theirs: Sequence[_Piece], end: int) -> Iterator[_Edit]:
        """Pieces side by side: the parts taken out, put in, or made like those of the other text."""
        partner = dict(_partners(ours, theirs, self._is_now, self._is_then))
        gone = {number for number, piece in enumerate(ours) if self._is_now(piece.path)} - set(partner.values())
        yield from (_Edit(ours[number].start, ours[number].end, "") for number in sorted(gone))
        last = -1  # the partner of the piece before
        waiting: list[_Piece] = []
        for number, piece in enumerate(theirs):
            if number not in partner:
                waiting += [piece] if self._is_then(piece.path) else []
                continue
            before = self._place(ours, last, gone, end, waiting, (piece, ours[partner[number]]))
            yield from self._put_in(waiting, before)
            waiting, last = [], partner[number]
            mine = ours[last]
            if self._is_then(piece.path) and isinstance(mine, Block) and isinstance(piece, Block):
                yield from self._within(mine, piece)
        yield from self._put_in(waiting, self._place(ours, last, gone, end, waiting, None))

    def _place(
        self,
        ours: Sequence[_Piece],
        last: int,
        gone: Container[int],
        end: int,
        new: Sequence[_Piece],
        following: tuple[_Piece, _Piece] | None,
    ) -> int:
        """Where pieces are put in that come after `ours[last]`: where one goes, after that, or before what follows (theirs, ours)."""
        if last + 1 in gone:
            return ours[last + 1].start
        apart = bool(new) and self._is_apart(new[0].start)
        if following is not None:
            piece, mine = following
            if last < 0 or (apart and new[-1].end == piece.start):
                return mine.start
        elif apart and last == len(ours) - 1 and ours and isinstance(ours[0], Block):
            return len(self._now.text)
        return ours[last].end if last >= 0 else end

    def _is_apart(self, start: int) -> bool:
        """Whether a comment that belongs to nothing stands right above, in the text the pieces come from."""
        line = self._then.text[:start].rpartition("\n")[0].rpartition("\n")[2]
        return line.lstrip().startswith("#")

    def _put_in(self, pieces: Sequence[_Piece], place: int) -> Iterator[_Edit]:
        for piece in pieces:
            text = self._then.text[piece.start : piece.end]
            yield _Edit(place, place, text if text.endswith("\n") else f"{text}\n")

    def _within(self, mine: Block, other: Block) -> Iterator[_Edit]:
        """One table that both have, statement by statement."""
        if mine.code == other.code:
            return
        ours, theirs = mine.statements, other.statements
        matcher = SequenceMatcher(None, [each.code for each in ours], [each.code for each in theirs], autojunk=False)
        for kind, first, last, start, end in matcher.get_opcodes():
            if kind == "equal":
                continue
            text = "".join(self._then.text[each.start : each.end] for each in theirs[start:end])
            if first < last:
                yield _Edit(ours[first].start, ours[last - 1].end, text)
            else:
                place = ours[first - 1].end if first else mine.header_end
                yield _Edit(place, place, text)

    # -- statements in tables that are no part themselves, and entries of inline values ----------------------------------

    def _statements_outside(self) -> Iterator[_Edit]:
        """Dotted keys above the first header, or below that of a table which holds more than the parts."""
        ours, theirs = _holders(self._now, self._is_now), _holders(self._then, self._is_then)
        known = {block.path: block for block in self._now.blocks}
        for path in dict.fromkeys([*ours, *theirs]):
            there = theirs[path].statements if path in theirs else ()
            if path in known:
                yield from self._merged(known[path].statements, there, known[path].end)
            else:
                end = self._end_of_tables()
                yield _Edit(end, end, f"\n{theirs[path].header}\n")
                yield from self._merged((), there, end)

    def _entries(self) -> Iterator[_Edit]:
        """Parts that are entries of inline values which hold more than the parts."""
        ours, theirs = (_containers(*side) for side in ((self._now, self._is_now), (self._then, self._is_then)))
        for path in sorted(ours.keys() | theirs.keys(), key=str):
            if path not in self._now.found.leaves:
                yield self._new_container(path, theirs[path])
                continue
            wanted = self._then.entries(path) if path in self._then.found.leaves else []
            yield from self._container(path, self._now.entries(path), wanted)

    def _new_container(self, path: Path, entries: Sequence[Entry]) -> _Edit:
        """An inline value that is not there at all, with the parts alone; above the first header."""
        start, end = self._then.found.values[path]
        inner = ", ".join(entry.code for entry in entries)
        name = ".".join(str(step) for step in path)
        at = self._now.blocks[0].end
        return _Edit(at, at, f"{name} = {self._then.text[start]} {inner} {self._then.text[end - 1]}\n")

    def _container(self, path: Path, ours: Sequence[Entry], theirs: Sequence[Entry]) -> Iterator[_Edit]:
        """Entries of one inline value: those that go are cut, those that come are put behind the one before them."""
        partner = dict(_partners(ours, theirs, self._is_now, self._is_then))
        gone = {number for number, entry in enumerate(ours) if self._is_now(entry.path)} - set(partner.values())
        new: dict[int, list[str]] = {}
        last = -1
        for number, entry in enumerate(theirs):
            if number in partner:
                last = partner[number]
            elif self._is_then(entry.path):
                new.setdefault(last, []).append(entry.code)
        if gone or new:
            start, end = self._now.found.values[path]
            if self._now.text[start] == "{" or len(gone) == len(ours):
                yield _Edit(start + 1, end - 1, _anew(self._now.text, ours, gone, new))
            else:
                yield from self._in_array(ours, gone, new)

    def _in_array(
        self, ours: Sequence[Entry], gone: Container[int], new: Mapping[int, Sequence[str]]
    ) -> Iterator[_Edit]:
        text = self._now.text
        for number in range(-1, len(ours)):
            entry = ours[max(number, 0)]
            line = text.rfind("\n", 0, entry.start) + 1
            indent = text[line : entry.start]
            apart = f"\n{indent}" if line and not indent.strip() else " "
            comma = gap(text, entry.end)
            has_comma = text[comma] == ","
            if number in gone:
                yield _cut(text, entry, comma + 1 if has_comma else entry.end, own_line=apart != " ", line=line)
            codes = new.get(number, ())
            if not codes:
                continue
            if number < 0:
                place = entry.start if apart == " " else line
                yield _Edit(
                    place, place, "".join(f"{indent if place == line else ''}{code},{_end(apart)}" for code in codes)
                )
            elif number in gone and not has_comma:
                yield _Edit(entry.end, entry.end, f"{apart}{f',{apart}'.join(codes)}")
            elif has_comma:
                yield _Edit(comma + 1, comma + 1, "".join(f"{apart}{code}," for code in codes))
            else:
                yield _Edit(entry.end, entry.end, "".join(f",{apart}{code}" for code in codes))


def _end(apart: str) -> str:
    """What ends an entry that another follows."""
    return apart if apart == " " else "\n"


def _cut(text: str, entry: Entry, end: int, *, own_line: bool, line: int) -> _Edit:
    """An entry taken out of an array with its comma; its whole line where nothing else stands there."""
    stop = text.find("\n", end)
    rest = text[end:stop].strip() if stop >= 0 else text[end:]
    if own_line and (not rest or rest.startswith("#")):
        return _Edit(line, stop + 1, "")
    return _Edit(entry.start, blank(text, end), "")


def _anew(text: str, ours: Sequence[Entry], gone: Container[int], new: Mapping[int, Sequence[str]]) -> str:
    """The inside of an inline table, or of an array of which nothing stays."""
    codes = list(new.get(-1, ()))
    for number, entry in enumerate(ours):
        codes += [] if number in gone else [text[entry.start : entry.end]]
        codes += new.get(number, ())
    return f" {', '.join(codes)} " if codes else ""


def _holders(layout: Layout, inside: Inside) -> dict[Path, Block]:
    """The tables that are no part and have statements which are."""
    return {
        block.path: block
        for block in layout.blocks
        if not inside(block.path) and any(inside(statement.path) for statement in block.statements)
    }


def _containers(layout: Layout, inside: Inside) -> dict[Path, list[Entry]]:
    """The inline values that hold parts and are none, with those parts."""
    found: dict[Path, list[Entry]] = {}
    for path in layout.found.values:
        if path[:-1] in layout.found.leaves and inside(path) and not inside(path[:-1]):
            found.setdefault(path[:-1], [])
    return {path: [entry for entry in layout.entries(path) if inside(entry.path)] for path in found}


def _partners(
    ours: Sequence[_Piece], theirs: Sequence[_Piece], is_now: Inside, is_then: Inside
) -> Iterator[tuple[int, int]]:
    """(number of theirs, number of ours) of what is the same piece: in order, and a part only with a part."""
    mine = [f"{is_now(piece.path)} {piece.identity}" for piece in ours]
    other = [f"{is_then(piece.path)} {piece.identity}" for piece in theirs]
    most = min(len(mine), len(other))
    ahead = next((number for number in range(most) if mine[number] != other[number]), most)
    behind = next((number for number in range(most - ahead) if mine[-1 - number] != other[-1 - number]), most - ahead)
    yield from ((number, number) for number in range(ahead))
    one, two = mine[ahead : len(mine) - behind], other[ahead : len(other) - behind]
    matcher = SequenceMatcher(None, one, two, autojunk=False)  # its cost can be that of a square
    for first, second, size in matcher.get_matching_blocks():
        yield from ((ahead + second + step, ahead + first + step) for step in range(size))
    yield from ((len(other) - number, len(mine) - number) for number in range(behind, 0, -1))


def _applied(text: Text, edits: Sequence[_Edit]) -> bytes:
    """The text with the edits made, in its own line ends; other bytes are not looked at."""
    parts, at = [text.mark], 0
    for start, end, new in edits:
        parts.append(text.raw[text.offset(at) : text.offset(start)])
        if new and start == len(text.text) and text.text and not text.text.endswith("\n") and at < start:
            parts.append(text.line_end)
        parts.append(new.replace("\n", text.line_end))
        at = max(at, end)
    parts.append(text.raw[text.offset(at) :])
    whole = "".join(parts)
    if not text.raw.startswith(("\n", "\r\n")):  # what was put or left on top brought an empty line along
        whole = text.mark + whole.removeprefix(text.mark).lstrip("\r\n")
    return whole.encode("utf-8")
