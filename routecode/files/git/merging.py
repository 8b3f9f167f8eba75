"""What joining two branches would give as text, worked out away from the repository: nothing of it is touched, nothing that it names runs.

git makes the text itself (`merge-tree`), in an empty repository of our own that borrows the objects: there no configuration
names drivers, filters or hooks, and what is new is written there. Attributes are taken along as git would see them, so that
`merge=union` and its like count; a driver of one's own is a program, and only told. Knows nothing of studios.
"""

import posixpath
import re
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from hashlib import new
from pathlib import Path

from attrs import frozen

from routecode.files.git.conflicts import AWAY, Conflict, conflicts_of, listing, read_listed, text_of
from routecode.files.git.objects import FILE, PROGRAM
from routecode.files.git.process import Done, objects, run, said
from routecode.files.git.reading import read_files
from routecode.files.tree import Files
from routecode.ground.finding import Mistake

_ID = re.compile(r"[0-9a-f]{40}|[0-9a-f]{64}")
_PLAIN_VALUE = re.compile(r"[A-Za-z0-9]{1,20}")
_TAKEN = ("merge.renames", "merge.renamelimit", "merge.directoryrenames", "diff.renames", "diff.renamelimit")
"""Settings by which the text comes out otherwise; none names a program."""
_BUILT_IN = ("text", "binary", "union")
_WHO = b"routecode <> 0 +0000"


@frozen
class Merged:
    """The joined text: the studio's files, what git could not join, and (path, driver) of files for which git would run a program."""

    files: Files
    name: str
    conflicts: tuple[Conflict, ...]
    drivers: tuple[tuple[str, str], ...]


def bases(top: Path, ours: str, theirs: str) -> tuple[str, ...]:
    """The commits at which two commits parted, newest first; several where the branches were joined crosswise before."""
    done = run(top, "merge-base", "--all", ours, theirs)
    found = [line for line in done.line.split("\n") if _ID.fullmatch(line)]
    return tuple(found) if done.status == 0 else ()


def branch(top: Path) -> str | None:
    """The name of the branch that is checked out; None where it is a commit on none."""
    done = run(top, "symbolic-ref", "--quiet", "HEAD")
    return done.line.removeprefix("refs/heads/") if done.status == 0 else None


def count(top: Path, start: str, end: str) -> int:
    """How many commits `end` has that `start` has not."""
    line = run(top, "rev-list", "--count", end, f"^{start}").line
    return int(line) if line.isdecimal() else 0


def merged(top: Path, ours: str, theirs: str, studio: str) -> Merged | Mistake:
    """What `git merge theirs` would make of the commit `ours`."""
    try:
        return _merged(top, ours, theirs, studio)
    except OSError as error:
        told = f"The joined text needs a folder for temporary files, and none can be used: {error.strerror or error}."
        return Mistake("no-temporary-folder", told, do="Make room there, or name another one in TMPDIR.")


def _merged(top: Path, ours: str, theirs: str, studio: str) -> Merged | Mistake:
    with _aside(top, ours) as (folder, settings):
        done = run(folder, *settings, "merge-tree", "-z", "--write-tree", ours, theirs, more=AWAY)
        if done.status not in (0, 1):
            return _not_merged(done)
        listed = read_listed(done.out)
        conflicts = tuple(conflicts_of(folder, listed, (ours, theirs)))
        name = _commit(folder, listed.tree)
        return Merged(read_files(folder, name, studio), name, conflicts, _drivers(top, folder, (ours, theirs)))


def joined_bases(top: Path, found: Sequence[str], studio: str) -> Files | None:
    """The text in which several bases are joined, as git does before it joins the branches; None where that cannot be done."""
    try:
        with _aside(top, found[0]) as (folder, settings):
            one = found[0]
            for other in found[1:]:
                done = run(folder, *settings, "merge-tree", "-z", "--write-tree", one, other, more=AWAY)
                if done.status:
                    return None
                one = _commit(folder, read_listed(done.out).tree, one, other)
            return read_files(folder, one, studio)
    except OSError:
        return None


def _not_merged(done: Done) -> Mistake:
    if "unknown option" in done.complaint or "usage:" in done.complaint:
        return Mistake(
            "git-too-old",
            "This git is too old to join two branches without touching files.",
            do="Install git 2.38 or newer: https://git-scm.com",
        )
    return Mistake(
        "not-merged",
        "git could not work out what joining these branches gives: a part of their history is missing or damaged.",
        why=said(done.complaint),
        do="Fetch what is missing yourself (git fetch), or look at the repository with: git fsck",
    )


# -- aside ---------------------------------------------------------------------------------------------------------------


