"""A small studio in git, for tests of what goes wrong around it."""

from pathlib import Path

from tests.files.shop import git, put

HEAD = '[studio]\ntitle = "Mill"\nlanguage = 1\n'
UNIT = '[unit.{0}]\nport = [{{ name = "out 1..2", direction = "out", signal = "line" }}, {{ name = "in 1..2", direction = "in", signal = "line" }}]\n'
BAY = '[bay.main]\ncolumns = 4\npitch_mm = 12\n[[bay.main.column]]\nat = "1..2"\ntop = "a/out 1..2"\nbottom = "b/in 1..2"\nnormal = "half"\n'


def studio(folder: Path) -> None:
    """Two commits, and a change that is not recorded yet."""
    git(folder, "init", "-q")
    put(folder, "studio.toml", HEAD)
    put(folder, "units.toml", UNIT.format("a") + UNIT.format("b"))
    put(folder, "notes.txt", "not wiring\n")
    git(folder, "add", "-A")
    git(folder, "commit", "-qm", "one")
    put(folder, "bay.toml", BAY)
    git(folder, "add", "-A")
    git(folder, "commit", "-qm", "two")
    put(folder, "units.toml", UNIT.format("a") + UNIT.format("b") + UNIT.format("c"))
    put(folder, "old.toml", "")


def recorded(folder: Path) -> None:
    """Three commits, nothing else."""
    studio(folder)
    git(folder, "add", "-A")
    git(folder, "commit", "-qm", "three")


def loose(root: Path, object_id: str) -> Path:
    """The file of an object that is not packed."""
    return root / ".git" / "objects" / object_id[:2] / object_id[2:]
