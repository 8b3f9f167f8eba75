"""`rollback` refused: which part cannot go back alone, unrecorded work, states of git; nothing is changed, the way out is told."""

import shlex
from pathlib import Path

import pytest

from tests.cli.asking import ask, change, forget, git
from tests.cli.rolled import (
    BAYS,
    CABLES,
    SETUPS,
    STUDIO,
    UNITS,
    back,
    begun,
    flat,
    record,
    refused,
    rewired,
    write,
)


@pytest.fixture
def mill(machine: Path) -> Path:
    return begun(machine)


def test_a_unit_that_is_gone_is_named(mill: Path) -> None:
    write(
        mill,
        units=UNITS.replace("unit.talk", "unit.other"),
        cables=CABLES.replace("talk/out", "other/out"),
        setups="",
    )
    change(
        mill / "units.toml",
        'name = "out"\ndirection = "out"\nsignal = "mic"',
        'name = "send"\ndirection = "out"\nsignal = "line"',
    )
    change(mill / "cables.toml", "other/out", "other/send")
    change(mill / "units.toml", 'title = "Talk microphone"', 'title = "Player"')
    write(mill, bays=BAYS.replace("Lines to", "All lines to"))
    record(mill, "no talkback")
    told = refused(mill, "last~1", "--bay", "north")
    assert "Talk microphone (`talk`) is gone since" in told
    assert "cables.toml:5:8" in told
    assert "--unit talk" in told


def test_a_column_that_no_longer_exists_is_named(mill: Path) -> None:
    write(
        mill,
        bays=BAYS.replace("columns = 16", "columns = 8"),
        cables=CABLES.split('[[cable]]\nnumber = "T1"')[0],
        setups="",
    )
    record(mill, "a shorter bay")
    told = refused(mill, "last~1", "--setup", "song")
    assert "column 9 of North bay, which no longer exists (North bay has 8 columns now)" in told
    assert "--bay north" in told


def test_a_name_that_was_changed_since_is_named(mill: Path) -> None:
    write(
        mill,
        units=UNITS.replace("[unit.pre]", '[unit.amp]\nwas = "pre"').replace("unit.pre.", "unit.amp."),
        bays=BAYS.replace("pre/", "amp/"),
        cables=CABLES.replace("pre/", "amp/"),
        setups=SETUPS.replace("pre/in 1", "amp/in 2"),
    )
    record(mill, "another name")
    assert "Preamp (`pre`) has been given another name since: `amp`" in refused(mill, "last~1", "--setup", "song")
    assert "it is called `amp` now" in refused(mill, "last~1", "--unit", "pre")
    assert "it was called `pre` then" in refused(mill, "last~1", "--unit", "amp")


def test_a_port_that_is_no_more_is_named(mill: Path) -> None:
    write(
        mill,
        units=UNITS.replace(
            'name = "in 1..8"\ndirection = "in"\nsignal = "mic"', 'name = "in 2..8"\ndirection = "in"\nsignal = "mic"'
        ).replace('from = "in 1..8"\nto = "out 1..8"', 'from = "in 2..8"\nto = "out 2..8"'),
    )
    write(
        mill,
        bays=BAYS.replace('"1..8"', '"2..8"').replace("line 1..8", "line 2..8").replace("in 1..8", "in 2..8"),
        setups="",
    )
    record(mill, "seven inputs")
    assert "`pre/in 1`, and Preamp has no such port any more" in refused(mill, "last~1", "--setup", "song")


def test_what_was_not_there_then_and_is_still_named(mill: Path) -> None:
    write(
        mill,
        new='[unit.extra]\ntitle = "Extra"\n[[unit.extra.port]]\nname = "out"\ndirection = "out"\nsignal = "line"\n',
    )
    write(mill, bays=BAYS + '\n[[bay.north.column]]\nat = 12\ntop = "extra/out"\n')
    record(mill, "extra")
    told = refused(mill, "last~1", "--unit", "extra")
    assert "Extra (`extra`) was not there then, and is still named in bays.toml" in told
    assert back(mill, "last~1", "--unit", "extra", "--bay", "north", "--write").status == 0
    assert not (mill / "new.toml").exists()
    assert (mill / "bays.toml").read_text(encoding="utf-8") == BAYS


def test_what_is_wrong_only_together_is_refused(mill: Path) -> None:
    change(mill / "cables.toml", 'from = "talk/out"\nto = "north/top 9"', 'from = "talk/out"\nto = "tape/in 8"')
    change(
        mill / "cables.toml",
        'number = "L1..8"\nfrom = "pre/out 1..8"\nto = "tape/in 1..8"',
        'number = "L1..8"\nfrom = "pre/out 1..8"\nto = "north/top 9..16"',
    )
    record(mill, "exchanged")
    told = refused(mill, "last~1", "--unit", "talk")
    assert "does not go together with what changed since" in told
    assert "Return it together with:" in told


