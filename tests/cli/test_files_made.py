"""Files that commands make for people: wiring is never replaced by one, not even by force, and `-` is stdout."""

import os
import resource
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.asking import MILLRACE, ROOT, ask, forget, git

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
_ALLOWING = ("diff", "last~1..last", "--write-allowed")
_WRITING: dict[str, tuple[str, ...]] = {**MAKING, "diff": _ALLOWING}
_TURNED = '["hall/line 2", "hall/line 1", "hall/line 3..8"]'
_MEMORY = 3 << 30
"""Bytes: ten times what these commands need."""


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
        cables = (folder / "cables.toml").read_text("utf-8").replace('"hall/line 1..8"', _TURNED)
        (folder / "cables.toml").write_text(cables, "utf-8")
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


def _within_bounds(*arguments: str) -> tuple[int, str]:
    """Status and words of a command that may take neither all memory nor all day."""
    done = subprocess.run(
        [sys.executable, "-m", "routecode", *arguments],
        env={**os.environ, "PYTHONPATH": str(ROOT), "ROUTECODE_KEEP": "no"},
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_AS, (_MEMORY, _MEMORY)),
        capture_output=True,
        check=False,
        timeout=60,
    )
    return done.returncode, " ".join(done.stderr.decode().split())


@pytest.mark.parametrize("command", _WRITING)
def test_what_is_no_file_is_neither_read_nor_replaced(studio: Path, command: str) -> None:
    os.mkfifo(studio / "pipe")
    (studio / "zero").symlink_to("/dev/zero")
    for name, said in (("pipe", "a pipe"), ("zero", "a device")):
        arguments = (*_WRITING[command], name, "--force")
        status, err = _within_bounds(*arguments)
        assert (status, f'"{name}" is {said}, no ordinary file.' in err) == (2, True), err
    assert (studio / "pipe").is_fifo()


def test_what_is_read_beside_the_wiring_is_a_file(studio: Path) -> None:
    (studio / "results.csv").symlink_to("/dev/zero")
    for arguments in (("check",), ("jobsheet", "last~1..last", "--write-results"), ("plain", "results.csv")):
        status, err = _within_bounds(*arguments)
        assert (status, 'results.csv" is a device, no ordinary file.' in err) == (2, True), err


@pytest.mark.parametrize("command", MAKING)
def test_wiring_is_not_replaced_through_a_link(studio: Path, command: str) -> None:
    (studio / "made.svg").symlink_to("routes.toml")
    before = (studio / "routes.toml").read_bytes()
    assert ask(*MAKING[command], "made.svg", "--force").status == 2
    assert (studio / "routes.toml").read_bytes() == before


@pytest.mark.parametrize(
    ("text", "is_kept"),
    [
        ("[allowed]\nrooms = 'hall'\n", False),
        ("# nothing\n", False),
        ("[allowed]\nrooms = 'hall'\n\n[[cable]]\nfrom = 'a'\nto = 'b'\n", True),
        ("[[cable]\n", True),
    ],
)
def test_what_is_allowed_replaces_no_other_wiring(studio: Path, text: str, is_kept: bool) -> None:
    (studio / "kept.toml").write_text(text, "utf-8")
    (studio / "link.txt").symlink_to("kept.toml")
    for name in ("kept.toml", "link.txt"):
        for force in ([], ["--force"]):
            done = ask(*_ALLOWING, name, *force)
            assert done.status == (2 if is_kept or (name == "kept.toml" and not force) else 0), done
            assert ((studio / "kept.toml").read_text("utf-8") == text) == (
                is_kept or (name == "kept.toml" and not force)
            )
    assert (studio / "link.txt").is_symlink()
