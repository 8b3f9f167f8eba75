"""The history of a studio: its commits that touched the wiring, newest first, each with what it says beside the revision before it.

Pure: a reader hands over commits and files (`Reader`), a store keeps entries between runs where there is one (`Keep`). A revision is put
beside its first parent; where that does not compile, beside the nearest before it that does. Revisions are opened from old to new, so that
each is made of the one before it, and those with the same wiring files only once; the answer does not depend on it.
"""

import gc
from collections import OrderedDict
from collections.abc import Callable, Generator, Iterable, Iterator
from typing import NamedTuple, Protocol

from attrs import frozen

from routecode.files.git.objects import Commit
from routecode.files.tree import Files
from routecode.history.entry import BROKEN, FIRST, SAME_TEXT, Entry, entry_of
from routecode.history.part import Parts
from routecode.studio.opened import Opened

BLOCKS = (32, 4096)
"""How many commits are worked out before the newest of them is told: few at first, so that something is seen soon.

The oldest of each is put beside a revision that is opened whole, which takes long in a large studio.
"""
KEPT_OPEN = 4
"""Revisions that stay open."""
_TIDIED = 256
MOST_WAITING = 64_000_000
"""Bytes of text that are held at most until the others of the same files are there."""
MOST_BACK = 50
"""How many revisions that do not compile are passed over in search of one that does."""
_NOT_HERE = "object-missing"
"""The mistake of a text that is not in this copy of the repository."""


class Reader(Protocol):
    """Hands over a studio's revisions."""

    def commits(self) -> Iterator[Commit]:
        """The commits that touched the wiring, newest first."""

    def commit(self, commit_id: str) -> Commit | None:
        """A commit; None where it is not here."""

    def key(self, commit_id: str) -> str:
        """What the wiring files of a commit are known by: same key, same files. Empty where there are none, or they are not here."""

    def files(self, commit_id: str) -> Files:
        """The wiring files of a commit."""


class Keep(Protocol):
    """Keeps what was worked out, by a key that names all it was worked out of. It may forget anything, at any time."""

    def get(self, key: str) -> object | None:
        """What was put under this key, as JSON has it; None where nothing is."""

    def put(self, key: str, plain: object) -> None:
        """Keep it."""


@frozen
class Item:
    """A commit of the history: its number as revisions take it (1: the newest), and what it says beside `against`.

    `against`: the id of the commit it is put beside (None: there is none); `mended`: its parent does not compile, and it does.
    `cut`: its parent is not in this copy of the repository; `partial`: some text of its own is not.
    """

    number: int
    commit: Commit
    entry: Entry
    against: str | None = None
    mended: bool = False
    cut: bool = False
    partial: bool = False

    @property
    def merges(self) -> bool:
        """Whether two lines of work come together here."""
        return len(self.commit.parents) > 1


Progress = Callable[[int], None]
"""Told how many commits are done."""


def entries(
    reader: Reader,
    commits: Iterable[tuple[int, Commit]] | None = None,
    keep: Keep | None = None,
    progress: Progress | None = None,
) -> Iterator[Item]:
    """The history, newest first. `commits`: numbered ones that are asked for, newest first; without it all of them."""
    opening = _Opening(reader, keep)
    listed = enumerate(reader.commits(), 1) if commits is None else iter(commits)
    done = 0
    for block in _blocks(listed):
        items: list[Item] = []
        told = done
        for worked_out in opening.ahead(commit for _, commit in reversed(block)):
            told = done + worked_out
            if progress is not None:
                progress(told)
        for number, commit in reversed(block):
            items.append(opening.item(number, commit))
            done += 1
            if done % _TIDIED == 0:
                gc.collect(1)  # a run may have switched the collector off
            if progress is not None and done > told:
                progress(done)
        yield from reversed(items)


def _blocks(commits: Iterator[tuple[int, Commit]]) -> Iterator[list[tuple[int, Commit]]]:
    """The commits in lists of growing length."""
    sizes = list(BLOCKS)
    block: list[tuple[int, Commit]] = []
    for each in commits:
        block.append(each)
        if len(block) == sizes[0]:
            yield block
            block = []
            if len(sizes) > 1:
                sizes.pop(0)
    if block:
        yield block


def folded(items: Iterable[Item]) -> Iterator[Item | list[Item]]:
    """The same with neighbours that changed only text put together; each list has one or more."""
    text: list[Item] = []
    for item in items:
        if item.entry.only_text:
            text.append(item)
            continue
        if text:
            yield text
            text = []
        yield item
    if text:
        yield text


