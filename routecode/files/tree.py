"""Which files belong to a studio, and their bytes: read from a folder here, chosen by name for revisions too.

Reads bytes and judges names and links; what stands in the files is not looked at, except for `skip` in `studio.toml`.
"""

import os
import re
import stat
from collections.abc import Iterable, Sequence
from fnmatch import fnmatchcase
from pathlib import Path
from typing import NamedTuple

from routecode.files.hostile import MAX_BYTES as MAX_FILE_BYTES
from routecode.files.toml import parse
from routecode.ground.finding import Mistake
from routecode.ground.place import Spot

STUDIO = "studio.toml"
MAX_FILES = 20_000
MAX_BYTES = 64 * 1024 * 1024
MAX_SKIPS = 200
_CONFLICT = re.compile(
    r"(?i)\([^()/]*\bconflict(?:ed|s)?\b[^()/]*\)|[ ._-]sync-conflict-\d|\bconflicted copy\b|[ ._-]conflict[ ._-]\d{4}"
)


class Files(NamedTuple):
    """The files of a studio: `root` names the folder, `texts` maps posix paths below it to bytes, sorted by path."""

    root: str
    texts: dict[str, bytes]
    mistakes: tuple[Mistake, ...]


def find_root(start: Path) -> Path | Mistake:
    """The nearest folder from `start` upward that has a `studio.toml`."""
    try:
        here = start.resolve()
        for folder in (here, *here.parents):
            if (folder / STUDIO).is_file():
                return folder
    except (OSError, RuntimeError) as error:
        return Mistake("folder-unreadable", f"The folder {start} cannot be read: {_reason(error)}.")
    return Mistake(
        "no-studio",
        f"There is no {STUDIO} in {here} or in any folder above it.",
        do="Go to the folder of your studio, or make a new one: routecode new my-studio",
    )


def read_worktree(root: Path) -> Files:
    """Every file of the studio in the folder `root`. Never raises; what could not be read is in `mistakes`, sorted."""
    walk = _Walk(root)
    mistakes = walk.mistakes
    if STUDIO not in walk.names:
        return Files(str(root), {}, in_order([*mistakes, missing_studio(str(root), walk.names)]))
    head = _read(walk.root, STUDIO, mistakes)
    skip = skips(head) if head is not None else ()
    chosen = select(walk.names, skip)
    mistakes = [*without_skipped(mistakes, skip), *conflict_copies(chosen)]
    if len(chosen) > MAX_FILES:
        return Files(str(root), {}, in_order([*mistakes, too_many_files(len(chosen))]))
    texts: dict[str, bytes] = {}
    total = 0
    for name in chosen:
        data = head if name == STUDIO else _read(walk.root, name, mistakes)
        if data is not None:
            texts[name] = data
            total += len(data)
        if total > MAX_BYTES:
            return Files(str(root), {}, in_order([*mistakes, too_many_bytes()]))
    return Files(str(root), texts, in_order(mistakes))


def select(names: Iterable[str], skip: Sequence[str]) -> list[str]:
    """The names that belong to the studio at the top of `names` (posix paths below it), sorted.

    Left out: what is not `*.toml`, hidden files and folders, folders that are studios of their own, and `skip` globs
    (`old/*`, `**/draft.toml`; a glob that names a folder leaves out everything in it).
    """
    wiring = [name for name in names if name.endswith(".toml") and not is_hidden(name)]
    others = tuple(sorted({name[: -len(STUDIO)] for name in wiring if name.endswith("/" + STUDIO)}))
    patterns = _patterns(skip)
    return sorted(
        name
        for name in set(wiring)
        if not name.startswith(others)
        and (name == STUDIO or not any(_is_skipped(name, pattern) for pattern in patterns))
    )


def without_skipped(mistakes: Iterable[Mistake], skip: Sequence[str]) -> list[Mistake]:
    """The mistakes about files that the studio does not leave out."""
    patterns = _patterns(skip)
    return [
        mistake
        for mistake in mistakes
        if mistake.place is None or not any(_is_skipped(mistake.place.file, pattern) for pattern in patterns)
    ]


