"""A disk that is really full; what is cleared away and what never is; git that is interrupted while it writes."""

import os
import signal
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from routecode.cli.main import OK, UNREADABLE
from routecode.files import leftover
from routecode.files.git import process
from routecode.files.write import write_file, write_files
from tests.cli.asking import ask, forget
from tests.files.faults import left, run
from tests.files.mill import studio
from tests.files.shop import git, pin, put

LEFTOVER = ".x.toml.0123456789abcdef.routecode-new"


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pin(monkeypatch, tmp_path / "home")
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path))
    monkeypatch.setenv("ROUTECODE_KEEP", "no")
    forget()


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 512 kB; only where the system lets it be mounted."""
    place = tmp_path / "disk"
    place.mkdir()
    words = ["mount", "-t", "tmpfs", "-o", "size=512k", "tmpfs", str(place)]
    try:
        done = subprocess.run(words, capture_output=True, check=False)
    except FileNotFoundError:
        pytest.skip("no program to mount a small disk with")
    if done.returncode:
        pytest.skip(f"a small disk cannot be mounted here: {done.stderr.decode().strip()}")
    try:
        yield place
    finally:
        subprocess.run(["umount", str(place)], check=True)


COMMANDS = {
    "record": ["record", "three"],
    "rollback": ["rollback", "last~1", "--write"],
    "review": ["review", "-o", "review.html"],
    "new": ["new", "fresh"],
}


@pytest.mark.parametrize("which", COMMANDS)
def test_a_full_disk_leaves_the_old_state_and_says_so(disk: Path, which: str) -> None:
    """With less and less room left: refused with nothing changed, or done."""
    root = disk / "mill"
    root.mkdir()
    studio(root)
    if which == "rollback":
        git(root, "add", "-A")
        git(root, "commit", "-qm", "three")
    before = left(root)
    statuses = []
    for room in (0, 4, 8, 16, 32):
        fill(disk, room)
        ended = run(COMMANDS[which], root)
        (disk / "filler").unlink()
        statuses.append(ended.status)
        assert ended.status in (OK, UNREADABLE), ended
        assert "fault of routecode" not in ended.err
        if ended.status == OK:
            break
        assert left(root) == before
        assert "Do:" in ended.err, ended
    assert statuses[0] == UNREADABLE
    assert run(COMMANDS[which], root).status == OK or statuses[-1] == OK
    git(root, "fsck", "--strict")


def fill(disk: Path, room: int) -> None:
    """Leave so many kilobytes."""
    with (disk / "filler").open("wb") as file:
        free = os.statvfs(disk)
        file.write(b"x" * max(0, free.f_bavail * free.f_bsize - room * 1024))


def test_several_files_are_written_all_or_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    one, two = tmp_path / "one", tmp_path / "two"
    one.write_bytes(b"old")
    replace, calls = Path.replace, []

    def second_fails(self: Path, target: Any) -> Path:
        calls.append(target)
        if target == two:
            raise OSError(5, "Input/output error")
        return replace(self, target)

    with monkeypatch.context() as patched:
        patched.setattr(Path, "replace", second_fails)
        mistake = write_files({one: b"new", two: b"new"})
    assert mistake is not None
    assert str(two) in mistake.text
    assert calls[:2] == [one, two]
    assert (one.read_bytes(), sorted(path.name for path in tmp_path.iterdir())) == (b"old", ["home", "one"])
    assert write_files({one: b"new", two: b"new"}) is None
    assert (one.read_bytes(), two.read_bytes()) == (b"new", b"new")


def test_what_nobody_holds_is_cleared_away_and_nothing_else(tmp_path: Path) -> None:
    put(tmp_path, LEFTOVER)
    put(tmp_path, ".a-folder.0123456789abcdef.routecode-new/index")
    kept = (
        ".x.toml.routecode-new",
        "x.toml.0123456789abcdef.routecode-new",
        f"{LEFTOVER}.toml",
        ".x.0123456789ABCDEF.routecode-new",
    )
    for name in kept:
        put(tmp_path, name)
    (tmp_path / ".link.0123456789abcdef.routecode-new").symlink_to(kept[0])
    assert write_file(tmp_path / "y.toml", b"y") is None
    names = {path.name for path in tmp_path.iterdir()} - {"home", "y.toml"}
    assert names == {*kept, ".link.0123456789abcdef.routecode-new"}


def test_what_a_running_program_holds_stays(tmp_path: Path) -> None:
    with leftover.room(tmp_path, "record") as held:
        put(held, "index")
        child = os.fork()
        if child == 0:
            write_file(tmp_path / "y.toml", b"y")
            os._exit(0)
        assert os.waitpid(child, 0)[1] == 0
        assert (held / "index").exists()
    assert not held.exists()


def test_what_someone_put_into_a_half_made_studio_is_kept(tmp_path: Path) -> None:
    """A killed `new` is taken up only as long as nothing else has come into the folder."""
    whole = run(["new", "mill"], tmp_path)
    subprocess.run(["rm", "-rf", str(tmp_path / "mill")], check=True)
    for point in range(1, len(whole.points) + 1, 6):
        assert run(["new", "mill"], tmp_path, point, "SIGKILL").status == -signal.SIGKILL
        if (tmp_path / "mill" / "studio.toml").exists():
            break
    put(tmp_path / "mill", "studio.toml", "# mine now\n")
    mine = {path: path.read_bytes() for path in (tmp_path / "mill").rglob("*") if path.is_file()}
    ended = run(["new", "mill"], tmp_path)
    assert ended.status == UNREADABLE
    assert "mill is not empty; a new studio starts in an empty folder." in ended.err
    assert {path: path.read_bytes() for path in mine} == mine


def test_an_interrupted_git_takes_its_lock_away(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Killed at once it would leave it, and no git could write any more."""
    studio(tmp_path)
    lock = tmp_path / ".git" / "index.lock"
    seen: list[bool] = []
    wait = subprocess.Popen.communicate

    def interrupted(self: Any, *given: Any, **more: Any) -> Any:
        if "update-index" not in self.args or seen:
            return wait(self, *given, **more)
        until = time.monotonic() + 20
        while not lock.exists() and time.monotonic() < until:
            time.sleep(0.002)
        seen.append(lock.exists())
        raise KeyboardInterrupt

    monkeypatch.setattr(subprocess.Popen, "communicate", interrupted)
    with pytest.raises(KeyboardInterrupt):
        process.run(tmp_path, "update-index", "--index-info")
    assert seen == [True]
    assert not lock.exists()


def test_the_index_and_the_branch_move_together(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The branch cannot be moved: the index is the old one, byte for byte; it can: git sees nothing left to do."""
    monkeypatch.chdir(tmp_path)
    studio(tmp_path)
    index = (tmp_path / ".git" / "index").read_bytes()
    lock = put(tmp_path, ".git/refs/heads/main.lock", "")
    ran = ask("record", "three")
    assert ran.status == UNREADABLE
    assert "git could not move the branch; nothing was recorded." in ran.err
    assert (tmp_path / ".git" / "index").read_bytes() == index
    lock.unlink()
    forget()
    assert ask("record", "three").status == OK
    assert git(tmp_path, "status", "--porcelain") == ""
    assert git(tmp_path, "fsck", "--strict") == ""
