"""`record`: the wiring files and nothing else become a commit; whatever stands in the way is told with the way out."""

import shlex
from pathlib import Path

import pytest

from tests.cli.asking import Ran, ask, change, git, small

WAS, NOW = 'to = "near/in 1..2"', 'to = "near/in 2..1"'


@pytest.fixture
def mill(machine: Path) -> Path:
    assert ask("new", "mill").status == 0
    return machine / "mill"


def edited(mill: Path) -> None:
    change(mill / "cables.toml", WAS, NOW)


def flat(ran: Ran) -> str:
    return " ".join(ran.err.split())


def test_the_wiring_is_recorded_and_hash_title_and_date_are_printed(mill: Path) -> None:
    edited(mill)
    (mill / "song.txt").write_text("la", encoding="utf-8")
    ran = ask("record", "--in", "mill", "Loudspeakers the other way round")
    assert ran.status == 0, ran.err
    head = git(mill, "rev-parse", "HEAD")
    assert ran.out.startswith(f'Recorded {head[:10]}, "Loudspeakers the other way round", 2026-03-01: 1 file.\n')
    assert "A recorded studio is not a backup, and a commit is not the racks." in ran.out
    assert git(mill, "diff", "--name-only", "HEAD~1", "HEAD") == "cables.toml"
    assert git(mill, "status", "--porcelain") == "?? song.txt"


@pytest.mark.parametrize("option", ["--message", "--mesage"])
def test_the_message_is_no_option_and_that_is_said(mill: Path, option: str) -> None:
    edited(mill)
    ran = ask("record", "--in", "mill", option, "Loudspeakers")
    assert ran.status == 2
    assert f"Leave {option} out: MESSAGE is given by itself." in flat(ran)
    assert "Did you mean" not in ran.err


def test_what_changed_is_drafted_below_the_message(mill: Path) -> None:
    edited(mill)
    ask("record", "--in", "mill", "Other way round")
    title, _, body = git(mill, "log", "-1", "--format=%B").partition("\n\n")
    assert title == "Other way round"
    assert "Near loudspeakers" in body


def test_without_a_message_it_is_drafted(mill: Path) -> None:
    edited(mill)
    assert ask("record", "--in", "mill").status == 0
    title = git(mill, "log", "-1", "--format=%s")
    assert title
    assert "Near loudspeakers" in git(mill, "log", "-1", "--format=%B")


def test_new_and_deleted_files_are_recorded(mill: Path) -> None:
    (mill / "setups.toml").unlink()
    (mill / "more.toml").write_text('[room.attic]\ntitle = "Attic"\n', encoding="utf-8")
    ran = ask("record", "--in", "mill", "Attic")
    assert "2 files" in ran.out, ran.err
    assert git(mill, "status", "--porcelain") == ""


def test_with_nothing_changed_it_says_since_when(mill: Path) -> None:
    ran = ask("record", "--in", "mill", "x")
    assert ran.status == 0
    assert "Nothing has changed since" in ran.out
    assert '"Start the studio mill", 2026-03-01' in ran.out


def test_other_staged_changes_are_not_taken_along(mill: Path) -> None:
    edited(mill)
    (mill / "song.txt").write_text("la", encoding="utf-8")
    git(mill, "add", "song.txt")
    ran = ask("record", "--in", "mill", "x")
    assert ran.status == 2
    assert "Other changes are staged in this repository: song.txt." in flat(ran)
    assert git(mill, "log", "--format=%s") == "Start the studio mill"


def test_without_an_identity_the_commands_to_paste_end_with_the_same_record(mill: Path, nobody: None) -> None:
    edited(mill)
    ran = ask("record", "--in", "mill", "it's done")
    assert ran.status == 2
    commands = [line.strip() for line in ran.err.splitlines() if line.strip().startswith(("git config", "routecode"))]
    assert len(commands) == 3
    for command in commands[:2]:
        git(mill, *shlex.split(command)[1:])
    assert ask(*shlex.split(commands[2])[1:]).status == 0
    assert git(mill, "log", "-1", "--format=%s") == "it's done"


def test_a_half_done_merge_is_told(mill: Path) -> None:
    (mill / ".git" / "MERGE_HEAD").write_text(git(mill, "rev-parse", "HEAD") + "\n", encoding="utf-8")
    edited(mill)
    ran = ask("record", "--in", "mill", "x")
    assert ran.status == 2
    assert "A merge is half done in this repository." in flat(ran)
    assert "git merge --abort" in flat(ran)


def test_conflict_marks_are_told_with_their_place(mill: Path) -> None:
    change(mill / "cables.toml", WAS, f"<<<<<<< HEAD\n{WAS}\n=======\n{NOW}\n>>>>>>> other")
    for command in (["record", "x"], ["check"]):
        ran = ask(*command, "--in", "mill")
        assert ran.status == 2
        assert "cables.toml:" in ran.err
        assert "(conflict-mark)" in flat(ran)


def test_a_detached_head_is_told_after_recording(mill: Path) -> None:
    git(mill, "checkout", "-q", "--detach")
    edited(mill)
    ran = ask("record", "--in", "mill", "x")
    assert ran.status == 0
    assert "detached head" in flat(ran)
    assert "git switch -c" in flat(ran)


