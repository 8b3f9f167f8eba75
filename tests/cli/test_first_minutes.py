"""What goes wrong in the first ten minutes of someone new to git and text is told in two sentences with the way out."""

import os
import shlex
from pathlib import Path

import pytest

from routecode.files.git import process
from tests.cli.asking import ask, forget, git, small
from tests.cli.cases import CASES, Case, rewritten

MISTAKES = CASES["mistakes.md"]


@pytest.mark.parametrize("case", MISTAKES, ids=lambda case: case.title)
def test_a_mistake_of_typing_is_told_like_this(machine: Path, case: Case) -> None:
    """Rewrite what is expected with ROUTECODE_REWRITE=1, and read the difference."""
    case.write(small(machine))
    ran = ask("check")
    assert (ran.status, ran.out) == (2, "")
    if os.environ.get("ROUTECODE_REWRITE") == "1":
        rewritten("mistakes.md", case, ran.err)
    assert ran.err == case.expected
    assert all(len(line) <= 80 for line in ran.err.splitlines())


def test_a_folder_of_another_user(machine: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert ask("new", "mill").status == 0
    monkeypatch.setattr(process, "KEPT", (*process.KEPT, "GIT_TEST_ASSUME_DIFFERENT_OWNER"))
    monkeypatch.setenv("GIT_TEST_ASSUME_DIFFERENT_OWNER", "1")
    (machine / "mill" / "more.toml").write_text("[room.attic]\n", encoding="utf-8")
    assert ask("check", "--in", "mill").status == 0  # needs no git
    for command in (["record", "x"], ["check", "--at", "last"]):
        forget()
        ran = ask(*command, "--in", "mill")
        assert (ran.status, ran.out) == (2, "")
        assert "belongs to another user" in " ".join(ran.err.split())
        assert "Do:" in ran.err


def test_a_second_copy_from_a_synchronised_drive(machine: Path) -> None:
    small(machine)
    (machine / "cables (Ann's conflicted copy).toml").write_text("", encoding="utf-8")
    ran = ask("check")
    assert ran.status == 2
    assert "two people saved at once" in " ".join(ran.err.split())
    assert "delete the other" in " ".join(ran.err.split())


def test_a_studio_that_is_not_in_git_is_checked_all_the_same(machine: Path) -> None:
    small(machine)
    assert ask("check").status == 0
    ran = ask("check", "--at", "last")
    assert ran.status == 2
    assert "is not in a git repository" in " ".join(ran.err.split())


def test_nothing_recorded_yet(machine: Path) -> None:
    small(machine)
    git(machine, "init", "-q")
    ran = ask("check", "--at", "last")
    assert ran.status == 2
    assert "Nothing has been recorded here yet." in ran.err
    assert "routecode record" in ran.err


def test_outside_of_any_studio(machine: Path) -> None:
    ran = ask("check")
    assert ran.status == 2
    assert "There is no studio.toml" in ran.err
    assert "routecode new" in ran.err


def test_below_the_folder_of_the_studio_it_is_found(machine: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    small(machine)
    monkeypatch.chdir(machine / "bays")
    assert ask("check").status == 0


def test_diff_right_after_a_commit_is_never_empty(machine: Path) -> None:
    assert ask("new", "mill").status == 0
    for title in ("Start the studio mill", "Loudspeakers the other way round"):
        ran = ask("diff", "--in", "mill")
        assert ran.status == 0, ran.err
        assert f'"{title}", 2026-03-01' in " ".join(ran.out.split())
        last = ran.out.strip().splitlines()[-1]
        if title.startswith("Start"):
            assert last == "It is the first commit."
        else:
            pasted = ask(*shlex.split(last.removeprefix("To see that commit: "))[1:])
            assert pasted.status == 0, pasted.err
            assert "Recorder mix 1" in pasted.out
        cables = machine / "mill" / "cables.toml"
        cables.write_text(cables.read_text(encoding="utf-8").replace("near/in 1..2", "near/in 2..1"), encoding="utf-8")
        ask("record", "--in", "mill", "Loudspeakers the other way round")
        forget()


@pytest.mark.parametrize("between", ["2..1", "2", "last~1..last", "first..last", "last~1"])
def test_ranges_of_numbers_tags_and_last(machine: Path, between: str) -> None:
    assert ask("new", "mill").status == 0
    git(machine / "mill", "tag", "first")
    cables = machine / "mill" / "cables.toml"
    cables.write_text(cables.read_text(encoding="utf-8").replace("near/in 1..2", "near/in 2..1"), encoding="utf-8")
    assert ask("record", "--in", "mill", "Other way round").status == 0
    ran = ask("diff", between, "--in", "mill")
    assert ran.status == 0, ran.err
    assert "Recorder mix 1" in ran.out
    assert '"Start the studio mill", 2026-03-01' in ran.out


@pytest.mark.parametrize(
    ("between", "said"), [("2...1", "two dots"), ("1..nowhere", "nowhere"), ("nowhere..1", "nowhere")]
)
def test_a_range_that_is_none(machine: Path, between: str, said: str) -> None:
    assert ask("new", "mill").status == 0
    ran = ask("diff", between, "--in", "mill")
    assert (ran.status, ran.out) == (2, "")
    assert said in ran.err


def test_no_pager_is_started(machine: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("PAGER", "GIT_PAGER", "MANPAGER"):
        monkeypatch.setenv(name, "touch paged")
    assert ask("new", "mill").status == 0
    for command in (["rules", "--language"], ["check"], ["check", "--at", "last"], ["paths"]):
        assert ask(*command, *([] if command[0] == "rules" else ["--in", "mill"])).status == 0
    assert not (machine / "paged").exists()
