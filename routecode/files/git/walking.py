"""Many revisions read one after another, out of one open `cat-file --batch`: what two of them share is handed over once.

A revision is asked for by its commit. Its key names the wiring files and nothing else: same key, same names and bytes. What the files
are is decided as for a single revision (`reading`), which also reads whatever is not as it mostly is.
"""

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from routecode.files import tree
from routecode.files.git import history
from routecode.files.git.objects import (
    FILE,
    FOLDER,
    PROGRAM,
    Commit,
    Entry,
    RawEntry,
    raw_entries,
    read_commit,
    tree_of,
)
from routecode.files.git.process import Objects, blob_id, objects
from routecode.files.git.reading import files_of
from routecode.files.tree import Files

_FOLDER = FOLDER.encode()
_PLAIN = (FILE.encode(), PROGRAM.encode())
_KEPT = 512
"""Trees that are remembered."""
_DEEPEST = 100

Listing = dict[bytes, tuple[bytes, bytes]]
"""Name -> mode and id, of one tree."""


class Walker:
    """Reads revisions of one studio. Ask for those that are alike one after another."""

    def __init__(self, top: Path, head: str | None, studio: str, reader: Objects) -> None:
        self._top, self._head, self._studio = top, head, studio
        self._reader = reader
        self._path = [part.encode("utf-8", errors="surrogateescape") for part in studio.split("/") if part]
        self._commits: dict[str, Commit] = {}
        self._trees: dict[str, str | None] = {}
        self._listings: dict[str, Listing] = {}
        self._keys: dict[str, str] = {}
        self._last: tuple[str, Files, bool] | None = None
        """The last revision read: its tree, its files, and whether all of them are plain files."""
        self._blobs: dict[str, bytes] = {}

    def commits(self) -> Iterator[Commit]:
        """The commits back from HEAD that touched the wiring, newest first: those that numbers mean."""
        return history.log(self._top, self._head, self._studio, None) if self._head else iter(())

    def commit(self, commit_id: str) -> Commit | None:
        """A commit; None where it is not in this copy of the repository."""
        return self._commits.get(commit_id) if self._tree(commit_id) is not None or commit_id in self._commits else None

    def key(self, commit_id: str) -> str:
        """What the wiring files of a commit are known by; empty where the commit is not here or has none."""
        tree_id = self._tree(commit_id)
        return self._key(tree_id, _DEEPEST) if tree_id else ""

    def files(self, commit_id: str) -> Files:
        """The wiring files of a commit, as `Repository.read` gives them."""
        tree_id = self._tree(commit_id)
        if tree_id is None:
            return Files(self._studio, {}, (tree.missing_studio(f"the commit {commit_id[:12]}"),))
        files = self._again(tree_id)
        if files is None:
            files = self._whole(tree_id, commit_id)
        return files

    def says(self, commit_id: str, texts: dict[str, bytes]) -> bool:
        """Whether the wiring files of a commit are these, byte for byte; found out by their ids, without reading them.

        False where that cannot be seen from ids alone.
        """
        tree_id = self._tree(commit_id)
        if tree_id is None or tree.STUDIO not in texts:
            return False
        ids = {entry.name: entry.id for entry in self._entries(tree_id) if entry.mode in (FILE, PROGRAM)}
        names = [name.decode("utf-8", errors="replace") for name in ids]
        if tree.select(names, tree.skips(texts[tree.STUDIO])) != sorted(texts):
            return False
        return all(ids.get(name.encode()) == blob_id(text, len(tree_id)) for name, text in texts.items())

    # -- trees ----------------------------------------------------------------------------------------------------------

    def _tree(self, commit_id: str) -> str | None:
        """The tree of the studio's folder in a commit."""
        if commit_id not in self._trees:
            found = self._reader.get(commit_id)
            tree_id: str | None = None
            if found is not None and found.kind == "commit":
                self._commits[commit_id] = read_commit(commit_id, found.data)
                tree_id = tree_of(found.data)
            for part in self._path:
                mode, raw_id = self._listing(tree_id).get(part, (b"", b"")) if tree_id else (b"", b"")
                tree_id = raw_id.hex() if mode == _FOLDER else None
            self._trees[commit_id] = tree_id
        return self._trees[commit_id]

    def _listing(self, tree_id: str) -> Listing:
        found = self._listings.get(tree_id)
        if found is None:
            got = self._reader.get(tree_id)
            raw = raw_entries(got.data, len(tree_id) // 2) if got and got.kind == "tree" else frozenset[RawEntry]()
            found = {name: (mode, raw_id) for mode, name, raw_id in raw}
            if len(self._listings) >= _KEPT:
                self._listings.pop(next(iter(self._listings)))
            self._listings[tree_id] = found
        return found

    def _key(self, tree_id: str, depth: int) -> str:
        """A digest of the names, modes and ids of what may be wiring in a tree, folder by folder; empty where there is nothing.

        Below `depth` folders it is the tree itself, whatever is in it.
        """
        if not depth:
            return tree_id
        key = self._keys.get(tree_id)
        if key is None and all(map(_is_wiring, self._listing(tree_id).items())):
            key = self._keys[tree_id] = tree_id if self._listing(tree_id) else ""
        if key is None:
            parts = []
            for name, (mode, raw_id) in sorted(self._listing(tree_id).items()):
                if name.startswith(b"."):
                    continue
                inner = self._key(raw_id.hex(), depth - 1).encode() if mode == _FOLDER else raw_id
                if inner and (mode == _FOLDER or name.endswith(b".toml") or mode not in _PLAIN):
                    parts.append(b"%b %d %b %b" % (mode, len(name), name, inner))
            key = hashlib.sha256(b"\0".join(parts)).hexdigest() if parts else ""
            self._keys[tree_id] = key
        return key

    # -- files ----------------------------------------------------------------------------------------------------------

    def _again(self, tree_id: str) -> Files | None:
        """The files as those read last with the differing ones put in; None where more than the text of plain files differs."""
        if self._last is None or not self._last[2]:
            return None
        before, files, _ = self._last
        texts = dict(files.texts)
        changed = self._changed(before, tree_id)
        if changed is None:
            return None
        total = 0
        for name, object_id in changed.items():
            if name not in texts or name == tree.STUDIO:
                return None
            data = self._blob(object_id)
            if data is None:
                return None
            total += len(data) - len(texts[name])
            texts[name] = data
        if total > 0 and sum(map(len, texts.values())) > tree.MAX_BYTES:
            return None
        found = Files(files.root, texts, ())
        self._last = (tree_id, found, True)
        return found

    def _changed(self, before: str, after: str) -> dict[str, str] | None:
        """Path -> id of the plain wiring files that differ; None where names or modes do, or a name is not UTF-8."""
        found: dict[str, str] = {}
        pending = [("", before, after)]
        while pending:
            above, one, other = pending.pop()
            if one == other:
                continue
            was, now = self._listing(one), self._listing(other)
            for name, _ in was.items() ^ now.items():
                old, new = was.get(name), now.get(name)
                if name.startswith(b"."):
                    continue
                if old is None or new is None or old[0] != new[0]:
                    if name.endswith(b".toml") or any(each and each[0] not in _PLAIN for each in (old, new)):
                        return None
                    continue
                if new[0] == _FOLDER:
                    pending.append((f"{above}{name.decode('utf-8', errors='replace')}/", old[1].hex(), new[1].hex()))
                elif new[0] not in _PLAIN:
                    return None
                elif name.endswith(b".toml"):
                    try:
                        found[above + name.decode()] = new[1].hex()
                    except UnicodeDecodeError:
                        return None
        return found

    def _blob(self, object_id: str) -> bytes | None:
        found = self._reader.get(object_id)
        return found.data if found is not None and found.kind == "blob" else None

    def _whole(self, tree_id: str, commit_id: str) -> Files:
        entries = list(self._entries(tree_id))
        files, self._blobs = files_of(self._reader, self._studio, commit_id, entries, self._blobs)
        plain = all(entry.mode in (FILE, PROGRAM) for entry in entries) and not files.mistakes
        self._last = (tree_id, files, plain)
        return files

    def _entries(self, tree_id: str) -> Iterator[Entry]:
        """Everything below a tree, as `ls-tree -r` lists it."""
        pending = [(b"", tree_id)]
        while pending:
            above, one = pending.pop()
            for name, (mode, raw_id) in sorted(self._listing(one).items()):
                if mode == _FOLDER:
                    pending.append((above + name + b"/", raw_id.hex()))
                else:
                    yield Entry(mode.decode("ascii", errors="replace"), raw_id.hex(), above + name)


def _is_wiring(entry: tuple[bytes, tuple[bytes, bytes]]) -> bool:
    """Whether an entry of a tree is a plain wiring file; a tree of nothing else is known by its own id."""
    name, (mode, _) = entry
    return name.endswith(b".toml") and mode in _PLAIN and not name.startswith(b".")


@contextmanager
def walking(top: Path, head: str | None, studio: str) -> Iterator[Walker]:
    """An open walker over the history back from the commit `head` (None: nothing is recorded yet)."""
    with objects(top) as reader:
        yield Walker(top, head, studio, reader)
