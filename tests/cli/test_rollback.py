"""`rollback`: told first, written as a new commit; history only grows, and what is not asked for stays as it is."""

import json
import shlex
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from tests.cli.asking import ROOT, ask, change, forget, git, small
from tests.cli.rolled import (
    BAYS,
    CABLES,
    SETUPS,
    UNITS,
    back,
    begun,
    flat,
    record,
    refused,
    rewired,
    state,
    write,
)


@pytest.fixture
def mill(machine: Path) -> Path:
    return begun(machine)


# -- the whole ---------------------------------------------------------------------------------------------------------------


def test_it_is_told_first_and_nothing_is_written(mill: Path) -> None:
    rewired(mill)
    before = state(mill)
    ran = back(mill, "last~1")
    assert ran.status == 0, ran.err
    assert "Wall box line 8 now reaches" in flat(ran.out)
    assert "more.toml (goes)" in ran.out
    assert "headphones off heads" in ran.out
    assert "Nothing has been written" in ran.out
    assert max(map(len, ran.out.splitlines()[:-1])) <= 80  # the last one is the command to copy
    assert state(mill) == before


def test_the_printed_command_writes_it_and_the_printed_undo_goes_back(mill: Path) -> None:
    first, second = git(mill, "rev-parse", "HEAD"), rewired(mill)
    old = state(mill)[0]
    ran = back(mill, "last~1")
    line = ran.out.splitlines()[-1]
    forget()
    ran = ask(*shlex.split(line)[1:])
    assert ran.status == 0, ran.err
    assert f"Recorded {git(mill, 'rev-parse', 'HEAD')[:10]}" in ran.out
    assert git(mill, "diff", "--stat", first, "HEAD") == ""
    assert git(mill, "log", "--format=%H", "HEAD~1") == f"{second}\n{first}"
    assert git(mill, "status", "--porcelain") == ""
    assert not (mill / "more.toml").exists()
    title, _, body = git(mill, "log", "-1", "--format=%B").partition("\n\n")
    assert title == f"Back to {first[:10]} of 2026-03-01"
    assert "Wall box line 8 now reaches" in flat(body)
    forget()
    undo = ran.out.splitlines()[-1]
    assert undo.startswith("routecode rollback ")
    assert ask(*shlex.split(undo)[1:]).status == 0
    assert state(mill)[0] == old
    assert git(mill, "rev-list", "--count", "HEAD") == "4"
    assert git(mill, "fsck", "--full", "--strict") == ""


def test_risks_come_before_gains(mill: Path) -> None:
    rewired(mill)
    write(mill, bays=BAYS)
    record(mill, "column 8 again")
    out = back(mill, "last~1").out
    known = ("Lost", "At risk", "New findings", "Gained", "To note", "By setup", "By jack", "Cabling", "Besides")
    heads = [line for line in out.splitlines() if line in known]
    assert heads[:2] == ["Lost", "New findings"]
    assert "Cabling" in heads


def test_what_is_so_already_is_said(mill: Path) -> None:
    ran = back(mill, "last", "--write")
    assert (ran.status, ran.err) == (0, "")
    assert "The studio is already identical to what it was at" in flat(ran.out)
    assert git(mill, "rev-list", "--count", "HEAD") == "1"


def test_out_of_wiring_that_does_not_compile(mill: Path) -> None:
    change(mill / "cables.toml", 'from = "talk/out"', 'from = "nobody/out"')
    forget()
    assert ask("record", "--unfinished", "--in", str(mill), "torn").status == 0
    ran = back(mill, "last~1", "--write")
    assert ran.status == 0, ran.err
    assert "does not compile, so what changes cannot be told" in flat(ran.out)
    assert (mill / "cables.toml").read_text(encoding="utf-8") == CABLES


def test_into_wiring_that_does_not_compile_it_does_not_go(mill: Path) -> None:
    change(mill / "cables.toml", 'from = "talk/out"', 'from = "nobody/out"')
    forget()
    assert ask("record", "--unfinished", "--in", str(mill), "torn").status == 0
    write(mill, cables=CABLES)
    record(mill, "whole again")
    before = state(mill)
    ran = back(mill, "last~1", "--write")
    assert ran.status == 2
    assert "nobody" in ran.err
    assert "cannot go back to" in flat(ran.err)
    assert state(mill) == before


