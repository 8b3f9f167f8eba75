"""A studio's files at a commit: chosen by the same rules as in a work tree, links followed within the commit only."""

import os
import posixpath
from collections.abc import Sequence
from pathlib import Path

from routecode.files import tree
from routecode.files.git.listing import listing, unlisted
from routecode.files.git.objects import FOLDER, LINK, MODULE, Entry, raw_entries, tree_of
from routecode.files.git.process import Objects, objects, run, said
from routecode.files.hostile import MAX_BYTES
from routecode.files.tree import Files
from routecode.ground.finding import Mistake
from routecode.ground.place import Spot

_FOLDER = FOLDER.encode()
_MAX_HOPS = 10
_MAX_LINK = 4096
_ANEW = "Copy the repository anew from where it is whole, or look at it with: git fsck"
_ALL_OF_IT = "Fetch the rest of it yourself: git fetch --refetch --no-filter"


def read_files(top: Path, commit_id: str, studio: str, known: dict[str, bytes] | None = None) -> Files:
    """The files below `studio` in a commit. What cannot be read is in `mistakes`.

    `known`: texts by the id of their object, from an earlier read; afterwards it holds those of this one.
    """
    with objects(top) as reader:
        called = f"the commit {commit_id[:12]}"
        tree_id = _studio_tree(reader, commit_id, studio)
        if tree_id is None:
            told = unlisted(called) if reader.damaged else tree.missing_studio(called)
            return Files(studio, {}, (told,))
        entries = listing(reader, tree_id, called)
        if isinstance(entries, Mistake):
            return Files(studio, {}, (entries,))
        reading = _Reading(reader, studio, commit_id, entries, known or {})
        files = reading.files()
    if known is not None:
        known.clear()
        known.update(reading.read)
    return files


def files_of(
    reader: Objects, studio: str, commit_id: str, entries: list[Entry], known: dict[str, bytes]
) -> tuple[Files, dict[str, bytes]]:
    """The files of a listing of the studio's folder, and their texts by the id of their object; `known`: texts of an earlier read."""
    reading = _Reading(reader, studio, commit_id, entries, known)
    return reading.files(), reading.read


def read_staged(top: Path, studio: str) -> Files:
    """The files below `studio` as they are staged for the next commit. What cannot be read is in `mistakes`."""
    index = os.environ.get("GIT_INDEX_FILE")  # `git commit --all` tells its hooks of another index by it
    done = run(top, "ls-files", "--stage", "-z", "--full-name", more={"GIT_INDEX_FILE": index} if index else None)
    if done.status:
        told = Mistake(
            "git-failed", "What is staged cannot be listed.", why=said(done.complaint), do="Look at it: git status"
        )
        return Files(studio, {}, (told,))
    below = f"{studio}/".encode("utf-8", errors="surrogateescape") if studio else b""
    entries, torn = [], False
    for line in done.out.split(b"\0")[:-1]:
        facts, _, name = line.partition(b"\t")
        mode, object_id, stage = facts.split(b" ")
        if name.startswith(below):
            torn = torn or stage != b"0"
            entries.append(Entry(mode.decode().lstrip("0"), object_id.decode(), name[len(below) :]))
    if torn:
        told = Mistake(
            "half-done", "A merge is half done: some files stand in several versions.", do="Finish it first: git status"
        )
        return Files(studio, {}, (told,))
    with objects(top) as reader:
        return _Reading(reader, studio, "staged", entries, {}).files()