class _Pair(NamedTuple):
    """The parts in which two revisions differ, and the keys of these."""

    sides: tuple[str, str]
    before: Files
    after: Files


def _question(before: str, after: str) -> str:
    """What the entry of two revisions is kept under, by their keys; an empty one for none."""
    return f"entry {before} {after}"


class _Opening:
    """Opens revisions, those that are alike once, and works out entries."""

    def __init__(self, reader: Reader, keep: Keep | None) -> None:
        self._reader = reader
        self._keep = keep
        self._open: OrderedDict[str, Opened] = OrderedDict()
        self._compiles: dict[str, bool] = {}
        self._entries: dict[str, Entry] = {}
        self._partial: set[str] = set()
        self._latest: Opened | None = None
        self._latest_part: Opened | None = None
        self._parts = Parts()
        self._ahead: dict[tuple[str, str], Entry | None] = {}
        """Entries by the keys of both sides, worked out of parts before they were asked for; None where there is no part."""
        self._read: OrderedDict[str, Files] = OrderedDict()

    def item(self, number: int, commit: Commit) -> Item:
        """One commit of the history."""
        parent = commit.parents[0] if commit.parents else None
        cut = parent is not None and self._reader.commit(parent) is None
        key = self._reader.key(commit.id)
        against = self._against(parent, key) if parent is not None and not cut else None
        entry = self._entry(against, commit.id, key)
        mended = entry.kind != BROKEN and not cut and parent is not None and against != parent and self._wired(parent)
        beside = None if entry.kind in (BROKEN, FIRST) else against
        return Item(number, commit, entry, beside, mended, cut, commit.id in self._partial)

    def ahead(self, commits: Iterable[Commit]) -> Iterator[int]:
        """Work out what parts say, those of the same files one after another: each revision of a part is opened once, and not twice.

        Commits from old to new; tells how many are worked out. What stands beside its parent in the end is decided in `item`.
        """
        waiting: dict[tuple[str, ...], list[_Pair]] = {}
        size = count = 0
        for commit in commits:
            sides = self._sides(commit)
            if sides is None:
                continue
            before, after = self._files(commit.parents[0]), self._files(commit.id)
            parts = self._parts.between(before, after)
            if parts is None or not parts[0].texts:
                self._ahead[sides] = None if parts is None else SAME_TEXT
                continue
            waiting.setdefault(tuple(sorted(parts[1].texts)), []).append(_Pair(sides, *parts))
            size += sum(len(text) for name, text in parts[1].texts.items() if before.texts[name] is not text)
            if size > MOST_WAITING:
                count = yield from self._groups(waiting, count)
                waiting, size = {}, 0
        yield from self._groups(waiting, count)

    def _sides(self, commit: Commit) -> tuple[str, str] | None:
        """The keys of a commit and its first parent; None where their entry is known, or there is nothing to put beside each other."""
        if not commit.parents or self._reader.commit(commit.parents[0]) is None:
            return None
        before, after = self._reader.key(commit.parents[0]), self._reader.key(commit.id)
        known = not before or not after or before == after or (before, after) in self._ahead
        return None if known or self._known(before, after) is not None else (before, after)

    def _groups(self, waiting: "dict[tuple[str, ...], list[_Pair]]", count: int) -> Generator[int, None, int]:
        """Work out pairs group by group; counted on from `count`."""
        for pairs in waiting.values():
            last: Opened | None = None
            for pair in pairs:
                before = last
                if before is None or before.files.texts != pair.before.texts:
                    before = Opened(pair.before, pair.sides[0], None, self._latest_part)
                last, self._ahead[pair.sides] = self._beside(before, pair.after, pair.sides[1])
                count += 1
                yield count
        return count

    def _beside(self, before: Opened, files: Files, name: str) -> tuple[Opened | None, Entry | None]:
        """A part beside the one before it: opened, and its entry; nothing where one of the two does not compile."""
        if before.mistakes:
            return None, None
        after = Opened(files, name, None, before)
        if after.circuit is None:
            return None, None
        entry = entry_of(before, after)
        after.circuit.state(None)
        after.circuit.base = None
        self._latest_part = after
        return after, entry

    def _wired(self, commit_id: str) -> bool:
        """Whether there are wiring files in a commit at all."""
        return bool(self._reader.key(commit_id))

    def _against(self, parent: str, key: str) -> str | None:
        """The nearest commit before, by first parents, that compiles or has the same files; None where there is none."""
        found: str | None = parent
        for _ in range(MOST_BACK):
            if found is None:
                return None
            before = self._reader.key(found)
            if before and (before == key or self._fine(found, before)):
                return found
            commit = self._reader.commit(found)
            found = commit.parents[0] if commit is not None and commit.parents else None
        return None

    def _fine(self, commit_id: str, key: str) -> bool:
        """Whether a revision compiles."""
        if key not in self._compiles:
            kept = self._kept(f"compiles {key}")
            if type(kept) is bool:
                self._compiles[key] = kept
            else:
                self._know(key, self._opened(commit_id, key))
        return self._compiles[key]

    def _know(self, key: str, opened: Opened) -> None:
        """Remember whether a revision compiles."""
        self._compiles[key] = not opened.mistakes
        if key and _is_whole(opened):
            self._put(f"compiles {key}", self._compiles[key])

    def _entry(self, against: str | None, commit_id: str, key: str) -> Entry:
        before = self._reader.key(against) if against is not None else ""
        name = _question(before, key)
        found = self._known(before, key)
        if found is None:
            found, whole = self._worked_out(against, commit_id, key)
            if key and whole:
                self._put(name, found.to_plain())
            if not whole:
                self._partial.add(commit_id)
        self._entries[name] = found
        return found

    def _known(self, before: str, key: str) -> Entry | None:
        """The entry of two revisions, if it was worked out in this run or in one before it."""
        name = _question(before, key)
        found = self._entries.get(name)
        if found is None and key:
            found = Entry.from_plain(self._kept(name))
            if found is not None:
                self._entries[name] = found
                self._compiles.setdefault(key, found.kind != BROKEN)
        return found

    def _worked_out(self, against: str | None, commit_id: str, key: str) -> tuple[Entry, bool]:
        """The entry, and whether all that it was worked out of is here; what is not may be fetched later."""
        entry = self._in_part(against, commit_id) if against is not None else None
        if entry is not None:
            self._compiles[key] = True
            self._put(f"compiles {key}", True)
            return entry, True
        before = self._opened(against, self._reader.key(against)) if against is not None else None
        after = self._opened(commit_id, key)
        if before is not None and before.mistakes:  # both sides have the same files, and these do not compile
            before = None
        entry = entry_of(before, after)
        self._know(key, after)
        if after.circuit is not None:
            after.circuit.state(None)
            after.circuit.base = None  # else every revision would hold on to all before it
        return entry, _is_whole(after)

    def _in_part(self, against: str, commit_id: str) -> Entry | None:
        """The entry of two revisions of which only a part has to be opened; None where they must be opened whole."""
        if not self._compiles.get(self._reader.key(against)):
            return None
        sides = self._reader.key(against), self._reader.key(commit_id)
        if sides in self._ahead:
            return self._ahead.pop(sides)
        parts = self._parts.between(self._files(against), self._files(commit_id))
        if parts is None:
            return None
        if not parts[0].texts:
            return SAME_TEXT
        before = Opened(parts[0], against, None, self._latest_part)
        return self._beside(before, parts[1], commit_id)[1]

    def _files(self, commit_id: str) -> Files:
        """The files of a commit; those asked for last are remembered."""
        key = self._reader.key(commit_id) or commit_id
        found = self._read.get(key)
        if found is None:
            found = self._read[key] = self._reader.files(commit_id)
            if len(self._read) > KEPT_OPEN:
                self._read.popitem(last=False)
        return found

    def _opened(self, commit_id: str, key: str) -> Opened:
        """A revision opened, made of the latest one opened."""
        found = self._open.get(key) if key else None
        if found is not None:
            self._open.move_to_end(key)
        else:
            found = Opened(self._files(commit_id), commit_id, None, self._latest)
            self._open[key] = found
            if len(self._open) > KEPT_OPEN:
                self._open.popitem(last=False)
        if found.circuit is not None:
            self._latest = found
        return found

    def _kept(self, key: str) -> object | None:
        return self._keep.get(key) if self._keep is not None else None

    def _put(self, key: str, plain: object) -> None:
        if self._keep is not None:
            self._keep.put(key, plain)


def _is_whole(opened: Opened) -> bool:
    """Whether all of a revision is in this copy of the repository."""
    return all(mistake.id != _NOT_HERE for mistake in opened.mistakes)
