"""git's own folder as it is seen from outside, held against what git itself says of it."""

from pathlib import Path

import pytest

from routecode.files.git_folder import common, own
from tests.cli.asking import git
from tests.files.shop import pin


def said(folder: Path, which: str) -> Path:
    """What git says; it may answer from where it is asked."""
    return (folder / git(folder, "rev-parse", which)).resolve()


def test_it_is_the_folder_that_git_itself_uses(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pin(monkeypatch, tmp_path / "home")
    main, linked, apart, below = (tmp_path / name for name in ("main", "linked", "apart", "main/a/b"))
    below.mkdir(parents=True)
    git(main, "init", "-q")
    git(main, "commit", "-q", "--allow-empty", "-m", "x")
    git(main, "worktree", "add", "-q", "--detach", str(linked))
    git(tmp_path, "init", "-q", f"--separate-git-dir={tmp_path / 'elsewhere'}", str(apart))
    for folder in (main, below, linked, apart):
        found, shared = own(folder), common(folder)
        assert found is not None
        assert shared is not None
        assert found.resolve() == said(folder, "--git-dir")
        assert shared.resolve() == said(folder, "--git-common-dir")
    assert own(linked) != own(main)
    assert own(tmp_path / "home") is None
    assert common(tmp_path / "home") is None
