"""Tests of what is kept between runs: the same answer or none, whatever happens to the file."""

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

from routecode.files.kept import MAX_VALUE, Kept, open_kept, program

ANSWER = {"title": "Hall line 3 \udc80 \x1b[31m", "lost": [1, 2, 3], "fine": True, "none": None}


@pytest.fixture(name="cache")
def _cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.delenv("ROUTECODE_KEEP", raising=False)
    return tmp_path / "cache" / "routecode"


def fill(count: int) -> None:
    """Keep so many answers."""
    with open_kept() as kept:
        for number in range(count):
            kept.put(f"entry {number}", {"number": number, "text": "x" * 200})


def test_kept_answers_come_back(cache: Path) -> None:
    assert open_kept().get("diff 1") is None
    assert not cache.exists()  # asking makes nothing
    with open_kept() as kept:
        kept.put("diff 1", ANSWER)
        assert kept.get("diff 1") == ANSWER
    assert open_kept().get("diff 1") == ANSWER
    assert open_kept().get("diff 2") is None
    if os.name != "nt":
        assert cache.stat().st_mode & 0o777 == 0o700


def test_a_later_answer_replaces_an_earlier(cache: Path) -> None:
    for answer in (1, 2):
        with open_kept() as kept:
            kept.put("a", answer)
    assert open_kept().get("a") == 2
    assert len(list(cache.iterdir())) == 1


def test_damage_gives_the_right_answer_or_none_and_heals(cache: Path) -> None:
    fill(60)
    (base,) = cache.iterdir()
    whole, chance, wrong, lost = base.read_bytes(), random.Random(3), 0, 0
    for _ in range(150):
        data = bytearray(whole)
        for _ in range(chance.choice((1, 1, 40, 4000))):
            data[chance.randrange(len(data))] = chance.randrange(256)
        base.write_bytes(bytes(data[: chance.choice((len(data), len(data), chance.randrange(len(data))))]))
        kept = open_kept()
        for number in range(60):
            found = kept.get(f"entry {number}")
            lost += found is None
            wrong += found not in (None, {"number": number, "text": "x" * 200})
        kept.settle()
    assert (wrong, lost > 0) == (0, True)
    base.write_bytes(b"no database at all" * 100)
    open_kept().get("entry 1")
    fill(1)
    assert open_kept().get("entry 0") is not None


def test_an_answer_put_under_another_question_is_not_taken(cache: Path) -> None:
    fill(2)
    (base,) = cache.iterdir()
    with sqlite3.connect(base) as opened:
        rows = opened.execute("SELECT question, proof, answer FROM kept ORDER BY question").fetchall()
        for (question, _, _), (_, proof, answer) in zip(rows, reversed(rows), strict=True):
            opened.execute("UPDATE kept SET proof = ?, answer = ? WHERE question = ?", (proof, answer, question))
    opened.close()
    assert [open_kept().get(f"entry {number}") for number in (0, 1)] == [None, None]


def test_a_base_without_its_table_is_filled(cache: Path) -> None:
    fill(1)
    (base,) = cache.iterdir()
    with sqlite3.connect(base) as opened:
        opened.execute("DROP TABLE kept")
    opened.close()
    with open_kept() as kept:
        assert kept.get("entry 0") is None
        kept.put("entry 0", 5)
    assert open_kept().get("entry 0") == 5


