"""Repositories that are incomplete or damaged, asked through the command line: each with its expected answer.

A copy that lacks something says which fetch is needed and never fetches; what is damaged is told, and nothing else is blamed.
"""

import zlib
from pathlib import Path

import pytest

from routecode.cli.main import OK, UNREADABLE
from tests.cli.asking import ask, forget
from tests.files.mill import loose, recorded
from tests.files.refusing import answered, plain, refused, squeezed
from tests.files.shop import git, pin, put


@pytest.fixture
def mill(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Three commits of a small studio."""
    pin(monkeypatch, tmp_path / "home")
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path))
    root = tmp_path / "mill"
    root.mkdir()
    recorded(root)
    monkeypatch.chdir(root)
    forget()
    return root


def test_a_shallow_copy_says_which_fetch_is_needed(mill: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    old = git(mill, "rev-parse", "HEAD~2")
    git(tmp_path, "clone", "-q", "--depth=1", f"file://{mill}", "copy")
    copy = tmp_path / "copy"
    monkeypatch.chdir(copy)
    answered("check", "--at", "last")
    for text in ("3", "last~2", old, "2020-01-01"):
        said = refused("check", "--at", text)
        assert "This copy of the repository is shallow: it holds only the newest commits." in said
        assert "Fetch the older ones yourself, then try again: git fetch --unshallow" in said
    assert "git fetch --unshallow" in refused("diff", "last~2..last")
    assert (copy / ".git" / "shallow").exists()
    git(copy, "fetch", "--unshallow")
    answered("check", "--at", "3")


def test_a_partial_copy_says_which_fetch_is_needed(mill: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    git(mill, "config", "uploadpack.allowFilter", "true")
    git(tmp_path, "clone", "-q", "--filter=blob:none", f"file://{mill}", "copy")
    copy = tmp_path / "copy"
    monkeypatch.chdir(copy)
    answered("check", "--at", "last")
    said = refused("check", "--at", "last~1")
    assert 'The text of "units.toml" at the commit' in said
    assert "The copy is partial, and nothing is fetched without being asked for." in said
    assert "Fetch the rest of it yourself: git fetch --refetch --no-filter" in said
    assert "units.toml" in refused("check", "--at", "last~1")  # nothing came in by asking
    git(copy, "fetch", "--refetch", "--no-filter")
    answered("check", "--at", "last~1")


@pytest.mark.parametrize("harm", ["truncated", "of another content", "missing", "no object at all"])
@pytest.mark.parametrize("what", ["HEAD:units.toml", "HEAD^{tree}", "HEAD"])
def test_a_damaged_object_is_told_and_only_that(mill: Path, harm: str, what: str) -> None:
    path = loose(mill, git(mill, "rev-parse", what))
    path.chmod(0o644)
    if harm == "truncated":
        path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    elif harm == "of another content":
        kind, _, data = zlib.decompress(path.read_bytes()).partition(b"\0")
        path.write_bytes(zlib.compress(kind + b"\0" + data.replace(b"t", b"s")))
    elif harm == "missing":
        path.unlink()
    else:
        path.write_bytes(b"rubbish")
    for arguments in (("check", "--at", "last"), ("diff", "last~1..last"), ("diff", "main")):
        said = refused(*arguments)
        assert "git fsck" in said
        if what == "HEAD:units.toml":
            words = "is missing or damaged in" if harm in ("missing", "no object at all") else "is damaged in"
            assert f"{words} this copy of the repository" in said
            assert said.count("units.toml") == said.count("The text of") * 2 == 2, said
        elif what == "HEAD^{tree}":
            assert "cannot be listed: a part of them is missing or damaged." in said
        else:
            assert "cannot be read: it is not in this copy of the repository, or damaged." in said
    put(mill, "bay.toml", "")
    forget()
    ran = ask("record", "x")
    said = plain(ran)
    if what == "HEAD:units.toml":
        assert ran.status in (OK, UNREADABLE)
    else:
        assert ran.status == UNREADABLE
        assert "git fsck" in said


def test_a_damaged_index_is_told_with_the_way_out(mill: Path) -> None:
    (mill / ".git" / "index").write_bytes(b"rubbish")
    put(mill, "bay.toml", "")
    said = refused("record", "x")
    assert "What is staged in this repository (its index) cannot be read." in said
    assert "git says: .git/index: index file smaller" in said
    assert "mv .git/index .git/index.old git reset" in said
    assert "cannot be listed" in refused("check", "--at", "staged")
    answered("check", "--at", "last")
    (mill / ".git" / "index").rename(mill / ".git" / "index.old")
    git(mill, "reset", "-q")
    answered("record", "x")


def test_an_unmerged_index_is_told(mill: Path) -> None:
    blob = git(mill, "rev-parse", "HEAD:units.toml")
    stages = "".join(f"100644 {blob} {stage}\tunits.toml\n" for stage in (1, 2, 3))
    git(mill, "update-index", "--force-remove", "units.toml")
    git(mill, "update-index", "--index-info", given=stages.encode())
    said = refused("record", "x")
    assert "git holds two versions that could not be joined: units.toml." in said
    assert "git add FILE" in said
    assert "Finish it first: git status" in refused("check", "--at", "staged")
    assert "units.toml" in refused("rollback", "last~1", "--write")
    answered("check")


def test_a_lock_that_was_left_is_named(mill: Path) -> None:
    put(mill, "bay.toml", "")
    lock = put(mill, ".git/index.lock", "")
    said = refused("record", "x")
    assert "Another git program is at work here, or was stopped: wait for it, or delete its lock file:" in said
    assert squeezed(said).endswith(str(lock))
    lock.unlink()
    answered("record", "x")
