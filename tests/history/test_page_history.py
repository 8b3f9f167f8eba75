"""The page `history`: it is printed, and every command on it is run on the example's history as it stands there."""

import re
import shlex
from pathlib import Path

import pytest

from routecode.cli.history import command as history
from routecode.cli.rollback import command as rollback
from tests.cli.asking import ROOT, Ran, forget, git, run
from tests.files.shop import pin
from tests.test_example import HISTORY

PAGE = (ROOT / "routecode" / "pages" / "history.md").read_text(encoding="utf-8")
COMMANDS = [line for block in PAGE.split("```")[1::2] for line in block.strip().splitlines()]
SAID = " ".join(PAGE.split())


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The example with its history."""
    dest = tmp_path_factory.mktemp("page") / "millrace"
    HISTORY.build(dest)
    return dest


@pytest.fixture
def studio(built: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of it, on a machine with nothing of its own but a name."""
    pin(monkeypatch, tmp_path / "home")
    folder = tmp_path / "millrace"
    git(tmp_path, "clone", "-q", str(built), str(folder))
    forget()
    return folder


def pasted(line: str, folder: Path) -> Ran:
    """A command as it is pasted, settings of the environment ahead of it left to the caller."""
    words = shlex.split(line)
    while "=" in words[0]:
        words.pop(0)
    assert words.pop(0) == "routecode"
    return run(*words, folder=folder)


def test_the_page_is_printed(studio: Path) -> None:
    assert run("rules", "--history", folder=studio).out == PAGE
    assert [line for line in PAGE.splitlines() if len(line) > 80 and not line.startswith("|")] == []


@pytest.mark.parametrize("line", COMMANDS)
def test_every_command_of_the_page_does_what_it_says(studio: Path, line: str) -> None:
    head = git(studio, "rev-parse", "HEAD")
    ran = pasted(line, studio)
    assert ran.status == 0, ran.err
    assert ran.out
    assert all(len(each) <= 80 for each in ran.out.splitlines())
    assert "None of them is what was asked for" not in ran.out
    writes = "--write" in line
    assert (git(studio, "rev-parse", "HEAD^" if writes else "HEAD")) == head
    assert git(studio, "status", "--porcelain").strip() in ("", "?? life.html")
    if "rollback" in line and not writes:
        asked = pasted(ran.out.splitlines()[-1], studio)
        assert (asked.status, git(studio, "rev-parse", "HEAD^")) == (0, head)


def test_the_commands_are_those_of_all_its_chapters() -> None:
    assert len(COMMANDS) == len(set(COMMANDS)) == 16
    assert COMMANDS[-1] == "ROUTECODE_KEEP=no routecode history"


def test_every_option_of_the_page_is_one_and_none_that_picks_is_left_out() -> None:
    named = set(re.findall(r"--[a-z]+", re.sub(r"`?routecode (rules|diff) [^`\n]*`", "", PAGE)))
    words = {word for one in (history, rollback) for option in one.params for word in option.opts}
    known = {word for word in words if word.startswith("--")}
    assert named <= known
    assert known - named == {"--in", "--dot", "--no-guess"}


def test_what_goes_back_can_be_taken_back(studio: Path) -> None:
    """The last line of a rollback that was written returns to what was there."""
    texts = {path: path.read_bytes() for path in studio.rglob("*.toml")}
    wrote = run("rollback", "5", "--write", folder=studio)
    assert {path: path.read_bytes() for path in studio.rglob("*.toml")} != texts
    assert pasted(wrote.out.splitlines()[-1], studio).status == 0
    assert {path: path.read_bytes() for path in studio.rglob("*.toml")} == texts


def test_numbers_move_on_and_ids_stay(studio: Path) -> None:
    before = run("history", "--limit", "1", folder=studio).out
    run("rollback", "2", "--write", folder=studio)
    after = run("history", "--limit", "2", folder=studio).out
    (commit,) = re.findall(r"\b[0-9a-f]{10}\b", before)
    assert re.search(r"^   1 .*?\n\n   2  2025-10-27.*" + commit, after, re.DOTALL | re.MULTILINE)


def test_answers_are_kept_where_the_page_says_and_not_in_the_studio(
    studio: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setenv("ROUTECODE_KEEP", "no")
    plain = run("history", folder=studio).out
    assert not (tmp_path / "cache").exists()
    monkeypatch.delenv("ROUTECODE_KEEP")
    assert run("history", folder=studio).out == plain
    kept = list((tmp_path / "cache" / "routecode").iterdir())
    assert kept
    assert (tmp_path / "cache" / "routecode").stat().st_mode & 0o077 == 0
    for path in kept:
        path.unlink()
    assert run("history", folder=studio).out == plain
    assert git(studio, "status", "--porcelain") == ""


def test_a_part_that_needs_another_says_which_as_the_page_tells(studio: Path) -> None:
    ran = run("rollback", "12", "--bay", "north", folder=studio)
    assert ran.status == 2
    assert "Return it together with: --unit hall" in ran.err


def test_a_refusal_ends_with_the_command_to_type(studio: Path) -> None:
    path = studio / "studio.toml"
    path.write_bytes(path.read_bytes() + b"# mine\n")
    meant = run("rollback", "5", folder=studio)
    assert meant.status == 2
    ran = run("rollback", "5", "--write", folder=studio)
    assert ran.status == 2
    lines = [line.strip() for line in ran.err.splitlines()]
    assert lines[-3] == "routecode record 'what I did'"
    assert re.fullmatch("routecode rollback [0-9a-f]{10} --write", lines[-1])
    assert meant.err.splitlines()[-1].strip() == lines[-1].removesuffix(" --write")
    assert path.read_bytes().endswith(b"# mine\n")
    assert "the last lines are the command that records it, and yours again with the id of the commit" in SAID


def test_a_file_whose_folder_was_left_out_is_found(studio: Path) -> None:
    ran = run("rollback", "2", "--file", "drama.toml", folder=studio)
    assert (ran.status, "Did you mean `setups/drama.toml`?" in ran.err) == (2, True)
