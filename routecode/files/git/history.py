"""Which commits touched the wiring: an own comparison of trees, since git's may run programs a repository names."""

from collections import OrderedDict
from collections.abc import Iterable, Iterator
from pathlib import Path

from routecode.files.git.objects import FOLDER, Commit, RawEntry, raw_entries, read_commit, tree_of
from routecode.files.git.process import Objects, lines, objects

_FOLDER = FOLDER.encode()
_KEPT = 128  # trees


def log(top: Path, start: str, studio: str, limit: int | None) -> Iterator[Commit]:
    """From the commit `start` back: the commits that changed a `*.toml` below `studio`, newest first, at most `limit`.

    A merge counts when it differs from each of its parents.
    """
    given = 0
    with objects(top) as reader:
        trees = Trees(reader, studio)
        for commit_id in lines(top, "rev-list", "--date-order", start):
            if limit is not None and given >= limit:
                return
            found = reader.get(commit_id)
            if found is None or found.kind != "commit":
                return
            commit = read_commit(commit_id, found.data)
            here = trees.of(found.data)
            befores = [trees.of_commit(parent) for parent in commit.parents]
            if all(trees.differ(here, before) for before in befores or [None]):
                given += 1
                yield commit


class Trees:
    """Trees by id; the latest are kept, since each is compared twice: with the one before it and the one after it."""

    def __init__(self, reader: Objects, studio: str) -> None:
        self._reader = reader
        self._studio = [part.encode("utf-8", errors="surrogateescape") for part in studio.split("/") if part]
        self._of_commit: dict[str, str | None] = {}
        self._kept: OrderedDict[str, frozenset[RawEntry]] = OrderedDict()

    def of_commit(self, commit_id: str) -> str | None:
        """The studio's tree in a commit; None when the commit or the folder is not there."""
        if commit_id not in self._of_commit:
            found = self._reader.get(commit_id)
            self._of_commit[commit_id] = self.of(found.data) if found and found.kind == "commit" else None
        return self._of_commit[commit_id]

    def of(self, commit: bytes) -> str | None:
        """The studio's tree in a commit object."""
        tree: str | None = tree_of(commit)
        for part in self._studio:
            below = (raw_id for mode, name, raw_id in self._entries(tree) if name == part and mode == _FOLDER)
            tree = next((raw_id.hex() for raw_id in below), None)
        return tree

    def differ(self, here: str | None, before: str | None) -> bool:
        """Whether a wiring file differs between two trees."""
        pending, seen = [(here, before)], set()
        while pending:
            one, other = pending.pop()
            if one == other or (one, other) in seen:  # a few trees that name each other often stand for very many paths
                continue
            seen.add((one, other))
            these, those = self._entries(one), self._entries(other)
            gone, come = _by_name(those - these), _by_name(these - those)
            for name in gone.keys() | come.keys():
                this, that = come.get(name), gone.get(name)
                if name.startswith(b"."):
                    continue
                if name.endswith(b".toml") and (_is_file(this) or _is_file(that)):
                    return True
                pending.append((_folder(this), _folder(that)))
        return False

    def _entries(self, tree: str | None) -> frozenset[RawEntry]:
        if not tree:
            return frozenset()
        if tree in self._kept:
            self._kept.move_to_end(tree)
            return self._kept[tree]
        found = self._reader.get(tree)
        entries = raw_entries(found.data, len(tree) // 2) if found and found.kind == "tree" else frozenset()
        self._kept[tree] = entries
        if len(self._kept) > _KEPT:
            self._kept.popitem(last=False)
        return entries


def _by_name(entries: Iterable[RawEntry]) -> dict[bytes, RawEntry]:
    return {entry[1]: entry for entry in entries}


def _is_file(entry: RawEntry | None) -> bool:
    return entry is not None and entry[0] != _FOLDER


def _folder(entry: RawEntry | None) -> str | None:
    return entry[2].hex() if entry and entry[0] == _FOLDER else None
