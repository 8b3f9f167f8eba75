"""Recording: the wiring files of a work tree become one commit, and nothing else is touched.

No hook, filter or signing program runs: blobs are stored as they are written in the files, the tree is made in an index
of its own, and the branch is moved only if nobody moved it meanwhile. The user's index is brought up to date for these
paths.
"""

import os
import re
import stat
from collections.abc import Iterable, Sequence
from functools import partial
from hashlib import new
from pathlib import Path
from typing import NamedTuple

from routecode.files.git import revision
from routecode.files.git.index import STEM, Swap
from routecode.files.git.objects import FILE, LINK, PROGRAM
from routecode.files.git.process import Done, run, said
from routecode.files.git.state import Staged, recorded_of, state_of
from routecode.files.leftover import room, surely
from routecode.ground.finding import Mistake

_IDENT = re.compile(r"(.*) <(.*)> \d+ [+-]\d{4}", re.DOTALL)
_ID = re.compile(r"[0-9a-f]{40}|[0-9a-f]{64}")
_LOCK = re.compile(r"'([^'\n]+\.lock)'")
_SHA1 = 40
Who = dict[str, str | None]


class _Change(NamedTuple):
    """A path from the top, and what it becomes: its mode and id; mode `0` where it is deleted."""

    path: str
    mode: str
    id: str


def identity_of(top: Path) -> tuple[str, str] | Mistake:
    """Name and mail address of the author, as git would find them; never guessed from the machine."""
    return _ident(top, "GIT_AUTHOR_IDENT")


def record(top: Path, git_dir: Path, studio: str, files: Sequence[str], message: str) -> str | Mistake:
    """The id of the new commit of `files` (paths below `studio`), or why there is none; then nothing has changed."""
    message = message.strip()
    if not message or "\0" in message:
        do = 'Write: routecode record "what I did"'
        return Mistake("message-missing", "A commit needs a few words on what was done.", do=do)
    hindrance = state_of(top, git_dir, studio, is_shallow=False).hindrance()
    if hindrance is not None:
        return hindrance
    who = _people(top)
    if isinstance(who, Mistake):
        return who
    head, recorded = revision.head_id(top), recorded_of(top)
    changes = recorded if isinstance(recorded, Mistake) else _changes(top, studio, files, recorded)
    if isinstance(changes, Mistake):
        return changes
    return _commit(top, git_dir, head, changes, message, who)


def _ident(top: Path, which: str) -> tuple[str, str] | Mistake:
    done = run(top, "-c", "user.useConfigOnly=true", "var", which, more={"GIT_CONFIG_NOSYSTEM": None})
    match = _IDENT.fullmatch(done.line)
    if done.status == 0 and match:
        return match[1], match[2]
    return Mistake(
        "no-identity",
        "git does not know who records: each commit carries a name and a mail address.",
        do="Tell it once, with your own:\n"
        'git config --global user.name "Your Name"\n'
        'git config --global user.email "you@example.com"',
    )


def _people(top: Path) -> Who | Mistake:
    """The variables that tell git who records."""
    told: Who = {}
    for who in ("AUTHOR", "COMMITTER"):
        ident = _ident(top, f"GIT_{who}_IDENT")
        if isinstance(ident, Mistake):
            return ident
        told[f"GIT_{who}_NAME"], told[f"GIT_{who}_EMAIL"] = ident
    return told


def _changes(top: Path, studio: str, files: Iterable[str], recorded: Staged) -> list[_Change] | Mistake:
    """What becomes different; the blobs are stored on the way."""
    changes: list[_Change] = []
    news: dict[_Change, bytes] = {}
    known = next(iter(recorded.values()), None)
    id_length = len(known[1] if known else run(top, "hash-object", "--stdin").line)
    for name in sorted(set(files)):
        path = f"{studio}/{name}" if studio else name
        if not _is_plain(top, path):
            said = f'"{name}" cannot be recorded: the way to it leads through a link, or out of the studio.'
            return Mistake("file-outside", said, do="Record the folder it is really in.")
        before = recorded.get(path)
        try:
            now = _content(top / path)
        except OSError as error:
            return Mistake("file-unreadable", f'The file "{name}" cannot be read: {error.strerror}.')
        if now is None:
            if before is not None:
                changes.append(_Change(path, "0", "0" * id_length))
            continue
        mode, data = now
        if os.name == "nt" and before is not None and before[0] == PROGRAM:
            mode = PROGRAM  # that file system does not know
        change = _Change(path, mode, _blob_id(data, id_length))
        changes.append(change)
        if before is None or before[1] != change.id:
            news[change] = data
    if all(recorded.get(change.path, ("0", "0" * id_length)) == change[1:] for change in changes):
        return Mistake("nothing-to-record", "Nothing has changed since the last commit.")
    return _store(top, news) or changes


