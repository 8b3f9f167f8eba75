"""A whole history kept from one run to the next: the same answer, no revision opened, and nothing trusted that does not fit."""

import json
from pathlib import Path

import pytest

from routecode.cli.past import Past
from routecode.history.remembered import question, recall, remember
from tests.change.wiring import PLAIN
from tests.files.shop import at, git, pin
from tests.history.mill import Counting, Memory, commit, history, opened, weir
from tests.history.test_log import CUT


@pytest.fixture(autouse=True)
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    pin(monkeypatch, tmp_path / "home")
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path))
    return tmp_path


def told(folder: Path, keep: Memory) -> tuple[list[object], int]:
    """The history as the command asks for it, and how many revisions were read for it."""
    repository = opened(folder)
    with repository.walking() as walker:
        reader = Counting(walker)
        past = Past(reader, repository, keep)  # type: ignore[arg-type] # a reader that counts
        items = list(past.entries())
        assert [(item.number, item.commit) for item in items] == past.commits
        return list(items), len(reader.asked)


def test_the_second_run_reads_no_revision(shelf: Path) -> None:
    folder = weir(shelf / "weir")
    commit(folder, "Exchanged", studio=CUT)
    keep = Memory()
    first, read = told(folder, keep)
    assert first == history(folder)
    assert read == 2
    keep.kept = json.loads(json.dumps(keep.kept))
    assert told(folder, keep) == (first, 0)


def test_commits_on_top_are_added(shelf: Path) -> None:
    folder = weir(shelf / "weir")
    keep = Memory()
    told(folder, keep)
    commit(folder, "Exchanged", studio=CUT)
    (folder / "README").write_text("x\n", encoding="utf-8")
    commit(folder, "Beside the wiring")
    commit(folder, "And back", studio=PLAIN)
    found, _ = told(folder, keep)
    assert found == history(folder)
    assert len(found) == 3
    assert told(folder, keep) == (found, 0)


def test_a_merge_on_top_is_worked_out_anew(shelf: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = weir(shelf / "weir")
    git(folder, "switch", "-qc", "side")
    at(monkeypatch, 1)
    commit(folder, "Booth", more='[[cable]]\nfrom = "booth/1"\nto = "pre-b/mic 1"\n')
    git(folder, "switch", "-q", "main")
    at(monkeypatch, 2)
    commit(folder, "Exchanged", studio=CUT)
    keep = Memory()
    told(folder, keep)
    at(monkeypatch, 3)
    git(folder, "merge", "-q", "--no-edit", "side")
    found, _ = told(folder, keep)
    assert found == history(folder)
    assert len(found) == 4


def test_a_shallow_copy_is_not_kept(shelf: Path) -> None:
    folder = weir(shelf / "weir")
    commit(folder, "Exchanged", studio=CUT)
    git(shelf, "clone", "-q", "--depth", "1", f"file://{folder}", "copy")
    keep = Memory()
    told(shelf / "copy", keep)
    assert not any(key.startswith("history ") for key in keep.kept)


@pytest.mark.parametrize(
    "spoilt",
    [[], {}, "x", [None], [[1, [], {}, None, False, False]], [[2]], [["1", "2", "3", "4", "5", "6"]]],
    ids=repr,
)
def test_what_does_not_fit_is_not_read(shelf: Path, spoilt: object) -> None:
    folder = weir(shelf / "weir")
    keep = Memory()
    items = history(folder)
    head = items[0].commit.id
    keep.put(question("", head), spoilt)
    with opened(folder).walking() as reader:
        assert recall(keep, "", head, reader) is None
        remember(keep, "", head, items)
        assert recall(keep, "", head, reader) == (0, items)