def test_outside_of_git_the_way_out_can_be_pasted(machine: Path) -> None:
    small(machine / "my mill")
    ran = ask("record", "--in", "my mill", "as it is")
    assert ran.status == 2
    commands = [line.strip() for line in ran.err.splitlines() if line.strip().startswith(("git init", "routecode"))]
    assert len(commands) == 2
    git(machine, *shlex.split(commands[0])[1:])
    assert ask(*shlex.split(commands[1])[1:]).status == 0
    assert git(machine / "my mill", "log", "--format=%s") == "as it is"


def test_wiring_that_does_not_compile_is_recorded_only_when_that_is_said(mill: Path) -> None:
    change(mill / "cables.toml", WAS, 'to = "nowhere/in 1..2"')
    ran = ask("record", "--in", "mill", "half way")
    assert ran.status == 2
    assert "nowhere" in ran.err
    assert "Nothing was recorded" in flat(ran)
    command = ran.err.strip().splitlines()[-3 if "errors." in ran.err else -1].strip()
    assert command == "routecode record --in mill 'half way' --unfinished"
    assert ask(*shlex.split(command)[1:]).status == 0
    assert git(mill, "log", "-1", "--format=%s") == "half way"


def test_a_commit_of_another_kind_of_file_is_left_to_git(mill: Path) -> None:
    (mill / "song.txt").write_text("la", encoding="utf-8")
    assert "Nothing has changed" in ask("record", "--in", "mill", "x").out


def test_no_editor_and_no_pager_is_started(mill: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("EDITOR", "VISUAL", "GIT_EDITOR", "PAGER", "GIT_PAGER"):
        monkeypatch.setenv(name, "false")
    edited(mill)
    assert ask("record", "--in", "mill").status == 0


# -- what is new and wrong, and titles that keep their meaning -----------------------------------------------------------

TWICE = '[[cable]]\nfrom = "rec/mix 1"\nto = "main/bottom 20"\n'
LINES = 'from = "live/line 1..8"\nto = "pre/mic 1..8"'


def message(mill: Path) -> tuple[str, str]:
    title, _, body = git(mill, "log", "-1", "--format=%B").partition("\n\n")
    return title, " ".join(body.split())


def test_new_errors_are_told_and_stand_in_the_message(mill: Path) -> None:
    (mill / "x.toml").write_text(TWICE, encoding="utf-8")
    assert "New findings: - error: Recorder mix 1 has 2 cables" in " ".join(
        ask("diff", "--draft", "--in", "mill").out.split()
    )
    ran = ask("record", "--in", "mill", "A cable more")
    assert ran.status == 0
    assert "- error: Recorder mix 1 has 2 cables: Main bay bottom 20 and Near" in ran.out
    assert "routecode check" in ran.out
    assert max(map(len, ran.out.split("\n"))) <= 80
    assert "New findings: - error: Recorder mix 1 has 2 cables" in message(mill)[1]
    edited(mill)
    assert "error" not in ask("record", "--in", "mill", "Another thing").out
    assert "findings" not in message(mill)[1]


def test_the_first_record_tells_errors_too(machine: Path) -> None:
    mill = small(machine / "one")
    git(machine, "init", "--quiet", "--initial-branch=main")
    (mill / "x.toml").write_text(TWICE, encoding="utf-8")
    assert "- error: Recorder mix 1 has 2 cables" in ask("record", "--in", "one", "As it is").out


def test_a_need_that_fails_is_no_new_requirement(mill: Path) -> None:
    change(mill / "cables.toml", LINES, LINES.replace("mic 1..8", "mic 8..1"))
    assert "- error: Live room box line 1 does not reach" in ask("record", "--in", "mill").out
    title, body = message(mill)
    assert title == "1 need not met: Voice through the compressor"
    assert body.count("must reach") == 1
    assert "It no longer does." in body
    assert "New findings" not in body


def test_with_a_message_the_title_of_the_draft_is_left_out(mill: Path) -> None:
    change(mill / "cables.toml", LINES, LINES.replace("mic 1..8", "mic 8..1"))
    assert ask("record", "--in", "mill", "Crossed").status == 0
    title, body = message(mill)
    assert title == "Crossed"
    assert body.startswith(
        "Voice through the compressor: Live room box line 1 must reach Recorder line 1 through Preamp"
    )
    assert "..." not in body


@pytest.mark.parametrize(
    ("words", "want"),
    [
        ("Tape", "Tape mix 2 no longer reaches Near loudspeakers in 2"),
        ("Very " * 6 + "old", "Very Very Very Very Very Very old mix 2 no longer reaches Near ..."),
        ("Very " * 30 + "old", "1 loss"),
    ],
)
def test_a_title_says_in_which_direction_or_how_much(mill: Path, words: str, want: str) -> None:
    change(mill / "equipment.toml", 'title = "Recorder"', f'title = "{words}"')
    ask("record", "--in", "mill", "Title")
    change(mill / "cables.toml", 'from = "rec/mix 1..2"\nto = "near/in 1..2"', 'from = "rec/mix 1"\nto = "near/in 1"')
    change(mill / "cables.toml", '"M1..2"', '"M1"')
    assert ask("record", "--in", "mill").status == 0
    assert message(mill)[0] == want
