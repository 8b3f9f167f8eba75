"""Real git repositories for tests: author, dates and configuration pinned, nothing of this machine let in."""

import os
import subprocess
from pathlib import Path

import pytest

NOON = 1_772_366_400  # 2026-03-01T12:00:00Z


def pin(monkeypatch: pytest.MonkeyPatch, folder: Path, config: str = "") -> None:
    """A configuration, a home and a zone of our own; a known author; no other variable of git's."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in list(os.environ):
        if name.startswith("GIT_"):
            monkeypatch.delenv(name)
    monkeypatch.delenv("EMAIL", raising=False)
    given = config or '[user]\n\tname = "Ann Weaver"\n\temail = ann@example.com\n[init]\n\tdefaultBranch = main\n'
    (folder / "gitconfig").write_text(given, encoding="utf-8")
    monkeypatch.setenv("HOME", str(folder))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(folder / "xdg"))
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(folder / "gitconfig"))
    monkeypatch.setenv("GIT_CONFIG_NOSYSTEM", "1")
    monkeypatch.setenv("TZ", "UTC")
    at(monkeypatch, 0)


def at(monkeypatch: pytest.MonkeyPatch, hours: float, zone: str = "+0000") -> None:
    """Let it be so many hours after noon of 1 March 2026."""
    for who in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{who}_DATE", f"{int(NOON + hours * 3600)} {zone}")


def git(folder: Path, *arguments: str, given: bytes = b"", check: bool = True) -> str:
    """The ordinary git, as a user would call it."""
    done = subprocess.run(["git", *arguments], cwd=folder, input=given, capture_output=True, check=False)
    assert not check or done.returncode == 0, done.stderr.decode()
    return done.stdout.decode("utf-8", errors="surrogateescape").rstrip("\n")


def put(root: Path, name: str, text: str = "a = 1\n") -> Path:
    path = root / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text.encode())
    return path
