"""Files that commands make for people: wiring is never replaced by one, not even by force, and `-` is stdout."""

import shutil
from pathlib import Path

import pytest

from tests.cli.asking import MILLRACE, ask, forget, git

MAKING = {
    "draw": ("draw", "--format", "svg", "-o"),
    "draw --face": ("draw", "--face", "north", "--format", "svg", "-o"),
    "review": ("review", "last~1..last", "-o"),
    "history": ("history", "--page"),
    "jobsheet": ("jobsheet", "last~1..last", "--html"),
    "cables": ("cables", "--csv"),
    "parts": ("parts", "--html"),
    "labels": ("labels", "--format", "svg", "--bay", "north", "-o"),
}
"""A command line that ends before the name of its file."""


@pytest.fixture(name="studio")
def _studio(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A studio of two commits; the second exchanges two cables."""
    folder = tmp_path / "mill"
    shutil.copytree(MILLRACE, folder)
    for key in ("user.name", "user.email"):
        monkeypatch.setenv(f"GIT_AUTHOR_{key[5:].upper()}", "workshop@millrace.example")
        monkeypatch.setenv(f"GIT_COMMITTER_{key[5:].upper()}", "workshop@millrace.example")
    git(folder, "init", "--quiet", "-b", "main")
    for title in ("First", "Second"):
        git(folder, "add", "-A")
        git(folder, "commit", "--quiet", "-m", title)
        text = (folder / "rooms.toml").read_text("utf-8")
        (folder / "rooms.toml").write_text(text.replace("Left rack", "Left hand rack"), "utf-8")
    monkeypatch.chdir(folder)
    forget()
    return folder


@pytest.mark.parametrize("command", MAKING)
def test_wiring_is_never_replaced(studio: Path, command: str) -> None:
    before = (studio / "routes.toml").read_bytes()
    for force in ([], ["--force"]):
        done = ask(*MAKING[command], "routes.toml", *force)
        assert done.status == 2, done
        assert "routes.toml" in done.err
    assert (studio / "routes.toml").read_bytes() == before


@pytest.mark.parametrize("command", MAKING)
def test_a_dash_is_stdout(studio: Path, command: str) -> None:
    done = ask(*MAKING[command], "-")
    assert done.status == 0, done
    assert len(done.out) > 200
    assert not (studio / "-").exists()