@contextmanager
def _aside(top: Path, ours: str) -> Iterator[tuple[Path, list[str]]]:
    """An empty repository that borrows all objects, with the attributes of `ours`; and the settings to take along."""
    with tempfile.TemporaryDirectory(prefix="routecode-") as made:
        folder = Path(made).resolve()
        paths = [run(top, "rev-parse", "--git-path", name).line for name in ("objects", "shallow", "info/attributes")]
        borrowed, shallow, attributes = (top / path for path in paths)
        _empty(folder, borrowed, len(ours))
        for source, target in ((shallow, "shallow"), (attributes, "info/attributes")):
            if source.is_file():
                (folder / ".git" / target).write_bytes(source.read_bytes())
        _attributes(folder, ours)
        yield folder, _settings(top)


def _empty(folder: Path, borrowed: Path, id_length: int) -> None:
    """The repository, made by hand: git's own would take templates, which bring hooks."""
    git = folder / ".git"
    for part in ("objects/info", "refs", "info"):
        (git / part).mkdir(parents=True)
    quoted = str(borrowed).replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    line = f'"{quoted}"\n'.encode("utf-8", errors="surrogateescape")
    (git / "objects" / "info" / "alternates").write_bytes(line)
    (git / "HEAD").write_text("ref: refs/heads/main\n", encoding="utf-8")
    of_64 = id_length == 64
    config = f"[core]\n\trepositoryformatversion = {int(of_64)}\n\tbare = false\n"
    config += "[extensions]\n\tobjectformat = sha256\n" if of_64 else ""
    (git / "config").write_text(config, encoding="utf-8")


def _attributes(folder: Path, commit: str) -> None:
    """The files `.gitattributes` of a commit, where git looks for them when that commit is checked out."""
    wanted = [entry for entry in listing(folder, commit) if posixpath.basename(text_of(entry.name)) == ".gitattributes"]
    with objects(folder) as reader:
        for entry in wanted:
            parts = text_of(entry.name).split("/")
            found = reader.get(entry.id) if entry.mode in (FILE, PROGRAM) else None
            if found is not None and not any(part in ("", ".", "..") or part.lower() == ".git" for part in parts):
                path = folder.joinpath(*parts)
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(found.data)


def _settings(top: Path) -> list[str]:
    """Options that carry the user's settings over: only those that change the text and name no program."""
    options: list[str] = []
    given = _configured(top)
    for key in _TAKEN:
        value = given.get(key, "")
        if _PLAIN_VALUE.fullmatch(value):
            options += ["-c", f"{key}={value}"]
    if given.get("merge.default") in _BUILT_IN:
        options += ["-c", f"merge.default={given['merge.default']}"]
    path = given.get("core.attributesfile", "")
    if path and Path(path).expanduser().is_file():
        options += ["-c", f"core.attributesFile={Path(path).expanduser()}"]
    return options


def _configured(top: Path) -> dict[str, str]:
    """What is configured about merging, by key in lower case (the names of drivers as they are)."""
    done = run(top, "config", "-z", "--get-regexp", r"^(merge|diff)\.|^core\.attributesfile$")
    pairs = (item.partition("\n") for item in text_of(done.out).split("\0") if item)
    return {key: value for key, _, value in pairs}


def _drivers(top: Path, folder: Path, sides: tuple[str, str]) -> tuple[tuple[str, str], ...]:
    """Wiring files that both sides hold differently and for which git would run a program, with the driver's name."""
    given = _configured(top)
    named = {key.removeprefix("merge.").removesuffix(".driver") for key in given if _is_driver(key)}
    if not named:
        return ()
    one, other = ({entry.name: entry.id for entry in listing(folder, side)} for side in sides)
    paths = [name for name in sorted(one.keys() & other.keys()) if one[name] != other[name] and name.endswith(b".toml")]
    asked = b"".join(path + b"\0" for path in paths)
    options = _settings(top)
    done = run(folder, *options, "check-attr", "-z", "--stdin", "merge", given=asked, more=AWAY)
    parts = text_of(done.out).split("\0")[:-1]
    found = []
    for path, value in zip(parts[::3], parts[2::3], strict=True):
        driver = given.get("merge.default", "") if value == "unspecified" else value
        if driver in named:
            found.append((path, driver))
    return tuple(found)


def _is_driver(key: str) -> bool:
    return key.startswith("merge.") and key.endswith(".driver") and key.count(".") > 1


def _commit(folder: Path, tree: str, *parents: str) -> str:
    """A commit of a tree in the repository aside, so that it can be read as any other."""
    above = b"".join(f"parent {parent}\n".encode() for parent in parents)
    data = f"tree {tree}\n".encode() + above + b"author " + _WHO + b"\ncommitter " + _WHO + b"\n\njoined\n"
    made = run(folder, "hash-object", "-t", "commit", "-w", "--stdin", "--literally", given=data).line
    if _ID.fullmatch(made):
        return made
    name = "sha1" if len(tree) == 40 else "sha256"  # git does not take it: reading it will tell that it is missing
    return new(name, b"commit %d\0" % len(data) + data, usedforsecurity=False).hexdigest()
