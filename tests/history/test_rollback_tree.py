"""Several files and a last step at once: whatever fails at whichever call, all is old or all is new, and nothing else is there."""

import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from routecode.files.edit_tree import Last, Recovered, Step, exchange, recover
from routecode.files.git_folder import DESK
from routecode.ground.finding import Mistake

OLD = {"a.toml": b"old a", "sub/b.toml": b"old b", "gone/c.toml": b"old c"}
NEW = {"a.toml": b"new a", "sub/b.toml": b"new b", "new/deep/d.toml": b"new d"}
STEPS = [Step(name, OLD.get(name), NEW.get(name)) for name in sorted({*OLD, *NEW})]
ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def root(tmp_path: Path) -> Path:
    for name, text in OLD.items():
        path = tmp_path / "root" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text)
    (tmp_path / "git").mkdir()
    return tmp_path / "root"


def there(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def folders(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_dir()}


def nothing() -> Mistake | None:
    return None


def go(root: Path, last: Callable[[], Mistake | None] = nothing, is_made: bool = False) -> Mistake | None:
    return exchange(root, root.parent / "git", "head", STEPS, Last(last, lambda: is_made))


def test_all_files_become_new_and_empty_folders_go(root: Path) -> None:
    seen: list[dict[str, bytes]] = []

    def last() -> None:
        seen.append(there(root))

    assert go(root, last) is None
    assert seen == [NEW] == [there(root)]
    assert folders(root) == {"sub", "new", "new/deep"}
    assert there(root.parent / "git") == {}


def test_permissions_stay(root: Path) -> None:
    (root / "a.toml").chmod(0o640)
    assert go(root) is None
    assert (root / "a.toml").stat().st_mode & 0o777 == 0o640


def test_where_the_last_step_fails_all_is_old(root: Path) -> None:
    wrong = Mistake("git-failed", "no")
    assert go(root, lambda: wrong) is wrong
    assert there(root) == OLD
    assert folders(root) == {"sub", "gone"}
    assert there(root.parent / "git") == {}


@pytest.mark.parametrize("error", [OSError(28, "No space left on device"), KeyboardInterrupt(), RuntimeError("x")])
def test_where_the_last_step_raises_all_is_old(root: Path, error: BaseException) -> None:
    def last() -> None:
        raise error

    if isinstance(error, OSError):
        found = go(root, last)
        assert found is not None
        assert "no space left" in found.text
    else:
        with pytest.raises(type(error)):
            go(root, last)
    assert there(root) == OLD
    assert there(root.parent / "git") == {}


@pytest.mark.parametrize("error", [OSError(28, "No space left on device"), KeyboardInterrupt()])
def test_where_it_fails_after_the_last_step_was_made_all_is_new(root: Path, error: BaseException) -> None:
    def last() -> None:
        raise error

    assert go(root, last, is_made=True) is None
    assert go(root, lambda: Mistake("x", "y"), is_made=True) is not None  # the old texts are no longer there
    assert there(root) == NEW


def test_a_file_that_someone_edited_meanwhile_is_not_touched(root: Path) -> None:
    (root / "sub/b.toml").write_bytes(b"mine")
    found = go(root)
    assert found is not None
    assert found.id == "file-changed"
    assert there(root) == {**OLD, "sub/b.toml": b"mine"}


@pytest.mark.parametrize("name", ["SIGINT", "SIGTERM"])
def test_a_request_to_end_waits_for_a_safe_place(root: Path, name: str) -> None:
    def last() -> Mistake | None:
        os.kill(os.getpid(), getattr(signal, name))
        return Mistake("git-failed", "it was told to end, too")

    with pytest.raises(KeyboardInterrupt):
        go(root, last)
    assert there(root) == OLD

    def done() -> None:
        os.kill(os.getpid(), getattr(signal, name))

    assert go(root, done) is None  # the last step was made: it is new, and that is told
    assert there(root) == NEW


CALLS = (
    (os, "open"),
    (os, "fsync"),
    (os, "replace"),
    (os, "unlink"),
    (os, "mkdir"),
    (os, "chmod"),
    (os, "rmdir"),
)


@contextmanager
def failing(which: int, error: BaseException, monkeypatch: pytest.MonkeyPatch) -> Iterator[list[str]]:
    """Let the call with this number, of all that write, fail; gives the calls there were."""
    calls: list[str] = []

    def broken(name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*words: Any, **options: Any) -> Any:
            calls.append(name)
            if len(calls) == which + 1:
                raise error
            return real(*words, **options)

        return call

    with monkeypatch.context() as patch:
        for module, name in CALLS:
            patch.setattr(module, name, broken(name, getattr(module, name)))
        yield calls


@pytest.mark.parametrize(
    "error", [lambda: OSError(28, "No space left on device"), KeyboardInterrupt], ids=["full", "interrupted"]
)
def test_every_single_call_may_fail(
    root: Path, monkeypatch: pytest.MonkeyPatch, error: Callable[[], BaseException]
) -> None:
    number, outcomes = 0, set()
    while True:
        with failing(number, error(), monkeypatch) as calls:
            try:
                found: object = go(root)
            except KeyboardInterrupt:
                found = "interrupted"
        now = there(root)
        assert now in (OLD, NEW), (number, calls)
        if found is None:
            assert now == NEW, (number, calls)
        elif isinstance(found, Mistake):
            assert now == OLD, (number, calls)
        outcomes.add((found is None, now == NEW))
        if len(calls) <= number:
            break
        shutil.rmtree(root)
        for name, text in OLD.items():
            (root / name).parent.mkdir(parents=True, exist_ok=True)
            (root / name).write_bytes(text)
        shutil.rmtree(root.parent / "git" / DESK, ignore_errors=True)
        number += 1
    assert number > 15
    assert {(True, True), (False, False)} <= outcomes


KILLED = """
import os, sys
from pathlib import Path
from tests.history.test_rollback_tree import CALLS, STEPS
from routecode.files.edit_tree import Last, exchange
root, which, calls = Path(sys.argv[1]), int(sys.argv[2]), []
def deadly(name, real):
    def call(*words, **options):
        calls.append(name)
        if len(calls) == which + 1:
            os.kill(os.getpid(), 9)
        return real(*words, **options)
    return call
for module, name in CALLS:
    setattr(module, name, deadly(name, getattr(module, name)))
def last():
    (root.parent / "recorded").write_bytes(b"")
exchange(root, root.parent / "git", "head", STEPS, Last(last, lambda: False))
"""


def test_killed_at_any_call_the_next_one_puts_back_what_was(tmp_path: Path) -> None:
    kinds = set()
    for number in range(0, 60, 3):
        root = tmp_path / str(number) / "root"
        for name, text in OLD.items():
            (root / name).parent.mkdir(parents=True, exist_ok=True)
            (root / name).write_bytes(text)
        git = root.parent / "git"
        git.mkdir()
        command = [sys.executable, "-c", KILLED, str(root), str(number)]
        done = subprocess.run(command, cwd=ROOT, check=False, capture_output=True)
        is_made = (root.parent / "recorded").exists()
        found = recover(root, git, "next" if is_made else "head")
        assert found is None or isinstance(found, Recovered)
        assert there(root) == (NEW if is_made else OLD), number
        assert there(git) == {}
        kinds.add((is_made, found is not None))
        if done.returncode == 0:
            break
    assert {(False, False), (False, True), (True, False)} <= kinds


def test_what_was_edited_after_it_was_killed_is_left(root: Path) -> None:
    git = root.parent / "git"

    class Killed(BaseException):
        pass

    def last() -> None:
        shutil.copytree(git / DESK, git / "copy")
        raise Killed

    with pytest.raises(Killed):
        go(root, last)
    (git / "copy").rename(git / DESK)
    (root / "a.toml").write_bytes(b"new a")
    (root / "sub/b.toml").write_bytes(b"by hand")
    found = recover(root, git, "head")
    assert isinstance(found, Recovered)
    assert (found.back, found.edited) == (("a.toml",), ("sub/b.toml",))
    assert there(root) == {**OLD, "sub/b.toml": b"by hand"}


def test_two_at_once_are_told_apart(root: Path) -> None:
    inner: list[Mistake | None] = []

    def last() -> None:
        code = (
            "import sys; from pathlib import Path; from routecode.files.edit_tree import recover;"
            "print(recover(Path(sys.argv[1]), Path(sys.argv[2]), 'head').id)"
        )
        command = [sys.executable, "-c", code, str(root), str(root.parent / "git")]
        done = subprocess.run(command, cwd=ROOT, check=True, capture_output=True)
        inner.append(Mistake(done.stdout.decode().strip(), ""))

    assert go(root, last) is None
    assert inner[0] is not None
    assert inner[0].id == "busy"
    assert there(root) == NEW
