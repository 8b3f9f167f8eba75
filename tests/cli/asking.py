"""Asking the command line, within this process or as one of its own; and studios on disk to ask about."""

import io
import os
import subprocess
import sys
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path
from typing import NamedTuple

from routecode.cli import asked
from routecode.cli.main import status_of
from routecode.show.starter import starter

ROOT = Path(__file__).resolve().parents[2]
MILLRACE = ROOT / "examples" / "millrace"


class Ran(NamedTuple):
    """What one run left."""

    status: int
    out: str
    err: str


def ask(*arguments: str) -> Ran:
    """Run a command line within this process."""
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8", newline="") for _ in range(2))
    with redirect_stdout(out), redirect_stderr(err):
        status = status_of(list(arguments))
    texts = []
    for stream in (out, err):
        stream.flush()
        buffer = stream.buffer
        assert isinstance(buffer, io.BytesIO)
        texts.append(buffer.getvalue().decode())
    return Ran(status, *texts)


def run(*arguments: str, folder: Path | None = None, **environment: str) -> Ran:
    """Run a command line as a process of its own, as a user does."""
    done = subprocess.run(
        [sys.executable, "-m", "routecode", *arguments],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT), **environment},
        capture_output=True,
        check=False,
    )
    return Ran(done.returncode, done.stdout.decode(), done.stderr.decode())


def git(folder: Path, *words: str) -> str:
    """Run git as a user would."""
    return subprocess.run(["git", *words], cwd=folder, capture_output=True, check=True).stdout.decode().strip()


def forget() -> None:
    """What one process remembers of repositories; a test plays many."""
    asked._repository.cache_clear()
    asked._recorded.cache_clear()


def small(folder: Path, **texts: str) -> Path:
    """The starter studio in a folder, not in git; `texts` replace or add files (`cables` is `cables.toml`)."""
    files = {**starter("Small"), **{f"{name}.toml": text for name, text in texts.items()}}
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder


def change(file: Path, was: str, now: str) -> None:
    """Edit a text file; `was` must be there once."""
    text = file.read_text(encoding="utf-8")
    assert text.count(was) == 1
    file.write_text(text.replace(was, now), encoding="utf-8")
