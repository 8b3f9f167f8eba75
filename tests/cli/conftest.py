"""A machine of its own for each test: an empty home, an identity for git, a folder to stand in, and no colour."""

from pathlib import Path

import pytest

from tests.cli.asking import forget


@pytest.fixture(autouse=True)
def machine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder a test starts in."""
    home = tmp_path / "home"
    here = tmp_path / "here"
    home.mkdir()
    here.mkdir()
    for name in ("XDG_CONFIG_HOME", "GIT_CONFIG_GLOBAL", "EMAIL", "COLUMNS", "ROUTECODE_DEBUG"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("HOME", str(home))
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path))
    monkeypatch.setenv("NO_COLOR", "1")
    for who in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{who}_NAME", "Ann Wright")
        monkeypatch.setenv(f"GIT_{who}_EMAIL", "ann@millrace.example")
        monkeypatch.setenv(f"GIT_{who}_DATE", "2026-03-01T12:00:00+0000")
    monkeypatch.chdir(here)
    forget()
    return here


@pytest.fixture
def nobody(monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine on which git does not know who records."""
    for who in ("AUTHOR", "COMMITTER"):
        monkeypatch.delenv(f"GIT_{who}_NAME")
        monkeypatch.delenv(f"GIT_{who}_EMAIL")
