"""`routecode diff` on a real repository: what it compares, how it ends, and that nothing sounds like "no change" after a failure."""

import json
from pathlib import Path

import pytest

from tests.change.wiring import PLAIN, changed
from tests.cli.asking import Ran, ask, change, forget, git
from tests.cli.conftest import machine

__all__ = ["machine"]

CALM = ("nothing changed", "identical", "no change", "compared", "same")
SETUP = PLAIN + '\n[setup.folk]\ntitle = "Folk"\n'


@pytest.fixture
def studio(machine: Path) -> Path:
    """A recorded studio with two commits: the second lifts the eight lines off the preamplifier."""
    folder = machine / "weir"
    folder.mkdir()
    file = folder / "studio.toml"
    file.write_text(SETUP, encoding="utf-8")
    git(machine, "init", "-q", "-b", "main", str(folder))
    record(folder, "As it is")
    change(file, 'bottom = "pre-a/mic 1..8"\n', "")
    record(folder, "Preamp A out")
    return folder


def record(folder: Path, title: str) -> None:
    git(folder, "add", "-A")
    git(folder, "commit", "-q", "-m", title)
    forget()


def diff(studio: Path, *arguments: str) -> Ran:
    forget()
    return ask("diff", *arguments, "--in", str(studio))


LOST = "Hall lines 1-8 no longer reach Converter lines 1-8."


def test_right_after_a_commit_it_says_so_and_how_to_see_that_commit(studio: Path) -> None:
    ran = diff(studio)
    head = git(studio, "rev-parse", "HEAD")
    assert ran.status == 0
    assert f'Nothing changed since {head[:10]}, "Preamp A out", 2026-03-01.' in ran.out
    assert "routecode diff last~1..last" in ran.out
    assert LOST in diff(studio, "last~1..last").out


def test_a_revision_and_the_files_as_they_are(studio: Path) -> None:
    ran = diff(studio, "last~1")
    assert LOST in ran.out
    assert '"As it is", 2026-03-01' in ran.out
    assert "the files as they are now" in ran.out


def test_backwards(studio: Path) -> None:
    assert "Hall lines 1-8 now reach Converter lines 1-8." in diff(studio, "last..last~1").out


def test_the_last_commit_and_the_files_as_they_are(studio: Path) -> None:
    change(studio / "studio.toml", 'title = "Preamp A"', 'title = "Preamp West"')
    ran = diff(studio)
    assert "Only text differs" in ran.out
    assert "Preamp A is now called Preamp West." in ran.out


def test_files_that_are_not_recorded_count_and_are_named(studio: Path) -> None:
    cable = '[[cable]]\nfrom = "booth/1"\nto = "pre-b/mic 1"\n'
    (studio / "new-cable.toml").write_text(cable, encoding="utf-8")
    ran = diff(studio)
    assert "Narration booth 1 now reaches Converter line 9." in ran.out
    assert "(not recorded yet: new-cable.toml)" in " ".join(ran.out.split())


def test_exit_code(studio: Path) -> None:
    assert diff(studio, "last~1..last").status == 0
    assert diff(studio, "last~1..last", "--exit-code").status == 1
    assert diff(studio, "--exit-code").status == 0


def test_json_has_both_ids(studio: Path) -> None:
    document = json.loads(diff(studio, "last~1", "--json").out)
    assert document["schema"] == "routecode/diff/1"
    assert (document["ok"], document["result"]) == (True, "ends-changed")
    assert document["before"] == git(studio, "rev-parse", "HEAD~1")
    assert document["after"] == "worktree"
    (state, folk) = document["states"]
    assert (state["setup"], folk["setup"]) == (None, "folk")
    assert [row["to"] for row in state["paths"]["lost"] if not row["idle"]] == [f"conv/line {n}" for n in range(1, 9)]


def test_json_of_one_setup(studio: Path) -> None:
    document = json.loads(diff(studio, "last~1", "--json", "--setup", "folk").out)
    assert [state["setup"] for state in document["states"]] == ["folk"]


def test_expand(studio: Path) -> None:
    assert "path lost: hall/line 3 -> conv/line 3" in diff(studio, "last~1", "--expand").out


def test_an_unknown_setup_is_refused(studio: Path) -> None:
    ran = diff(studio, "last~1", "--setup", "folc")
    assert (ran.status, ran.out) == (2, "")
    assert "There is no setup folc." in ran.err
    assert "folk" in ran.err


@pytest.mark.parametrize("as_json", [False, True])
@pytest.mark.parametrize("side", ["before", "after"])
def test_after_a_failure_on_either_side_nothing_sounds_like_no_change(studio: Path, side: str, as_json: bool) -> None:
    file = studio / "studio.toml"
    whole = file.read_text(encoding="utf-8")
    file.write_text(whole.replace("pre-a/out 1..8", "pre-x/out 1..8"), encoding="utf-8")
    if side == "before":
        record(studio, "Half done")
        file.write_text(whole, encoding="utf-8")
    ran = diff(studio, *(["--json"] if as_json else []))
    assert ran.status == 2
    said = ran.out + ran.err
    assert "pre-x" in said
    assert not any(word in said.lower() for word in CALM)
    if as_json:
        document = json.loads(ran.out)
        assert (document["schema"], document["ok"]) == ("routecode/diff/1", False)
        assert document["errors"]
    else:
        assert ran.out == ""


def test_a_revision_that_does_not_exist(studio: Path) -> None:
    ran = diff(studio, "no-such-tag")
    assert ran.status == 2
    assert not any(word in (ran.out + ran.err).lower() for word in CALM)


def test_three_dots_are_refused_with_the_way_out(studio: Path) -> None:
    ran = diff(studio, "last~1...last")
    assert ran.status == 2
    assert "last~1..last" in ran.err


def test_a_changed_text_without_meaning_is_never_called_identical(studio: Path) -> None:
    file = studio / "studio.toml"
    file.write_text(
        changed(file.read_text(encoding="utf-8"), ("[unit.booth]", "# The small one.\n[unit.booth]")), encoding="utf-8"
    )
    ran = diff(studio, "--exit-code")
    assert ran.status == 1
    assert "Only text differs" in ran.out


@pytest.mark.parametrize("branch", [False, True])
def test_the_files_as_they_are_may_be_named(studio: Path, branch: bool) -> None:
    """`A..worktree` is `A`, also where a branch has that name: what is not recorded is never answered from what is."""
    if branch:
        git(studio, "branch", "worktree")
    change(studio / "studio.toml", 'title = "Preamp A"', 'title = "Preamp West"')
    plain, named = diff(studio, "last~1"), diff(studio, "last~1..worktree")
    assert "Preamp A is now called Preamp West." in plain.out
    assert (named.status, named.out) == (plain.status, plain.out)
    assert diff(studio, "..worktree").out == diff(studio, "last").out
    assert ask("review", "last..worktree", "--in", str(studio), "-o", str(studio.parent / "r.html")).status == 0
    assert ask("draw", "last..worktree", "--in", str(studio), "-o", str(studio.parent / "d.svg")).status == 0