def test_other_files_of_the_repository_are_not_touched_and_hooks_are_not_run(mill: Path) -> None:
    (mill / "song.txt").write_text("la\n", encoding="utf-8")
    git(mill, "add", "song.txt")
    git(mill, "commit", "-q", "-m", "song")
    for name in (
        "pre-commit",
        "commit-msg",
        "post-commit",
        "prepare-commit-msg",
        "reference-transaction",
        "post-index-change",
    ):
        hook = mill / ".git" / "hooks" / name
        hook.parent.mkdir(exist_ok=True)
        hook.write_text(f"#!/bin/sh\ntouch {mill}/ran-{name}\n", encoding="utf-8")
        hook.chmod(0o755)
    (mill / "notes.md").write_text("mine\n", encoding="utf-8")
    rewired(mill)
    for path in mill.glob("ran-*"):
        path.unlink()  # those of the plain git above
    assert back(mill, "last~1", "--write").status == 0
    assert list(mill.glob("ran-*")) == []
    assert git(mill, "-c", "core.hooksPath=/dev/null", "status", "--porcelain") == "?? notes.md"
    assert (mill / "song.txt").read_text(encoding="utf-8") == "la\n"


def test_a_studio_below_the_top_of_the_repository(machine: Path) -> None:
    top = machine / "top"
    (top / "mill" / "deep").mkdir(parents=True)
    git(top, "init", "-q")
    small(top / "mill")
    record(top / "mill", "one")
    (top / "mill" / "deep" / "x.toml").write_text('[room.attic]\ntitle = "Attic"\n', encoding="utf-8")
    record(top / "mill", "two")
    assert back(top / "mill" / "deep", "last~1", "--write").status == 0
    assert git(top, "diff", "--stat", "HEAD~2", "HEAD") == ""
    assert not (top / "mill" / "deep").exists()


def test_where_git_keeps_other_line_ends_on_the_disk(mill: Path) -> None:
    rewired(mill)
    git(mill, "config", "core.autocrlf", "true")
    for path in mill.glob("*.toml"):
        path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    assert back(mill, "last~1", "--write").status == 0
    assert git(mill, "diff", "--stat", "HEAD~2", "HEAD") == ""
    assert git(mill, "status", "--porcelain") == ""
    git(mill, "config", "core.autocrlf", "false")
    (mill / "units.toml").write_bytes((mill / "units.toml").read_bytes().replace(b"\n", b"\r\n"))
    assert "not recorded yet: setups.toml, studio.toml, units.toml" in refused(mill, "last~1")


# -- parts -------------------------------------------------------------------------------------------------------------------


def test_only_a_setup(mill: Path) -> None:
    rewired(mill)
    change(mill / "setups.toml", 'to = "pre/in 1"', 'to = "pre/in 2"  # mine')
    record(mill, "other input")
    ran = back(mill, "last~1", "--setup", "song", "--write")
    assert ran.status == 0, ran.err
    assert git(mill, "diff", "--name-only", "HEAD~1", "HEAD") == "setups.toml"
    assert (mill / "setups.toml").read_text(encoding="utf-8") == SETUPS
    assert git(mill, "log", "-1", "--format=%s").startswith("Song back to ")


def test_only_a_bay_with_the_cables_at_it(mill: Path) -> None:
    rewired(mill)
    ran = back(mill, "last~1", "--bay", "north", "--write")
    assert ran.status == 0, ran.err
    assert (mill / "bays.toml").read_text(encoding="utf-8") == BAYS
    assert (mill / "cables.toml").read_text(encoding="utf-8") == CABLES
    assert (mill / "more.toml").exists()


def test_only_a_unit_keeps_comments_elsewhere(mill: Path) -> None:
    noted = UNITS.replace('title = "Tape machine"', 'title = "Tape"').replace(
        "[unit.box]", "# By the door.\n[unit.box]"
    )
    write(mill, units=noted, cables=CABLES.replace("# Cables", "# All cables"))
    record(mill, "notes")
    ran = back(mill, "last~1", "--unit", "tape", "--write")
    assert ran.status == 0, ran.err
    assert (mill / "units.toml").read_text(encoding="utf-8") == noted.replace(
        'title = "Tape"', 'title = "Tape machine"'
    )
    assert "# All cables" in (mill / "cables.toml").read_text(encoding="utf-8")


