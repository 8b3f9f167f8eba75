"""Repositories whose history is told in tests: the example as it is built, and small ones made commit by commit."""

import importlib.util
import sys
from functools import cache
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

from routecode.files.git import Repository, open_repository
from routecode.files.git.walking import Walker
from routecode.history.log import Item, Keep, entries
from tests.change.wiring import PLAIN
from tests.files.shop import git, put

ROOT = Path(__file__).resolve().parents[2]


@cache
def example() -> Path:
    """The example's history as a repository; not to be changed."""
    spec = importlib.util.spec_from_file_location("build_history", ROOT / "examples" / "build_history.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["build_history"] = module
    spec.loader.exec_module(module)
    folder = Path(mkdtemp(prefix="routecode-test-")) / "mill"
    module.build(folder)
    return folder


def new(folder: Path) -> Path:
    """An empty repository."""
    folder.mkdir(parents=True, exist_ok=True)
    git(folder, "init", "-q", "-b", "main")
    return folder


def commit(folder: Path, message: str, **texts: str | None) -> str:
    """Write files (`studio` is `studio.toml`; None deletes), commit them, and give the id."""
    for name, text in texts.items():
        path = f"{name}.toml"
        if text is None:
            (folder / path).unlink()
        else:
            put(folder, path, text)
    git(folder, "add", "-A")
    git(folder, "commit", "-q", "--allow-empty", "--cleanup=verbatim", "-F", "-", given=message.encode())
    return git(folder, "rev-parse", "HEAD")


def weir(folder: Path) -> Path:
    """A small studio in a new repository, with its first commit."""
    commit(new(folder), "As it is", studio=PLAIN)
    return folder


def opened(folder: Path) -> Repository:
    found = open_repository(folder)
    assert isinstance(found, Repository), found
    return found


def history(folder: Path, keep: Keep | None = None) -> list[Item]:
    """The whole history, newest first."""
    with opened(folder).walking() as reader:
        return list(entries(reader, keep=keep))


class Counting:
    """A reader that counts how often files were asked for."""

    def __init__(self, walker: Walker) -> None:
        self.walker = walker
        self.asked: list[str] = []

    def __getattr__(self, name: str) -> Any:
        return getattr(self.walker, name)

    def files(self, commit_id: str) -> Any:
        self.asked.append(commit_id)
        return self.walker.files(commit_id)


class Memory:
    """A store that keeps everything; `hits` counts what it gave back."""

    def __init__(self) -> None:
        self.kept: dict[str, object] = {}
        self.hits = 0

    def get(self, key: str) -> object | None:
        self.hits += key in self.kept
        return self.kept.get(key)

    def put(self, key: str, plain: object) -> None:
        self.kept[key] = plain