def _store(top: Path, news: dict[_Change, bytes]) -> Mistake | None:
    """Store the blobs: ordinary files by one command that reads them itself, the others one by one."""
    listed = [change for change in news if change.mode != LINK and not change.path.startswith('"') and _is_line(change)]
    paths = b"".join(os.fsencode(change.path) + b"\n" for change in listed)
    done = run(top, "hash-object", "-w", "--no-filters", "--stdin-paths", given=paths)
    if done.status:
        return _failed("store the files", done.complaint)
    if done.line.split() != [change.id for change in listed]:
        return Mistake("file-changed", "A file changed while it was being recorded.", do="Try again.")
    for change in news.keys() - set(listed):
        done = run(top, "hash-object", "-w", "--no-filters", "--stdin", given=news[change])
        if done.status or done.line != change.id:
            return _failed("store a file", done.complaint)
    return None


def _is_line(change: _Change) -> bool:
    return "\n" not in change.path and "\r" not in change.path


def _is_plain(top: Path, path: str) -> bool:
    """Whether a path stays below `top` and leads through real folders only (git records nothing beyond a link)."""
    parts = path.split("/")
    if any(part in ("", ".", "..") or part.lower() == ".git" for part in parts):
        return False
    return not any((top / "/".join(parts[:depth])).is_symlink() for depth in range(1, len(parts)))


def _content(path: Path) -> tuple[str, bytes] | None:
    """Mode and bytes of a file as git would store them; None when there is no such file."""
    try:
        mode = path.lstat().st_mode
    except (FileNotFoundError, NotADirectoryError):
        return None
    if stat.S_ISLNK(mode):
        return LINK, os.fsencode(path.readlink())
    if not stat.S_ISREG(mode):
        return None
    return PROGRAM if mode & stat.S_IXUSR else FILE, path.read_bytes()


def _blob_id(data: bytes, id_length: int) -> str:
    """The id git gives to this content."""
    name = "sha1" if id_length == _SHA1 else "sha256"
    return new(name, b"blob %d\0" % len(data) + data, usedforsecurity=False).hexdigest()


def _commit(
    top: Path, git_dir: Path, head: str | None, changes: list[_Change], message: str, who: Who
) -> str | Mistake:
    """The commit, then the user's index, then the branch: whatever fails, no commit is there and the index is as it was."""
    ordered = sorted(changes, key=lambda change: (change.mode != "0", change.path))  # a folder goes before a file comes
    listing = b"".join(f"{change.mode} {change.id}\t".encode() + os.fsencode(change.path) + b"\0" for change in ordered)
    try:
        with room(git_dir, STEM) as folder:
            tree_id = _tree(top, folder, head, listing)
            if isinstance(tree_id, Mistake):
                return tree_id
            parents = ("-p", head) if head else ()
            made = run(top, "commit-tree", tree_id, *parents, given=message.encode() + b"\n", more=who)
            if made.status or not _ID.fullmatch(made.line):
                return _failed("make the commit", made.complaint)
            swap = Swap(git_dir, folder)
            try:
                return _moved(top, listing, (made.line, head), who, swap)
            finally:
                surely(partial(swap.put_back, partial(is_head, top)))
    except OSError as error:
        return _failed("write into its folder", f"{error.strerror}: {error.filename}")


def _moved(top: Path, listing: bytes, ids: tuple[str, str | None], who: Who, swap: Swap) -> str | Mistake:
    """The index brought up to date and the branch moved; `ids`: the new commit and the one before it."""
    made, head = ids
    swap.begin()
    done = _update_index(top, listing, {"GIT_INDEX_FILE": str(swap.new)})
    if done.status:
        return _failed("update its index", done.complaint)
    if not swap.take(made):
        return _failed("update its index", f"Unable to create '{swap.lock}': File exists.")
    moved = run(top, "update-ref", "-m", "routecode: record", "HEAD", made, head or "0" * len(made), more=who)
    if moved.status and not is_head(top, made):
        return _failed("move the branch", moved.complaint)
    return made


def is_head(top: Path, commit_id: str) -> bool:
    """Whether a commit is the one that is checked out."""
    return revision.head_id(top) == commit_id


def _tree(top: Path, folder: Path, head: str | None, listing: bytes) -> str | Mistake:
    """The tree of `head` with the changes, made in an index of its own in `folder`."""
    own: Who = {"GIT_INDEX_FILE": str(folder / "index")}
    if head is not None:
        done = run(top, "read-tree", head, more=own)
        if done.status:
            return _failed("read the last commit", done.complaint)
    done = _update_index(top, listing, own)
    if done.status:
        return _failed("take in the files", done.complaint)
    done = run(top, "write-tree", "--missing-ok", more=own)  # a partial copy lacks blobs of others
    return done.line if not done.status else _failed("write the tree", done.complaint)


def _update_index(top: Path, listing: bytes, more: Who) -> Done:
    return run(top, "update-index", "--add", "--replace", "-z", "--index-info", given=listing, more=more)


def _failed(what: str, complaint: str) -> Mistake:
    return Mistake(
        "git-failed", f"git could not {what}; nothing was recorded.", why=said(complaint), do=way_out(complaint)
    )


def way_out(complaint: str) -> str:
    """What to do about a git that could not write."""
    lock = _LOCK.search(complaint)
    if lock is not None:
        return f"Another git program is at work here, or was stopped: wait for it, or delete its lock file:\n{lock[1]}"
    if any(words in complaint for words in ("No space left", "File too large", "quota exceeded")):
        return "Make room on the disk, then try again."
    return "Look at the repository with: git status; and with: git fsck"