def test_names_that_neither_has(mill: Path) -> None:
    rewired(mill)
    assert "Did you mean `north`?" in refused(mill, "last~1", "--bay", "nort")
    assert "Write: --bay north" in refused(mill, "last~1", "--unit", "north")
    assert "no wiring file" in refused(mill, "last~1", "--file", "nothing.toml").replace("Neither revision has a", "no")
    assert "There is no commit" in refused(mill, "nowhere")
    assert "dash" in flat(ask("rollback", "--in", str(mill), "--", "--output=x").err)


@pytest.mark.parametrize("work", ["changed", "new", "deleted", "staged", "staged and taken back"])
def test_unrecorded_work_is_never_touched(mill: Path, work: str) -> None:
    rewired(mill)
    if work == "new":
        (mill / "mine.toml").write_text('[room.x]\ntitle = "X"\n', encoding="utf-8")
    elif work == "deleted":
        (mill / "more.toml").unlink()
    else:
        change(mill / "cables.toml", "# Cables", "# My cables")
        if work != "changed":
            git(mill, "add", "cables.toml")
        if work == "staged and taken back":
            change(mill / "cables.toml", "# My cables", "# Cables")
    ran = back(mill, "last~1", "--write")
    assert "There is work that is not recorded yet" in refused(mill, "last~1")
    to = git(mill, "rev-parse", "HEAD~1")
    command, then, again = (line.strip() for line in ran.err.strip().splitlines()[-3:])
    assert command.startswith("routecode record")
    assert then == "Then again:"
    assert again == f"routecode rollback {to[:10]} --in {mill} --write"
    assert "not recorded" in flat(back(mill, "last~1").err)
    if work == "staged and taken back":
        git(mill, "restore", "--staged", ".")
    else:
        forget()
        assert ask(*shlex.split(command)[1:]).status == 0
    forget()
    assert ask(*shlex.split(again)[1:]).status == 0
    assert git(mill, "rev-parse", "HEAD^{tree}") == git(mill, "rev-parse", f"{to}^{{tree}}")


def test_a_detached_head_is_told(mill: Path) -> None:
    rewired(mill)
    git(mill, "checkout", "-q", "--detach")
    assert "detached head" in refused(mill, "last~1")


@pytest.mark.parametrize(
    ("file", "told"), [("MERGE_HEAD", "merge"), ("CHERRY_PICK_HEAD", "cherry-pick"), ("rebase-merge", "rebase")]
)
def test_something_half_done_is_told(mill: Path, file: str, told: str) -> None:
    rewired(mill)
    (mill / ".git" / file).write_text(git(mill, "rev-parse", "HEAD") + "\n", encoding="utf-8")
    assert f"A {told} is half done" in refused(mill, "last~1")


def test_an_unmerged_index_is_told(mill: Path) -> None:
    rewired(mill)
    git(mill, "checkout", "-q", "-b", "other", "HEAD~1")
    change(mill / "cables.toml", 'number = "T1"', 'number = "T7"')
    record(mill, "seven")
    git(mill, "checkout", "-q", "main")
    change(mill / "cables.toml", 'number = "T1"', 'number = "T8"')
    record(mill, "eight")
    merged = git(mill, "-c", "merge.conflictStyle=merge", "rev-parse", "other")
    with pytest.raises(Exception, match="merge"):
        git(mill, "merge", merged)
    (mill / ".git" / "MERGE_HEAD").unlink()
    assert "could not be joined" in refused(mill, "last~1")


def test_other_staged_files_are_not_taken_along(mill: Path) -> None:
    rewired(mill)
    (mill / "song.txt").write_text("la", encoding="utf-8")
    git(mill, "add", "song.txt")
    assert "Other changes are staged" in refused(mill, "last~1")


def test_without_an_identity_nothing_is_written(mill: Path, nobody: None) -> None:
    git(mill, "-c", "user.name=A", "-c", "user.email=a@example.com", "commit", "-q", "--allow-empty", "-m", "x")
    change(mill / "cables.toml", "# Cables", "# All cables")
    git(mill, "-c", "user.name=A", "-c", "user.email=a@example.com", "commit", "-q", "-a", "-m", "y")
    assert "git config --global user.name" in refused(mill, "last~1")


def test_a_link_is_not_replaced(mill: Path) -> None:
    rewired(mill)
    (mill / ".kept.toml").write_bytes((mill / "cables.toml").read_bytes())
    (mill / "cables.toml").unlink()
    (mill / "cables.toml").symlink_to(".kept.toml")
    git(mill, "add", "-A")
    git(mill, "commit", "-q", "-m", "a link")
    assert "leads through a link" in refused(mill, "last~2")


def test_a_file_that_is_left_out_now_and_would_be_in_the_way(mill: Path) -> None:
    write(mill, studio=STUDIO + 'skip = "cables.toml"\n')
    record(mill, "without cables")
    assert "that is not part of the studio now" in refused(mill, "last~1")
    assert "The `skip` of studio.toml was another one" in refused(mill, "last~1", "--file", "studio.toml")


def test_files_that_only_then_would_be_read_are_told(mill: Path) -> None:
    write(mill, studio=STUDIO + 'skip = "old/*"\n')
    write(mill, **{"old/x": "[room.x]\n"})
    record(mill, "old things")
    told = refused(mill, "last~1")
    assert "would read other files, too: old/x.toml" in told