def skips(studio_toml: bytes) -> tuple[str, ...]:
    """The globs of `[studio] skip`; none when the file is unreadable or `skip` is wrong (the language says so)."""
    table = parse(STUDIO, studio_toml).table or {}
    studio = table.get("studio")
    given = studio.get("skip", ()) if isinstance(studio, dict) else ()
    given = [given] if isinstance(given, str) else given
    return tuple(text for text in given if isinstance(text, str))[:MAX_SKIPS] if isinstance(given, list) else ()


def conflict_copies(names: Iterable[str]) -> list[Mistake]:
    """Wiring files that look like the second copy a synchronised folder makes when two machines saved at once."""
    return [
        Mistake(
            "conflict-copy",
            f'"{name}" looks like a copy that a synchronised folder made when two people saved at once.',
            Spot(name, 1, 1),
            why="Its wiring would be counted a second time.",
            do="Compare the two files, keep what is right in one of them, and delete the other.",
        )
        for name in sorted(names)
        if _CONFLICT.search(name)
    ]


def missing_studio(where: str, names: Iterable[str] = ()) -> Mistake:
    """There is no studio.toml where one was expected; `names` are the files that are there."""
    for name in sorted(names):
        if name.lower() == STUDIO:
            said = f'The file "{name}" must be called "{STUDIO}", in small letters.'
            return Mistake("no-studio", said, Spot(name, 1, 1), do=f"Rename it to {STUDIO}.")
    said = f"There is no {STUDIO} in {where}."
    return Mistake("no-studio", said, do="Name the folder of a studio, or make a new one: routecode new my-studio")


def outside_link(name: str, target: str) -> Mistake:
    """A symbolic link that leads out of the studio, or in a revision any link."""
    return Mistake(
        "link-outside",
        f'"{name}" is a link to "{target}", which is not inside the studio.',
        Spot(name, 1, 1),
        why="A studio is read only from its own folder, so that a revision holds all of it.",
        do="Put the file itself there, or leave the link out with skip in the [studio] table.",
    )


def inner_repository(name: str) -> Mistake:
    """A folder that is a repository of its own (a submodule): its files are in no revision of this one."""
    return Mistake(
        "repository-inside",
        f'"{name}" is a git repository of its own inside the studio.',
        Spot(name, 1, 1),
        why="Its files are not part of the revisions of this one.",
        do="Put the files themselves there, or leave the folder out with skip in the [studio] table.",
    )


def name_not_utf8(name: bytes) -> Mistake:
    """A file whose name is not UTF-8: it cannot be named in any answer."""
    shown = name.decode("utf-8", errors="backslashreplace")
    return Mistake("name-not-utf8", f'The file name "{shown}" is not UTF-8.', do="Rename the file.")


def too_many_files(count: int) -> Mistake:
    """The limit on the number of files."""
    return Mistake("too-many-files", f"The studio has {count:,} files; at most {MAX_FILES:,} are read.", do=_FEWER)


def too_many_entries(called: str, most: int) -> Mistake:
    """The limit on what is listed at all, wiring or not."""
    told = f"There are more than {most:,} files of any kind below the studio in {called}."
    return Mistake("too-many-files", told, do="Keep the studio in a folder of its own.")


def too_many_bytes() -> Mistake:
    """The limit on the size of everything."""
    return Mistake("studio-too-large", f"The files of the studio have more than {MAX_BYTES // 1048576} MB.", do=_FEWER)


_FEWER = "Leave out what is not wiring with skip in the [studio] table."


def in_order(mistakes: Iterable[Mistake]) -> tuple[Mistake, ...]:
    """Mistakes by file, then by kind and words."""
    return tuple(
        sorted(mistakes, key=lambda mistake: (mistake.place.file if mistake.place else "", mistake.id, mistake.text))
    )


def is_hidden(name: str) -> bool:
    """Whether a file, or a folder above it, begins with a dot."""
    return name.startswith(".") or "/." in name


def _patterns(skip: Sequence[str]) -> list[tuple[str, ...]]:
    return [tuple(pattern.strip("/").split("/")) for pattern in skip if pattern.strip("/")]


