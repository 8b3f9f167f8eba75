"""`rollback` of a part that was given another name since: it is followed from commit to commit, as the story of a place is."""

from pathlib import Path

import pytest

from tests.cli.asking import change, git
from tests.cli.rolled import BAYS, CABLES, SETUPS, UNITS, begun, record, refused, write


@pytest.fixture
def mill(machine: Path) -> Path:
    return begun(machine)


def renamed(mill: Path) -> None:
    """The preamp is called otherwise, and nothing says so; in later commits its columns move and its lines change places."""
    write(
        mill,
        units=UNITS.replace("unit.pre", "unit.amp"),
        bays=BAYS.replace("pre/", "amp/"),
        cables=CABLES.replace("pre/", "amp/"),
        setups=SETUPS.replace("pre/", "amp/"),
    )
    record(mill, "another name")
    change(mill / "cables.toml", 'number = "L1..8"', 'number = "M1..8"')
    record(mill, "other numbers")
    change(mill / "bays.toml", 'bottom = "amp/in 1..8"', 'bottom = "amp/in 8..1"')
    change(mill / "cables.toml", 'to = "tape/in 1..8"', 'to = "tape/in 8..1"')
    record(mill, "crossed")


def test_a_unit_is_recognized_through_all_commits_between(mill: Path) -> None:
    renamed(mill)
    assert "it was called `pre` then" in refused(mill, "last~3", "--unit", "amp")
    told = refused(mill, "last~3", "--unit", "pre")
    assert "The unit `pre` has been given another name since: it is called `amp` now." in told
    assert "--unit pre --unit amp" in told


def test_by_way_of_another_branch(mill: Path) -> None:
    """The revision to return to is on a branch of its own; names are followed by way of the commit where the two parted."""
    git(mill, "checkout", "-q", "-b", "aside")
    change(mill / "cables.toml", 'number = "T1"', 'number = "T2"')
    aside = record(mill, "aside")
    git(mill, "checkout", "-q", "main")
    renamed(mill)
    assert "it is called `amp` now" in refused(mill, aside, "--unit", "pre")


def test_columns_that_moved_after_the_name_changed_make_no_second_unit(mill: Path) -> None:
    write(
        mill,
        units=UNITS.replace("unit.talk", "unit.voice"),
        cables=CABLES.replace("talk/", "voice/"),
    )
    record(mill, "another name")
    change(mill / "cables.toml", 'to = "north/top 9"', 'to = "north/top 12"')
    change(mill / "setups.toml", 'from = "north/top 9"', 'from = "north/top 12"')
    record(mill, "moved")
    assert "it is called `voice` now" in refused(mill, "last~2", "--unit", "talk")
    assert "it was called `talk` then" in refused(mill, "last~2", "--unit", "voice")
