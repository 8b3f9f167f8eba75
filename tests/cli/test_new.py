"""`new`: a folder that compiles, recorded, with an editor's schema; nothing is written where something stands in the way."""

import json
import shlex
import tomllib
from pathlib import Path

import fastjsonschema
import pytest

from routecode.language.schema import studio_schema
from tests.cli.asking import ask, git, run, small

NOT_A_BACKUP = "A recorded studio is not a backup, and a commit is not the racks."


def test_a_new_studio_compiles_is_recorded_and_is_fine(machine: Path) -> None:
    ran = ask("new", "mill")
    assert ran.status == 0, ran.err
    assert NOT_A_BACKUP in ran.out
    assert git(machine / "mill", "status", "--porcelain") == ""
    assert git(machine / "mill", "log", "--format=%s|%an") == "Start the studio mill|Ann Wright"
    head = git(machine / "mill", "rev-parse", "HEAD")
    assert f'{head[:10]}, "Start the studio mill", 2026-03-01' in ran.out
    checked = ask("check", "--in", "mill", "--tolerate", "note")
    assert checked.status == 0, checked.out
    found = json.loads(ask("check", "--in", "mill", "--json").out)["findings"]
    assert [each for each in found if each["severity"] != "note"] == []
    assert ask("paths", "--in", "mill", "--setup", "voice").status == 0


def test_every_command_it_names_can_be_pasted(machine: Path) -> None:
    ran = ask("new", "my mill")
    commands = [line.strip() for line in ran.out.splitlines() if line.startswith("  routecode ")]
    assert len(commands) == 3
    for command in commands:
        assert ask(*shlex.split(command)[1:]).status == 0


@pytest.mark.parametrize("more", [[], ["--bay", "48"]])
def test_the_schema_is_hooked_up_and_holds(machine: Path, more: list[str]) -> None:
    assert ask("new", "mill", *more).status == 0
    valid = fastjsonschema.compile(studio_schema())
    wiring = sorted((machine / "mill").rglob("*.toml"))
    assert wiring
    for path in wiring:
        text = path.read_text(encoding="utf-8")
        schema = path.parent / text.partition("\n")[0].removeprefix("#:schema ")
        assert json.loads(schema.read_text(encoding="utf-8")) == studio_schema()
        valid(tomllib.loads(text))


def test_an_empty_bay_is_a_sheet_of_one_line_a_column(machine: Path) -> None:
    assert ask("new", "mill", "--bay", "48").status == 0
    text = (machine / "mill" / "bays" / "main.toml").read_text(encoding="utf-8")
    rows = [line for line in text.splitlines() if line.startswith("  { at = ")]
    assert len(rows) == 48
    assert len({len(row) for row in rows}) == 1
    bay = tomllib.loads(text)["bay"]["main"]
    assert [column["at"] for column in bay["column"]] == list(range(1, 49))
    assert ask("check", "--in", "mill").status == 0


def test_a_filled_line_of_the_sheet_is_wiring(machine: Path) -> None:
    assert ask("new", "mill", "--bay", "24").status == 0
    sheet = machine / "mill" / "bays" / "main.toml"
    lines = sheet.read_text(encoding="utf-8").splitlines()
    at = next(number for number, line in enumerate(lines) if line.startswith("  { at =  3,"))
    lines[at] = '  { at =  3, top = ["a/out"], bottom = ["b/in"], normal = "full" },'
    units = [
        f'[unit.{unit}]\nroom = "control"\n[[unit.{unit}.port]]\nname = "{way}"\ndirection = "{way}"\nsignal = "line"'
        for unit, way in (("a", "out"), ("b", "in"))
    ]
    sheet.write_text("\n".join([*lines, *units, ""]), encoding="utf-8")
    document = json.loads(ask("paths", "--in", "mill", "--json").out)
    assert document["paths"] == [{"from": "a/out", "to": "b/in", "idle": False}]


@pytest.mark.parametrize("name", ['5" tape \\ "x"', "Mühle", "-x", "\x1b[2J", "'; rm -rf ~"])
def test_any_name_of_a_folder_makes_a_studio_that_compiles(machine: Path, name: str) -> None:
    ran = ask("new", "--", f"./{name}")
    assert ran.status == 0, ran.err
    assert "\x1b" not in ran.out
    assert ask("check", "--in", f"./{name}").status == 0


def test_any_title_too(machine: Path) -> None:
    ran = ask("new", "mill", "--title", 'The "Mill" \\ 漢')
    assert ran.status == 0, ran.err
    assert json.loads(ask("check", "--in", "mill", "--json").out)["title"] == 'The "Mill" \\ 漢'


def test_a_folder_with_anything_in_it_is_refused_and_left_alone(machine: Path) -> None:
    (machine / "full").mkdir()
    (machine / "full" / "song.txt").write_text("la", encoding="utf-8")
    ran = ask("new", "full")
    assert (ran.status, ran.out) == (2, "")
    assert "is not empty" in ran.err
    assert [path.name for path in (machine / "full").iterdir()] == ["song.txt"]
    assert "is a file" in ask("new", "full/song.txt").err


def test_without_an_identity_nothing_is_written_and_two_commands_are_told(machine: Path, nobody: None) -> None:
    ran = ask("new", "my mill")
    assert ran.status == 2
    assert not (machine / "my mill").exists()
    commands = [
        line.strip() for line in ran.err.splitlines() if line.strip().startswith(("git config", "routecode new"))
    ]
    assert commands == [
        'git config --global user.name "Your Name"',
        'git config --global user.email "you@example.com"',
        "routecode new 'my mill'",
    ]
    for command in commands[:2]:
        git(machine, *shlex.split(command)[1:])
    assert ask(*shlex.split(commands[2])[1:]).status == 0


def test_without_git_it_says_so(machine: Path) -> None:
    ran = run("new", "mill", PATH="/nowhere")
    assert ran.status == 2
    assert "git is not installed" in ran.err
    assert "Traceback" not in ran.err
    assert not (machine / "mill").exists()


def test_in_a_repository_that_is_there_it_becomes_a_folder_of_it(machine: Path) -> None:
    git(machine, "init", "-q")
    assert ask("new", "mill").status == 0
    assert not (machine / "mill" / ".git").exists()
    assert "mill/studio.toml" in git(machine, "ls-files")


def test_a_synchronised_folder_is_told_with_the_way_out(machine: Path) -> None:
    ran = ask("new", "My Drive/mill")
    assert ran.status == 0
    assert '"My Drive" looks like a folder that is kept the same on several machines.' in " ".join(ran.err.split())
    assert "take it to other machines with git" in " ".join(ran.err.split())
    assert ask("new", "driver/mill").err == ""


def test_the_starter_of_a_test_is_the_one_of_new(machine: Path) -> None:
    ask("new", "mill", "--title", "Small")
    small(machine / "other")
    for path in (machine / "other").rglob("*.toml"):
        assert path.read_bytes() == (machine / "mill" / path.relative_to(machine / "other")).read_bytes()
