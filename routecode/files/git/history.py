"""Which commits touched the wiring: an own comparison of trees, since git's may run programs a repository names."""

from collections.abc import Iterator
from pathlib import Path

from routecode.files.git.objects import FOLDER, Commit, Entry, read_commit, read_tree, tree_of
from routecode.files.git.process import Objects, lines, objects


def log(top: Path, start: str, studio: str, limit: int | None) -> Iterator[Commit]:
    """From the commit `start` back: the commits that changed a `*.toml` below `studio`, newest first, at most `limit`.

    A merge counts when it differs from each of its parents.
    """
    given = 0
    with objects(top) as reader:
        trees = _Trees(reader, studio)
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


class _Trees:
    """Trees by id, with what is known of them."""

    def __init__(self, reader: Objects, studio: str) -> None:
        self._reader = reader
        self._studio = [part.encode("utf-8", errors="surrogateescape") for part in studio.split("/") if part]
        self._of_commit: dict[str, str | None] = {}

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
            entry = self._entries(tree).get(part)
            tree = entry.id if entry and entry.mode == FOLDER else None
        return tree

    def differ(self, here: str | None, before: str | None) -> bool:
        """Whether a wiring file differs between two trees."""
        pending = [(here, before)]
        while pending:
            one, other = pending.pop()
            if one == other:
                continue
            these, those = self._entries(one), self._entries(other)
            for name in these.keys() | those.keys():
                this, that = these.get(name), those.get(name)
                if this == that or name.startswith(b"."):
                    continue
                if name.endswith(b".toml") and (_is_file(this) or _is_file(that)):
                    return True
                pending.append((_folder(this), _folder(that)))
        return False

    def _entries(self, tree: str | None) -> dict[bytes, Entry]:
        found = self._reader.get(tree) if tree else None
        if not tree or found is None or found.kind != "tree":
            return {}
        return {entry.name: entry for entry in read_tree(found.data, len(tree) // 2)}


def _is_file(entry: Entry | None) -> bool:
    return entry is not None and entry.mode != FOLDER


def _folder(entry: Entry | None) -> str | None:
    return entry.id if entry and entry.mode == FOLDER else None
