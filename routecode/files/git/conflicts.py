"""Where git could not join a text: what it prints about it, read, and each place found again in the text of every side."""

import re
from collections.abc import Iterator
from os import devnull
from pathlib import Path
from typing import NamedTuple

from routecode.files.git.objects import Entry, read_listing
from routecode.files.git.process import Objects, objects, run

AWAY = {"GIT_CONFIG_GLOBAL": devnull}
"""The environment of commands in a repository of our own: without what the user has configured."""
_HUNK = re.compile(rb"^@@ -(\d+)(?:,(\d+))? \+(\d+)(?:,(\d+))? @@", re.MULTILINE)
Lines = tuple[int, int]
"""First line, from 1, and how many."""


class Hunk(NamedTuple):
    """One place that git cannot join: its line in the joined text as git would leave it, the lines of each side, and those of the base."""

    line: int
    ours: Lines
    theirs: Lines
    base: Lines


class Conflict(NamedTuple):
    """A file that git cannot join. `path` from the top of the work tree; `kind` in git's words, such as `contents`."""

    path: str
    kind: str
    hunks: tuple[Hunk, ...]


class Listed(NamedTuple):
    """What `merge-tree -z` prints: the tree, unmerged entries (mode, id, stage, path), messages (kind, paths)."""

    tree: str
    unmerged: tuple[tuple[str, str, int, str], ...]
    told: tuple[tuple[str, tuple[str, ...]], ...]


def text_of(data: bytes) -> str:
    """Names and paths as git writes them."""
    return data.decode("utf-8", errors="surrogateescape")


def listing(folder: Path, tree: str) -> list[Entry]:
    """All files of a tree or commit."""
    return list(read_listing(run(folder, "ls-tree", "-r", "-z", "--full-tree", tree).out))


def read_listed(out: bytes) -> Listed:
    """What `merge-tree -z` prints."""
    parts = iter(text_of(out).split("\0"))
    tree = next(parts, "")
    unmerged = []
    for line in parts:
        if not line:
            break
        facts, _, path = line.partition("\t")
        mode, object_id, stage = facts.split(" ")
        unmerged.append((mode, object_id, int(stage), path))
    told = []
    for number in parts:
        if not number.isdecimal():
            break
        paths = tuple(next(parts, "") for _ in range(int(number)))
        told.append((next(parts, ""), paths))
        next(parts, "")
    return Listed(tree, tuple(unmerged), tuple(told))


def conflicts_of(folder: Path, listed: Listed, names: tuple[str, str]) -> Iterator[Conflict]:
    """Every unmerged path once, with why, and where in the text."""
    stages: dict[str, dict[int, str]] = {}
    for _, object_id, stage, path in listed.unmerged:
        stages.setdefault(path, {})[stage] = object_id
    joined = {text_of(entry.name): entry.id for entry in listing(folder, listed.tree)} if stages else {}
    with objects(folder) as reader:
        for path in sorted(stages):
            kinds = [kind for kind, paths in listed.told if path in paths and kind.startswith("CONFLICT")]
            kind = kinds[0].removeprefix("CONFLICT (").removesuffix(")") if kinds else "contents"
            versions = tuple(stages[path].get(stage) for stage in (2, 3, 1))
            yield Conflict(path, kind, tuple(_hunks(folder, _blob(reader, joined.get(path)), versions, names)))


def _blob(reader: Objects, object_id: str | None) -> bytes:
    found = reader.get(object_id) if object_id else None
    return found.data if found is not None and found.kind == "blob" else b""


def _hunks(folder: Path, joined: bytes, versions: tuple[str | None, ...], names: tuple[str, str]) -> Iterator[Hunk]:
    """The places between conflict marks. Marks carry the names that git was given, which are ids and stand in no text by chance."""
    plain: tuple[list[bytes], list[bytes]] = ([], [])
    places: list[tuple[int, list[Lines]]] = []
    for part in _parted(joined, names):
        for side in (0, 1):
            plain[side].extend(part.both)
        if part.chunks is not None:
            places.append((part.line, [(len(plain[side]) + 1, len(part.chunks[side])) for side in (0, 1)]))
            for side in (0, 1):
                plain[side].extend(part.chunks[side])
    if places:
        written = [_stored(folder, b"\n".join(plain[side])) for side in (0, 1)]
        shifts = [_Shifts(_edits(folder, written[side], versions[side])) for side in (0, 1)]
        backs = [_edits(folder, versions[side], versions[2]) for side in (0, 1)]
        for line, (one, other) in places:
            found = shifts[0].moved(one), shifts[1].moved(other)
            yield Hunk(line, *found, _replaced(found, backs))


def _stored(folder: Path, text: bytes) -> str:
    return run(folder, "hash-object", "-w", "--no-filters", "--stdin", given=text, more=AWAY).line


def _edits(folder: Path, one: str | None, other: str | None) -> list[tuple[Lines, Lines]]:
    """Which lines of one text stand for which lines of another; of no lines, the line before which they would be."""
    if one is None or other is None:
        return []
    options = ("--no-color", "--no-ext-diff", "--no-textconv", "--unified=0", "--text")
    done = run(folder, "diff", *options, one, other, "--", more=AWAY)
    found = []
    for match in _HUNK.finditer(done.out):
        old, olds, now, news = (1 if part is None else int(part) for part in match.groups())
        found.append(((old if olds else old + 1, olds), (now if news else now + 1, news)))
    return found


def _replaced(sides: tuple[Lines, Lines], backs: list[list[tuple[Lines, Lines]]]) -> Lines:
    """The lines of the base that stand where a hunk is."""
    found = [
        base
        for (first, count_), edits in zip(sides, backs, strict=True)
        for (start, length), base in edits
        if start <= first + count_ and first <= start + length
    ]
    if not found:
        return (0, 0)
    start = min(first for first, _ in found)
    return start, max(first + length for first, length in found) - start


class _Part(NamedTuple):
    """A run of lines that is joined, then two that are not, the first of their marks on `line`; at the end there are none."""

    both: list[bytes]
    line: int
    chunks: tuple[list[bytes], list[bytes]] | None


def _parted(joined: bytes, names: tuple[str, str]) -> Iterator[_Part]:
    marks = zip((b"<", b">"), names, strict=True)
    begin, end = (re.compile(rb"%s{1,} %s(:.*)?\r?" % (mark, name.encode())) for mark, name in marks)
    lines = joined.split(b"\n")
    both: list[bytes] = []
    at = 0
    while at < len(lines):
        if not begin.fullmatch(lines[at]):
            both.append(lines[at])
            at += 1
            continue
        width = len(lines[at]) - len(lines[at].lstrip(b"<"))
        middle = re.compile(rb"={%d}\r?" % width)
        stop = next((number for number in range(at + 1, len(lines)) if end.fullmatch(lines[number])), len(lines))
        cut = next((number for number in range(at + 1, stop) if middle.fullmatch(lines[number])), stop)
        yield _Part(both, at + 1, (lines[at + 1 : cut], lines[cut + 1 : stop]))
        both, at = [], stop + 1
    yield _Part(both, 0, None)


class _Shifts:
    """Where lines of a text stand in one side's file, of which it has all but what only the other side changed."""

    def __init__(self, edits: list[tuple[Lines, Lines]]) -> None:
        self._steps = [(old + olds, now + news - old - olds) for (old, olds), (now, news) in edits]

    def moved(self, lines: Lines) -> Lines:
        """The same lines, as they are numbered in that side's file."""
        return lines[0] + next((by for start, by in reversed(self._steps) if start <= lines[0]), 0), lines[1]
