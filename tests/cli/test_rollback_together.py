"""`rollback` of a part that cannot go back alone: all that has to go back with it is named at once, as a command that works."""

import shlex
from pathlib import Path

import pytest

from tests.cli.asking import ask, change, forget, git
from tests.cli.rolled import BAYS, SETUPS, UNITS, back, begun, flat, record, write


@pytest.fixture
def mill(machine: Path) -> Path:
    return begun(machine)


def offered(mill: Path, *words: str) -> str:
    """The command that is offered in the end; it works."""
    ran = back(mill, *words)
    assert ran.status == 2, ran.out
    lines = ran.err.splitlines()
    (line,) = [line.strip() for line in lines if line.strip().startswith("routecode rollback")]
    forget()
    assert ask(*shlex.split(line)[1:]).status == 0
    forget()
    return line


def test_a_new_unit_that_several_parts_name(mill: Path) -> None:
    write(
        mill,
        new='[unit.extra]\ntitle = "Extra"\n[[unit.extra.port]]\nname = "out"\ndirection = "out"\nsignal = "line"\n',
        bays=BAYS + '\n[[bay.north.column]]\nat = 12\ntop = "extra/out"\n',
        setups=SETUPS + '\n[setup.more]\ntitle = "More"\n[[setup.more.cord]]\nfrom = "extra/out"\nto = "tape/in 1"\n',
    )
    change(
        mill / "cables.toml", 'from = "pre/out 1..8"\nto = "tape/in 1..8"', 'from = "pre/out 2..8"\nto = "tape/in 2..8"'
    )
    change(mill / "cables.toml", '"L1..8"', '"L2..8"')
    record(mill, "extra")
    told = flat(back(mill, "last~1", "--unit", "extra").err)
    assert "still named in bays.toml, setups.toml by what stays" in told
    assert "--bay north --setup more" in told
    line = offered(mill, "last~1", "--unit", "extra")
    assert all(word in line for word in ("--unit extra", "--bay north", "--setup more"))


def test_what_is_missing_in_several_steps(mill: Path) -> None:
    """The setup needs the bay, and the bay the unit: each refusal by itself names one of them."""
    (mill / "bays.toml").unlink()
    write(mill, units=UNITS.replace(UNITS[UNITS.index("[unit.box]") : UNITS.index("[unit.pre]")], ""), setups="")
    change(mill / "cables.toml", 'from = "talk/out"\nto = "north/top 9"', 'from = "talk/out"\nto = "pre/in 1"')
    record(mill, "no bay")
    line = offered(mill, "last~1", "--setup", "song")
    assert all(word in line for word in ("--setup song", "--bay north", "--unit box"))


@pytest.mark.parametrize(("asked", "other"), [("all/units.toml", "units.toml"), ("units.toml", "all/units.toml")])
def test_a_file_whose_tables_stand_in_another_one_now(mill: Path, asked: str, other: str) -> None:
    (mill / "units.toml").rename(mill / "box.tmp")
    (mill / "all").mkdir()
    (mill / "box.tmp").rename(mill / "all" / "units.toml")
    record(mill, "in a folder")
    git(mill, "mv", "all/units.toml", "units.toml")
    change(mill / "units.toml", 'title = "Wall box"', 'title = "Box"')
    record(mill, "moved")
    told = flat(back(mill, "last~1", "--file", asked).err)
    assert f"--file {other}" in told
    assert "would not compile" not in told
    assert f"--file {other}" in offered(mill, "last~1", "--file", asked)


def test_a_need_that_would_fail_is_counted_above_the_command(mill: Path) -> None:
    write(mill, setups=SETUPS + '[[setup.song.need]]\npath = ["talk/out", "pre/in 1"]\n')
    record(mill, "a need")
    change(mill / "cables.toml", 'to = "north/top 9"', 'to = "north/top 10"')
    change(mill / "setups.toml", 'from = "north/top 9"', 'from = "north/top 10"')
    record(mill, "moved")
    ran = back(mill, "last~1", "--unit", "talk")
    assert ran.status == 0
    assert "Needs that now fail - Song: Talk microphone" in flat(ran.out)
    assert "Needs would fail, which is told and not refused: Song: 1 need. To write it" in flat(ran.out)
    assert back(mill, "last~1", "--unit", "talk", "--write").status == 0