def _is_skipped(name: str, pattern: tuple[str, ...]) -> bool:
    """Whether a glob names this file or a folder above it: `*`, `?`, `[ab]` stay within a part, `**` is any number."""
    reached = {0}
    for part in name.split("/"):
        reached |= {at + 1 for at in reached if at < len(pattern) and pattern[at] == "**"}
        if len(pattern) in reached:
            return True
        reached = {
            at + (pattern[at] != "**") for at in reached if pattern[at] == "**" or fnmatchcase(part, pattern[at])
        }
        if len(pattern) in reached:
            return True
    return False


class _Walk:
    """One walk over a work tree: real folders first, then links, each folder and file once."""

    def __init__(self, root: Path) -> None:
        self.root = root.resolve()
        self.names: list[str] = []
        self.mistakes: list[Mistake] = []
        self._seen: set[Path] = set()
        self._links: list[str] = []
        self._folder("", self.root)
        while self._links:
            links, self._links = sorted(self._links), []
            for name in links:
                self._link(name)

    def _folder(self, top: str, real_top: Path) -> None:
        pending = [(top, real_top)]
        while pending:
            name, real = pending.pop()
            if real in self._seen:
                continue
            self._seen.add(real)
            entries = self._entries(name, real)
            if name and any(entry.name == ".git" for entry in entries):
                self.mistakes.append(inner_repository(name))
                continue
            if name and any(entry.name == STUDIO for entry in entries):
                continue  # a studio of its own
            for entry in entries:
                below = f"{name}/{entry.name}" if name else entry.name
                if entry.name.startswith("."):
                    continue
                if entry.is_symlink():
                    self._links.append(below)
                elif entry.is_dir(follow_symlinks=False):
                    pending.append((below, real / entry.name))
                elif entry.name.endswith(".toml"):
                    self._file(below, real / entry.name)

    def _entries(self, name: str, real: Path) -> list[os.DirEntry[str]]:
        try:
            with os.scandir(real) as entries:
                return sorted(entries, key=lambda entry: entry.name)
        except OSError as error:
            self.mistakes.append(_unreadable("folder", name or str(self.root), error))
            return []

    def _file(self, name: str, real: Path) -> None:
        if real in self._seen:
            return
        self._seen.add(real)
        try:
            name.encode()
        except UnicodeEncodeError:
            self.mistakes.append(name_not_utf8(os.fsencode(name)))
            return
        self.names.append(name)

    def _link(self, name: str) -> None:
        path = self.root / name
        try:
            real, target = path.resolve(), path.readlink()
            is_folder = real.is_dir()
        except (OSError, RuntimeError) as error:  # RuntimeError: links that lead to each other
            if name.endswith(".toml"):
                self.mistakes.append(_unreadable("file", name, error))
            return
        if not is_folder and not name.endswith(".toml"):
            return
        if not real.is_relative_to(self.root):
            self.mistakes.append(outside_link(name, str(target)))
        elif is_folder:
            self._folder(name, real)
        else:
            self._file(name, real)


def _read(root: Path, name: str, mistakes: list[Mistake]) -> bytes | None:
    path = root / name
    try:
        if not stat.S_ISREG(path.stat().st_mode):  # a pipe would be waited for without end
            said = f'"{name}" is not an ordinary file.'
            mistakes.append(Mistake("file-unreadable", said, Spot(name, 1, 1), do="Remove it or give it another name."))
            return None
        with path.open("rb") as file:
            return file.read(MAX_FILE_BYTES + 1)
    except OSError as error:
        mistakes.append(_unreadable("file", name, error))
        return None


def _unreadable(what: str, name: str, error: BaseException) -> Mistake:
    shown = os.fsencode(name).decode("utf-8", errors="backslashreplace")
    said = f'The {what} "{shown}" cannot be read: {_reason(error)}.'
    return Mistake(f"{what}-unreadable", said, Spot(shown, 1, 1), do="Get the right to read it, or remove it.")


def _reason(error: BaseException) -> str:
    said = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    return said[:1].lower() + said[1:]