def test_only_a_file_however_it_is_named(mill: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rewired(mill)
    for name in ("more.toml", "./more.toml", str(mill / "more.toml"), "mill/more.toml"):
        ran = back(mill, "last~1", "--file", name)
        assert "more.toml (goes)" in ran.out, ran.err
    assert back(mill, "last~1", "--file", "more.toml", "--write").status == 0
    assert git(mill, "diff", "--name-status", "HEAD~1", "HEAD") == "D\tmore.toml"


def test_both_names_of_a_thing_bring_the_old_one_back(mill: Path) -> None:
    write(
        mill,
        units=UNITS.replace("[unit.tape]", '[unit.recorder]\nwas = "tape"').replace("unit.tape.", "unit.recorder."),
        cables=CABLES.replace("tape/", "recorder/"),
    )
    record(mill, "another name")
    told = back(mill, "last~1", "--unit", "tape", "--unit", "recorder").out
    (only,) = (line for line in told.splitlines() if line.startswith("Only: "))
    assert only.endswith("(recorder)")
    assert "(tape), " in only, "both have one title, so their ids tell them apart"
    assert back(mill, "last~1", "--unit", "tape", "--unit", "recorder", "--write").status == 0
    assert (mill / "units.toml").read_text(encoding="utf-8") == UNITS
    assert (mill / "cables.toml").read_text(encoding="utf-8") == CABLES


@pytest.mark.parametrize(("extra", "said"), [(7, "and 1 more file"), (8, "and 2 more files")])
def test_files_that_are_not_named_are_counted(mill: Path, extra: int, said: str) -> None:
    write(mill, **{f"room{number}": f'[room.r{number}]\ntitle = "Room {number}"\n' for number in range(extra)})
    record(mill, "more rooms")
    (line,) = (line for line in flat(back(mill, "last~1").out).split(" Text: ")[1:])
    assert line.split(" The ")[0].split(" Only ")[0].startswith("room0.toml (goes), ")
    assert f"{said} " in line


def test_what_stays_although_it_was_otherwise_is_told(mill: Path) -> None:
    rewired(mill)
    ran = back(mill, "last~1", "--unit", "box")
    assert "What the columns of `north` say of it was otherwise then, and stays." in flat(ran.out)
    assert "--bay north" in ran.out


def test_what_nobody_would_ask_for_any_more_is_told_before_the_gains(mill: Path) -> None:
    need = '\n[[setup.song.need]]\npath = ["talk/out", "tape/in 1"]\n\n[[setup.song.need]]\npath = ["box/line 2", "tape/in 3"]\nnever = true\n'
    write(mill, setups=SETUPS + need)
    record(mill, "needs")
    out = flat(back(mill, "last~1").out)
    assert "Song no longer asks that Talk microphone reaches Tape machine in 1." in out
    assert "Song no longer forbids that Wall box line 2 reaches Tape machine in 3." in out
    assert out.count("no longer asks") == 1


def test_texts_that_are_laid_out_too_differently_are_not_put_together(mill: Path) -> None:
    inline = 'cable = [\n  { number = "T1", from = "talk/out", to = "north/top 10" },\n  { from = "pre/out 1..8", to = "tape/in 1..8" },\n]\n'
    write(mill, cables=inline)
    record(mill, "inline")
    told = refused(mill, "last~1", "--unit", "talk")
    assert "The text of cables.toml is laid out so differently" in told
    assert back(mill, "last~1", "--file", "cables.toml", "--write").status == 0


# -- one document --------------------------------------------------------------------------------------------------------------


def valid(text: str) -> dict[str, Any]:
    told: dict[str, Any] = json.loads(text)
    jsonschema.validate(told, json.loads((ROOT / "schemas" / "rollback.schema.json").read_text(encoding="utf-8")))
    return told


def test_the_document(mill: Path) -> None:
    first, second = git(mill, "rev-parse", "HEAD"), rewired(mill)
    told = valid(back(mill, "last~1", "--json").out)
    assert (told["schema"], told["ok"], told["head"], told["to"]) == ("routecode/rollback/1", True, second, first)
    assert (told["written"], told["undo"], told["only"]) == (None, None, None)
    assert told["files"] == [
        {"file": "bays.toml", "becomes": "changed"},
        {"file": "cables.toml", "becomes": "changed"},
        {"file": "more.toml", "becomes": "gone"},
    ]
    assert told["difference"]["result"] == "ends-changed"
    told = valid(back(mill, "last~1", "--bay", "north", "--write", "--json").out)
    assert told["only"] == {"bays": ["north"], "units": [], "setups": [], "files": []}
    assert told["written"] == git(mill, "rev-parse", "HEAD")
    assert told["undo"].startswith(f"routecode rollback {second[:10]}")
    change(mill / "cables.toml", "# Cables", "# My cables")
    told = valid(back(mill, "last~1", "--json").out)
    assert (told["ok"], told["errors"][0]["id"]) == (False, "not-recorded")
