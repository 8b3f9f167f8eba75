"""Branches joined by the ordinary git, as a user would join them; and what is said of them."""

import os
import shutil
import subprocess
import tempfile
from collections.abc import Mapping
from pathlib import Path

from routecode.history.branches import Branches
from routecode.history.branches_wrong import Wrong
from routecode.studio.opened import Opened
from tests.change.wiring import PLAIN
from tests.show.studios import opened

Texts = Mapping[str, str]
_WHO = {
    f"GIT_{who}_{what}": value
    for who in ("AUTHOR", "COMMITTER")
    for what, value in (("NAME", "Ann Weaver"), ("EMAIL", "ann@example.com"), ("DATE", "1772366400 +0000"))
}
ENVIRONMENT = {
    "PATH": os.environ["PATH"],
    "GIT_CONFIG_NOSYSTEM": "1",
    "GIT_CONFIG_GLOBAL": os.devnull,
    "LC_ALL": "C",
    **_WHO,
}


def git(folder: Path, *words: str, check: bool = True) -> str:
    """The ordinary git, nothing of this machine let in."""
    done = subprocess.run(
        ["git", *words], cwd=folder, env={"HOME": str(folder.parent), **ENVIRONMENT}, capture_output=True, check=False
    )
    assert not check or done.returncode == 0, done.stderr.decode() + done.stdout.decode()
    return done.stdout.decode("utf-8", errors="surrogateescape").rstrip("\n")


def write(folder: Path, texts: Texts) -> None:
    """Exactly these files, nothing else (but git's own)."""
    for path in folder.iterdir():
        if path.name != ".git":
            shutil.rmtree(path) if path.is_dir() else path.unlink()
    for name, text in texts.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode())


def commit(folder: Path, texts: Texts, title: str) -> str:
    """The files as a commit; its id."""
    write(folder, texts)
    git(folder, "add", "-A")
    git(folder, "commit", "-q", "--allow-empty", "-m", title)
    return git(folder, "rev-parse", "HEAD")


def branched(folder: Path, base: Texts, ours: Texts, theirs: Texts) -> tuple[str, str, str]:
    """A repository with the branches `main` (ours, checked out) and `other`; the ids of base, ours and theirs."""
    folder.mkdir(parents=True, exist_ok=True)
    git(folder, "init", "-q", "-b", "main")
    first = commit(folder, base, "as it was")
    git(folder, "switch", "-qc", "other")
    other = commit(folder, theirs, "what they did")
    git(folder, "switch", "-q", "main")
    return first, commit(folder, ours, "what we did"), other


def joined_by_git(base: Texts, ours: Texts, theirs: Texts) -> dict[str, str] | None:
    """The texts that `git merge` leaves; None where it stops."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "shop"
        branched(root, base, ours, theirs)
        git(root, "merge", "-q", "-m", "joined", "other", check=False)
        if git(root, "status", "--porcelain"):
            return None
        return {name: (root / name).read_bytes().decode() for name in git(root, "ls-files").split("\n") if name}


def branches(base: Texts, ours: Texts, theirs: Texts) -> Branches:
    """Two branches of small studios, which git joins by itself."""
    joined = joined_by_git(base, ours, theirs)
    assert joined is not None, "git does not join this"
    return Branches(compiling(base), compiling(ours), compiling(theirs), opened(dict(joined)))


def compiling(texts: Texts) -> Opened:
    """A side: it must compile."""
    found = opened(dict(texts))
    assert found.mistakes == ()
    return found


def weir(*more: str, **files: str) -> dict[str, str]:
    """The small studio of the tests of `change` with further files; `more` stands at the end of its own text."""
    texts = {"studio.toml": PLAIN + "".join(more), **{f"{name}.toml": text for name, text in files.items()}}
    return dict(sorted(texts.items()))


def swapped(texts: Texts, *swaps: tuple[str, str], file: str = "studio.toml") -> dict[str, str]:
    """The texts with pieces of one file replaced; each must stand in it exactly once."""
    text = texts[file]
    for was, now in swaps:
        assert text.count(was) == 1, (text.count(was), was)
        text = text.replace(was, now)
    return {**texts, file: text}


def told(found: Branches) -> list[tuple[str, str | None]]:
    """What is wrong, by kind and side."""
    return [(each.kind, each.side) for each in found.wrong]


def of(found: Branches, kind: str) -> list[Wrong]:
    """What is wrong in one way."""
    return [each for each in found.wrong if each.kind == kind]
