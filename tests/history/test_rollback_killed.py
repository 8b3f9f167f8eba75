"""The command killed, interrupted, or without room on the disk at any of its steps: old or new, clean, and no byte lost."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.asking import ROOT, ask, forget, git
from tests.files.shop import pin
from tests.seeds import some

TEXTS = {
    "studio.toml": '[studio]\ntitle = "Mill"\nlanguage = 1\n',
    "rooms.toml": '[room.a]\ntitle = "A"\n',
    "more.toml": '[room.b]\ntitle = "B"\n',
}
LATER = {"studio.toml": TEXTS["studio.toml"], "rooms.toml": '[room.a]\ntitle = "Another"\n', "new/x.toml": "[room.x]\n"}

STOPPED = """
import os, signal, sys
from pathlib import Path
from routecode.files import edit_tree
from routecode.files.git import process, record
from routecode.cli.main import run
what, which, calls, begun = sys.argv[1], int(sys.argv[2]), [], []
def stopping(name, real):
    def call(*words, **options):
        if begun:
            calls.append(name)
            if len(calls) == which + 1:
                if what == "full":
                    raise OSError(28, "No space left on device")
                os.kill(os.getpid(), getattr(signal, what))
        return real(*words, **options)
    return call
def begin(*words):
    begun.append(True)
    return real_exchange(*words)
real_exchange, edit_tree.exchange = edit_tree.exchange, begin
for name in ("open", "replace", "unlink", "mkdir", "fsync"):
    setattr(os, name, stopping(name, getattr(os, name)))
process._start = stopping("git", process._start)
sys.argv = ["routecode", "rollback", "last~1", "--write", "--in", sys.argv[3]]
try:
    run()
finally:
    pass
"""


def lay(mill: Path, texts: dict[str, str]) -> None:
    for path in mill.rglob("*.toml"):
        path.unlink()
    for name, text in texts.items():
        (mill / name).parent.mkdir(parents=True, exist_ok=True)
        (mill / name).write_text(text, encoding="utf-8")


def wiring(mill: Path) -> dict[str, str]:
    """Everything in the work tree."""
    paths = [path for path in mill.rglob("*") if path.is_file() and ".git" not in path.relative_to(mill).parts]
    return {path.relative_to(mill).as_posix(): path.read_text(encoding="utf-8") for path in paths}


@pytest.fixture
def mill(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    pin(monkeypatch, tmp_path / "home")
    folder = tmp_path / "mill"
    folder.mkdir()
    git(folder, "init", "-q")
    for texts in (TEXTS, LATER):
        lay(folder, texts)
        forget()
        assert ask("record", "--in", str(folder), "x").status == 0
    return folder


def stopped(mill: Path, what: str, which: int) -> subprocess.CompletedProcess[bytes]:
    command = [sys.executable, "-c", STOPPED, what, str(which), str(mill)]
    return subprocess.run(command, cwd=ROOT, capture_output=True, check=False)


@pytest.mark.parametrize("what", ["SIGKILL", "SIGTERM", "SIGINT", "full"])
def test_stopped_at_any_step(mill: Path, what: str) -> None:
    head, seen = git(mill, "rev-parse", "HEAD"), set()
    for which in some(range(1, 76), 13 if what == "SIGKILL" else 6):
        done = stopped(mill, what, which)
        assert b"Traceback" not in done.stderr
        if what != "SIGKILL":
            assert wiring(mill) in (TEXTS, LATER), which
        for lock in (mill / ".git").rglob("*.lock"):
            assert what == "SIGKILL", lock
            lock.unlink()  # a killed git leaves its own; git says so, and so does the command
        forget()
        asked = ask("rollback", "last", "--in", str(mill))
        assert "Traceback" not in asked.err
        is_new = git(mill, "rev-parse", "HEAD") != head
        assert wiring(mill) == (TEXTS if is_new else LATER), which
        assert git(mill, "status", "--porcelain") == "", which
        assert not (mill / ".git" / "routecode-rollback").exists()
        assert is_new or done.returncode != 0
        assert "error" not in git(mill, "fsck", "--strict")
        seen.add(is_new)
        git(mill, "reset", "-q", "--hard", head)
    assert False in seen
    assert True in seen


def cut_short(mill: Path) -> None:
    """A mixture of two states in the work tree, left by a rollback that was killed."""
    for which in range(12, 60, 2):
        stopped(mill, "SIGKILL", which)
        if (mill / ".git" / "routecode-rollback" / "note.json").exists() and wiring(mill) != LATER:
            break
    assert wiring(mill) not in (TEXTS, LATER)
    forget()


def test_what_a_killed_one_left_is_taken_back_and_told_by_record_too(mill: Path) -> None:
    cut_short(mill)
    ran = ask("record", "--in", str(mill), "x")
    assert "A rollback was stopped half way; it has been taken back." in " ".join(ran.err.split())
    assert "There is nothing to record." in " ".join(ran.out.split())
    assert wiring(mill) == LATER


LOOKING = (
    ("check",),
    ("check", "--json"),
    ("check", "--at", "staged"),
    ("paths",),
    ("diff",),
    ("diff", "last~1"),
    ("diff", "last..staged"),
    ("draw",),
    ("cables",),
    ("parts",),
    ("jobsheet", "last~1"),
    ("review", "last"),
    ("history", "--of", "nothing"),
)


def test_nothing_is_told_of_the_mixture_and_the_way_out_works(mill: Path) -> None:
    cut_short(mill)
    mixture = wiring(mill)
    for words in LOOKING:
        ran = ask(*words, "--in", str(mill))
        said = " ".join((ran.out + ran.err).split())
        assert ran.status == 2, words
        assert "A rollback was stopped half way." in said, words
        assert f"routecode rollback last --in {mill}" in "".join(said.split("\\n")).replace('\\"', '"'), words
        assert wiring(mill) == mixture, words
        forget()
    assert ask("check", "--at", "last", "--in", str(mill)).status == 0
    assert ask("diff", "last~1..last", "--in", str(mill)).status == 0
    taken = ask("rollback", "last", "--in", str(mill))
    assert (taken.status, wiring(mill)) == (0, LATER)
    forget()
    assert ask("check", "--in", str(mill)).status == 0


def test_what_was_edited_since_is_told_and_kept(mill: Path) -> None:
    cut_short(mill)
    written = next(name for name, text in wiring(mill).items() if LATER.get(name) != text)
    (mill / written).write_text("# mine\n", encoding="utf-8")
    ran = ask("rollback", "last", "--in", str(mill))
    assert f"Left as they are, since they were edited after it: {written}." in " ".join(ran.err.split())
    assert (mill / written).read_text(encoding="utf-8") == "# mine\n"


def test_a_folder_of_an_exchange_that_was_recorded_stands_in_no_ones_way(mill: Path) -> None:
    """Killed after the commit: the files are whole, and the folder alone is left."""
    cut_short(mill)
    desk = mill / ".git" / "routecode-rollback"
    for name in ("new", "rooms.toml", "more.toml", "studio.toml"):
        git(mill, "checkout", "-q", "HEAD~1", "--", name) if name in TEXTS else git(mill, "rm", "-rqf", name)
    git(mill, "commit", "-qm", "As the rollback would have")
    assert desk.is_dir()
    assert wiring(mill) == TEXTS
    ran = ask("check", "--in", str(mill))
    assert (ran.status, "rollback" in ran.out + ran.err) == (0, False)
