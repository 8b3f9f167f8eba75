"""Every command that writes, with a fault at every point at which it does: the old state or the new one, nothing between and nothing astray.

What a killed program leaves (a hidden draft, a list, of `record` the wiring staged and not recorded) the next run of the same command
takes up: it is run again after each kill and must end in the new state. The test of every fault at every point takes a few minutes
(`pytest -m heavy tests/files/test_faults.py`); the others take a kill and one other fault at points of every sort.
"""

import re
import shutil
import signal
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest

from routecode.cli.main import COMMANDS, INTERRUPTED, OK, UNREADABLE
from tests.files.faults import FAULTS, FULL, Ended, Left, left, run
from tests.files.mill import HEAD, UNIT, recorded, studio
from tests.files.shop import at, git, pin, put

DRAFT = re.compile(r"(?:.*/)?\.[^/]+\.[0-9a-f]{16}\.routecode-new(?:/.*)?|(?:.*/)?\.routecode-filling")


class Case(NamedTuple):
    """A command line, what is there before it (called with the empty folder it is run in), and the work tree it writes to."""

    arguments: list[str]
    before: Callable[[Path], None]
    root: str = "."
    middle: bool = False
    """Whether a kill may leave the wiring staged and not recorded."""
    step: int = 1
    """Above 1: every so many points only; the long run takes every one."""


def never_recorded(folder: Path) -> None:
    git(folder, "init", "-q")
    put(folder, "studio.toml", HEAD)


def with_page(folder: Path) -> None:
    studio(folder)
    assert run(["review", "last~1..last", "-o", "review.html"], folder).status == OK


def with_drawings(folder: Path) -> None:
    studio(folder)
    assert run(["draw", "last~1..last", "-o", "mill.svg"], folder).status == OK
    (folder / "mill-change.svg").write_bytes(b"<!-- an older drawing by routecode -->" * 3)
    (folder / "mill-before.svg").unlink()


def with_face(folder: Path) -> None:
    studio(folder)
    assert run(["draw", "last", "--face", "main", "-o", "face.svg"], folder).status == OK


def with_history(folder: Path) -> None:
    recorded(folder)
    assert run(["history", "--limit", "1", "--page", "history.html"], folder).status == OK


def with_two_steps(folder: Path) -> None:
    """Three commits; the last one changes, adds and deletes a file."""
    recorded(folder)
    (folder / "old.toml").write_text(UNIT.format("d"))
    (folder / "units.toml").write_text(UNIT.format("a") + UNIT.format("b"))
    (folder / "bay.toml").rename(folder / "bays.toml")
    git(folder, "add", "-A")
    git(folder, "tag", "then")
    git(folder, "commit", "-qm", "four")


def nothing(folder: Path) -> None:
    """An empty folder."""


def outer(folder: Path) -> None:
    git(folder, "init", "-q")
    put(folder, "notes.txt", "x\n")
    git(folder, "add", "-A")
    git(folder, "commit", "-qm", "notes")


CASES = {
    "new": Case(["new", "mill", "--bay", "2"], nothing, "mill", step=4),
    "new, here": Case(["new", ".", "--bay", "2"], nothing, step=9),
    "new, in a repository": Case(["new", "mill", "--bay", "2"], outer, step=9),
    "record": Case(["record", "three"], studio, middle=True, step=3),
    "record, the first": Case(["record", "one"], never_recorded, middle=True, step=4),
    "diff": Case(["diff", "last~1..last", "--write-allowed", "allowed.toml"], studio),
    "draw": Case(["draw", "last~1..last", "-o", "mill.svg", "--force"], with_drawings, step=3),
    "draw, a face": Case(["draw", "--face", "main", "-o", "face.svg"], with_face),
    "review": Case(["review", "-o", "review.html"], with_page, step=2),
    "history": Case(["history", "--page", "history.html"], with_history),
    "rollback": Case(["rollback", "then", "--write"], with_two_steps, middle=True, step=6),
    "jobsheet": Case(["jobsheet", "last~1..last", "--html", "job.html"], studio),
    "jobsheet, results": Case(["jobsheet", "last", "--write-results"], recorded),
    "book": Case(["book", "last", "-o", "book.pdf"], studio, step=2),
    "labels": Case(["labels", "last", "-o", "labels.svg", "--format", "svg"], studio, step=2),
}
JOURNAL = "routecode-rollback"
SIGNALS = ("SIGINT", "SIGTERM", "SIGHUP")
WRITES_NOTHING = {"check", "paths", "trace", "rules", "plain", "before-merge", "cables", "parts"}


def test_every_command_is_here_or_writes_nothing() -> None:
    assert {name.partition(",")[0] for name in CASES} | WRITES_NOTHING == set(COMMANDS)


@pytest.fixture
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    pin(monkeypatch, tmp_path / "home")
    at(monkeypatch, 0)
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path))
    monkeypatch.setenv("TMPDIR", str(tmp_path / "temporary"))
    monkeypatch.setenv("ROUTECODE_KEEP", "no")  # else a second run would write less than the first
    (tmp_path / "temporary").mkdir()
    return tmp_path