def test_nothing_is_kept_where_it_is_switched_off_or_not_safe(cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fill(1)
    studio = cache.parent.parent
    with open_kept(studio) as kept:  # the cache lies in the studio
        assert kept.get("entry 0") is None
    monkeypatch.setenv("ROUTECODE_KEEP", "no")
    assert open_kept().get("entry 0") is None
    monkeypatch.delenv("ROUTECODE_KEEP")
    assert open_kept().get("entry 0") is not None
    (studio / ".git").mkdir()  # the cache lies in a work tree
    assert open_kept().get("entry 0") is None
    (studio / ".git").rmdir()
    monkeypatch.setenv("XDG_CACHE_HOME", "relative")
    monkeypatch.setenv("HOME", str(studio / "home"))
    fill(1)
    assert (studio / "home" / ".cache" / "routecode").is_dir()
    assert not Path("relative").exists()


def test_a_folder_that_others_can_write_is_not_trusted(cache: Path, tmp_path: Path) -> None:
    fill(1)
    cache.chmod(0o777)
    with open_kept() as kept:
        assert kept.get("entry 0") is None
        kept.put("entry 0", "x")
    cache.chmod(0o700)
    assert open_kept().get("entry 0") == {"number": 0, "text": "x" * 200}
    cache.rename(tmp_path / "elsewhere")
    cache.symlink_to(tmp_path / "elsewhere")
    assert open_kept().get("entry 0") is None


def test_another_state_of_the_program_has_its_own(cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fill(1)
    monkeypatch.setattr("routecode.files.kept.program", lambda: "other")
    assert open_kept().get("entry 0") is None
    (old,) = cache.iterdir()
    long_ago = time.time() - 60 * 24 * 3600
    os.utime(old, (long_ago, long_ago))
    fill(1)
    assert [path.name for path in cache.iterdir()] == ["answers-other.sqlite"]


def test_the_state_of_the_program_is_its_sources(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    source = tmp_path / "routecode" / "files" / "kept.py"
    source.parent.mkdir(parents=True)
    source.write_text("one", encoding="utf-8")
    monkeypatch.setattr("routecode.files.kept.__file__", str(source))
    program.cache_clear()
    before = program()
    (source.parent / "more.py").write_text("", encoding="utf-8")
    program.cache_clear()
    assert program() != before
    program.cache_clear()


def test_what_is_too_large_is_let_go(cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with open_kept() as kept:
        kept.put("large", "x" * MAX_VALUE)
        assert kept.get("large") is None
    monkeypatch.setattr("routecode.files.kept.MAX_WHOLE", 20_000)
    fill(60)
    fill(200)
    found = [open_kept().get(f"entry {number}") is not None for number in range(200)]
    assert 0 < sum(found) < 200
    assert found[-1]
    assert cache.exists()


_WRITER = (
    "import sys; from routecode.files.kept import open_kept\n"
    "print('ready', flush=True)\n"
    "while True:\n"
    "    with open_kept() as kept:\n"
    "        for n in range(300): kept.put(f'entry {n}', {'number': n, 'text': 'x' * 200})\n"
)


@pytest.mark.usefixtures("cache")
def test_killed_while_it_writes_it_holds_whole_answers() -> None:
    for delay in (0.0, 0.01, 0.03, 0.08):
        writers = [subprocess.Popen([sys.executable, "-c", _WRITER], stdout=subprocess.PIPE) for _ in range(2)]
        for writer in writers:
            assert writer.stdout is not None
            writer.stdout.readline()
        time.sleep(delay)
        for writer in writers:
            writer.send_signal(signal.SIGKILL)
            writer.communicate()
        found = [open_kept().get(f"entry {number}") for number in range(300)]
        assert all(each in (None, {"number": number, "text": "x" * 200}) for number, each in enumerate(found))
        fill(300)
        assert all(open_kept().get(f"entry {number}") is not None for number in (0, 299))


def test_a_full_disk_keeps_nothing_and_harms_nothing(cache: Path) -> None:
    fill(3)
    limited = (
        "import resource, signal; signal.signal(signal.SIGXFSZ, signal.SIG_IGN); resource.setrlimit(resource.RLIMIT_FSIZE, (16384, 16384))\n"
        "from tests.files.test_kept import fill; fill(3000)\n"
    )
    done = subprocess.run([sys.executable, "-c", limited], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    assert [open_kept().get(f"entry {number}") is not None for number in (0, 1, 2)] == [True] * 3
    assert cache.exists()


def test_what_is_kept_is_never_needed(tmp_path: Path) -> None:
    kept = Kept(tmp_path / "is" / "a" / "folder")
    (tmp_path / "is").write_text("in the way", encoding="utf-8")
    with kept:
        kept.put("a", 1)
    assert kept.get("a") is None