def _studio_tree(reader: Objects, commit_id: str, studio: str) -> str | None:
    found = reader.get(commit_id)
    tree_id = tree_of(found.data) if found else None
    for part in studio.encode("utf-8", errors="surrogateescape").split(b"/") if studio else ():
        found = reader.get(tree_id) if tree_id else None
        entries = raw_entries(found.data, len(tree_id) // 2) if found and tree_id else ()
        tree_id = next((raw_id.hex() for mode, name, raw_id in entries if (mode, name) == (_FOLDER, part)), None)
    return tree_id


class _Reading:
    """One listing on its way to be files."""

    def __init__(
        self, reader: Objects, studio: str, commit_id: str, entries: list[Entry], known: dict[str, bytes]
    ) -> None:
        self._reader = reader
        self._known = known
        self.read: dict[str, bytes] = {}
        """Texts by the id of their object."""
        self._studio = studio
        self._commit_id = commit_id
        self._mistakes: list[Mistake] = []
        self._entries: dict[str, Entry] = {}
        for entry in entries:
            try:
                self._entries[entry.name.decode()] = entry
            except UnicodeDecodeError:
                if entry.name.endswith(b".toml"):
                    self._mistakes.append(tree.name_not_utf8(entry.name))

    def files(self) -> Files:
        """What belongs to the studio."""
        if tree.STUDIO not in self._entries:
            return self._result({}, (), [tree.missing_studio(f"the commit {self._commit_id[:12]}", self._entries)])
        head = self._blob(self._target(tree.STUDIO))
        skip = tree.skips(head) if head is not None else ()
        modules = [name for name, entry in self._entries.items() if entry.mode == MODULE]
        chosen = tree.select((name for name in self._entries if name not in modules), skip)
        self._mistakes += [tree.inner_repository(name) for name in modules if not tree.is_hidden(name)]
        self._mistakes += tree.conflict_copies(chosen)
        if len(chosen) > tree.MAX_FILES:
            return self._result({}, skip, [tree.too_many_files(len(chosen))])
        texts: dict[str, bytes] = {}
        total = 0
        for name, target in self._targets(chosen).items():
            data = self._blob(target)
            if data is None:
                self._mistakes.append(self._missing(name))
                continue
            texts[name] = data
            total += len(data)
            if total > tree.MAX_BYTES:
                return self._result({}, skip, [tree.too_many_bytes()])
        return self._result(texts, skip, [])

    def _result(self, texts: dict[str, bytes], skip: Sequence[str], mistakes: list[Mistake]) -> Files:
        told = tree.in_order([*tree.without_skipped(self._mistakes, skip), *mistakes])
        return Files(self._studio, dict(sorted(texts.items())), told)

    def _targets(self, chosen: list[str]) -> dict[str, str]:
        """For each name the name of the file it stands for; each file once, under its own name first."""
        targets = {name: name for name in chosen if self._entries[name].mode != LINK}
        for name in chosen:
            if self._entries[name].mode == LINK:
                target = self._target(name)
                if target is None:
                    self._mistakes.append(tree.outside_link(name, self._link_text(name)))
                elif target not in targets.values():
                    targets[name] = target
        return targets

    def _target(self, name: str) -> str | None:
        """The file at the end of a chain of links; None when the chain leaves the studio or does not end."""
        for _ in range(_MAX_HOPS):
            entry = self._entries.get(name)
            if entry is None or entry.mode == MODULE:
                return None
            if entry.mode != LINK:
                return name
            name = posixpath.normpath(posixpath.join(posixpath.dirname(name), self._link_text(name)))
        return None

    def _link_text(self, name: str) -> str:
        found = self._reader.get(self._entries[name].id, _MAX_LINK)
        return found.data.decode("utf-8", errors="replace") if found else ""

    def _blob(self, name: str | None) -> bytes | None:
        if name is None:
            return None
        object_id = self._entries[name].id
        data = self._known.get(object_id)
        if data is None:
            found = self._reader.get(object_id, MAX_BYTES + 1)
            if found is None or found.kind != "blob":
                return None
            data = found.data
        self.read[object_id] = data
        return data

    def _missing(self, name: str) -> Mistake:
        called = "that is staged" if self._commit_id == "staged" else f"at the commit {self._commit_id[:12]}"
        text = f'The text of "{name}" {called} '
        if is_partial(self._reader.folder):
            why = "The copy is partial, and nothing is fetched without being asked for."
            told = f"{text}is not in this copy of the repository."
            return Mistake("object-missing", told, Spot(name, 1, 1), why=why, do=_ALL_OF_IT)
        if self._entries[name].id in self._reader.damaged:
            told, why = f"{text}is damaged in this copy of the repository.", "It is not what its id says."
        else:
            told, why = (
                f"{text}is missing or damaged in this copy of the repository.",
                "An object of git's is lost or unreadable.",
            )
        return Mistake("object-missing", told, Spot(name, 1, 1), why=why, do=_ANEW)


def is_partial(top: Path) -> bool:
    """Whether a repository was copied without all of its objects, the rest being promised by a remote."""
    asked_for = r"^(remote\..*\.promisor|extensions\.partialclone)$"
    return run(top, "config", "--name-only", "--get-regexp", asked_for).status == 0