class Bench:
    """One case, set up once and copied for each run."""

    def __init__(self, shelf: Path, case: Case) -> None:
        self.shelf = shelf
        self.case = case
        self.taken_up: set[str] = set()
        (shelf / "before").mkdir()
        case.before(shelf / "before")
        self.old = self.left(self.fresh())
        place = self.fresh()
        self.whole = run(case.arguments, place)
        assert self.whole.status == OK, self.whole
        self.new = self.left(place)
        assert self.new != self.old

    def fresh(self) -> Path:
        place = self.shelf / "work"
        shutil.rmtree(place, ignore_errors=True)
        shutil.copytree(self.shelf / "before", place, symlinks=True)
        return place

    def left(self, place: Path) -> Left:
        return left(place / self.case.root)

    def check_ended(self, fault: str, ended: Ended, now: Left) -> None:
        """What a run that could clean up left."""
        assert now in (self.old, self.new), difference(now, self.old)
        assert list((self.shelf / "temporary").iterdir()) == []
        if fault == FULL:
            assert ended.status == (OK if now == self.new else UNREADABLE), ended
            assert ended.status == OK or told(ended.err), ended
        else:
            assert ended.status == INTERRUPTED or (ended.status == OK and now == self.new), ended

    def check_killed(self, place: Path, now: Left) -> None:
        """What a killed one left, and the run after it."""
        files = {name: data for name, data in now.files.items() if not DRAFT.fullmatch(name)}
        about = [name for name in now.about if not DRAFT.fullmatch(name)]
        if self.case.middle and now.head == self.old.head and "index.lock" in about:
            about.remove("index.lock")
        bare = Left(now.head, now.staged, files, tuple(about))
        if self.case.arguments[0] == "new":
            assert not any(name.endswith("studio.toml") for name in files) or files == self.new.files
            assert bare.head in (self.old.head, self.new.head)
        elif JOURNAL in about and now.head == self.old.head:  # what is on the way is written down, and is taken back
            assert all(data in (self.old.files.get(name), self.new.files.get(name)) for name, data in files.items())
        elif JOURNAL in about:
            assert bare._replace(about=()) == self.new
        elif bare not in (self.old, self.new) and self.case.middle:
            assert bare == self.old._replace(staged=self.new.staged), difference(bare, self.old)
        elif bare not in (self.old, self.new):  # pictures of one drawing, each whole
            assert all(data in (self.old.files.get(name), self.new.files.get(name)) for name, data in files.items())
            assert self.case.arguments[0] == "draw"
        alike = repr((now.head, now.staged, sorted(map(unnamed, now.about)), sorted(map(unnamed, now.files)), bare))
        if alike in self.taken_up:  # such a state was taken up already
            return
        self.taken_up.add(alike)
        again = run(self.case.arguments, place)
        assert again.status in (OK, UNREADABLE), again
        assert self.left(place) == self.new, difference(self.left(place), self.new)


def faults_of(point: int, kind: str) -> tuple[str, ...]:
    """A kill at every point; of the faults that a run can answer, the next one in turn: what they leave is undone by the same steps."""
    turn = FULL if kind in "wg" and point % 2 else SIGNALS[point % len(SIGNALS)]
    return (turn, "SIGKILL")


def every_fault(_point: int, kind: str) -> tuple[str, ...]:
    return tuple(fault for fault in FAULTS if fault != FULL or kind in "wg")


def loop(bench: Bench, faults: Callable[[int, str], tuple[str, ...]], step: int) -> None:
    """Every fault at every point: the old state or the new one."""
    assert bench.whole.points.count("w") >= 3
    states = set()
    for point, kind in list(enumerate(bench.whole.points, 1))[::step]:
        for fault in faults(point, kind):
            place = bench.fresh()
            ended = run(bench.case.arguments, place, point, fault)
            assert "Traceback" not in ended.err
            now = bench.left(place)
            if fault == "SIGKILL":
                assert ended.status == -signal.SIGKILL
                bench.check_killed(place, now)
            else:
                bench.check_ended(fault, ended, now)
                states.add("old" if now == bench.old else "new")
    assert states == {"old", "new"}


@pytest.mark.parametrize("which", CASES)
def test_a_fault_at_every_point_leaves_the_old_state_or_the_new(which: str, shelf: Path) -> None:
    loop(Bench(shelf, CASES[which]), faults_of, CASES[which].step)


@pytest.mark.heavy
@pytest.mark.parametrize("which", CASES)
def test_every_fault_at_every_point(which: str, shelf: Path) -> None:
    loop(Bench(shelf, CASES[which]), every_fault, 1)


def unnamed(name: str) -> str:
    """The name of a draft without what chance put into it."""
    return re.sub(r"[0-9a-f]{16}", "*", name)


def told(err: str) -> bool:
    """Whether a message says what failed, and what to do."""
    return "No space left on device" in " ".join(err.split()).replace("no space", "No space") and "Do:" in err


def difference(one: Left, other: Left) -> str:
    """Where two states differ, to be read when a test fails."""
    names = sorted(
        name for name in one.files.keys() | other.files.keys() if one.files.get(name) != other.files.get(name)
    )
    return f"head {one.head} {other.head}, about {one.about} {other.about}, files {names}\n{one.staged}\n{other.staged}"
