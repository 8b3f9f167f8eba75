"""Tests of answers kept between runs: the same bytes as when worked out, and asked anew whenever anything that decides them is another."""

import json
from datetime import date
from functools import partial
from pathlib import Path

import pytest

from routecode.cli import asked
from routecode.cli import diff as diff_command
from tests.cli.asking import ask, forget, git, run
from tests.history.mill import example


@pytest.fixture(name="mill")
def _mill() -> Path:
    return example()


@pytest.fixture(name="worked_out")
def _worked_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Keeping switched on; a list that grows with each answer that is worked out."""
    monkeypatch.setenv("ROUTECODE_KEEP", "yes")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    done: list[str] = []
    real = diff_command._answer

    def counted(folder: Path, between: str | None, setup: str | None, flags: diff_command.Flags) -> object:
        done.append(str(between))
        return real(folder, between, setup, flags)

    monkeypatch.setattr(diff_command, "_answer", counted)
    forget()
    return done


FORMS: tuple[list[str], ...] = (
    [],
    ["--json"],
    ["--markdown"],
    ["--annotations"],
    ["--draft"],
    ["--expand"],
    ["--setup", "folk"],
    ["--no-guess"],
)


@pytest.mark.parametrize("form", FORMS, ids=lambda form: " ".join(form) or "text")
def test_a_kept_answer_is_the_one_worked_out(mill: Path, worked_out: list[str], form: list[str]) -> None:
    asking = ["diff", "last~4..last", *form, "--in", str(mill)]
    first = ask(*asking)
    assert len(worked_out) == 1
    assert ask(*asking) == first
    assert len(worked_out) == 1
    assert run(*asking) == first
    assert run(*asking, ROUTECODE_KEEP="no") == first


def test_status_and_every_option_are_part_of_it(mill: Path, worked_out: list[str]) -> None:
    told = [ask("diff", "last~4..last", *form, "--in", str(mill)) for form in FORMS]
    assert len(worked_out) == len(FORMS)
    assert len({one.out for one in told}) > 4
    for _ in range(2):
        assert ask("diff", "last~4..last", "--exit-code", "--in", str(mill)).status == 1
    assert len(worked_out) == len(FORMS) + 1


def test_a_name_that_means_another_commit_is_another_question(
    mill: Path, worked_out: list[str], tmp_path: Path
) -> None:
    copy = tmp_path / "copy"
    git(tmp_path, "clone", "--quiet", str(mill), str(copy))
    git(copy, "branch", "side", "HEAD~1")
    first = ask("diff", "last~4..side", "--in", str(copy))
    git(copy, "branch", "--force", "side", "HEAD")
    second = ask("diff", "last~4..side", "--in", str(copy))
    assert first.out != second.out
    assert len(worked_out) == 2


def test_what_is_marked_as_built_is_part_of_it(mill: Path, worked_out: list[str], tmp_path: Path) -> None:
    copy = tmp_path / "copy"
    git(tmp_path, "clone", "--quiet", str(mill), str(copy))
    first = ask("diff", "last~1..last", "--in", str(copy))
    git(copy, "tag", "built/2026-01-01", "HEAD~3")
    second = ask("diff", "last~1..last", "--in", str(copy))
    assert second.out.startswith(first.out)
    assert "routecode diff built..last" in second.out
    assert len(worked_out) == 2


def test_another_day_is_another_question(mill: Path, worked_out: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    ask("diff", "last~1..last", "--in", str(mill))
    monkeypatch.setattr(asked, "today", lambda: date(2031, 1, 1))
    ask("diff", "last~1..last", "--in", str(mill))
    assert len(worked_out) == 2


def test_the_files_as_they_are_are_always_looked_at(mill: Path, worked_out: list[str], tmp_path: Path) -> None:
    copy = tmp_path / "copy"
    git(tmp_path, "clone", "--quiet", str(mill), str(copy))
    for between in (["last~1"], [], ["last..staged"]):
        for _ in range(2):
            ask("diff", *between, "--in", str(copy))
    assert len(worked_out) == 6


def test_an_answer_of_another_shape_is_worked_out(
    mill: Path, worked_out: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    first = ask("diff", "last~1..last", "--in", str(mill))
    real = json.loads
    wrongs: list[object] = [{}, ["text"], [1, "text"], [None, 0], "text", ["text", True]]
    for wrong in wrongs:
        monkeypatch.setattr("routecode.files.kept.json.loads", partial(_instead, wrong))
        assert ask("diff", "last~1..last", "--in", str(mill)) == first
    monkeypatch.setattr("routecode.files.kept.json.loads", real)
    assert len(worked_out) == 7


def _instead(wrong: object, _text: bytes) -> object:
    return wrong


def test_a_refusal_is_not_kept(mill: Path, worked_out: list[str]) -> None:
    told = [ask("diff", "last~1..lsat", "--in", str(mill)) for _ in range(2)]
    assert told[0] == told[1]
    assert told[0].status == 2
    assert len(worked_out) == 2
