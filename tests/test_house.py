"""The order of the house: each folder imports only those below it, and only `files` and `cli` touch the world."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent / "routecode"

FLOORS: tuple[tuple[str, ...], ...] = (
    ("ground",),
    ("physics", "files"),
    ("language",),
    ("circuit",),
    ("figures",),
    ("rules",),
    ("studio",),
    ("change",),
    ("history", "hands", "plan", "exchange"),
    ("show",),
    ("cli",),
)
"""From the cellar up; folders on one floor do not import each other."""

FLOOR = {folder: number for number, folders in enumerate(FLOORS) for folder in folders}

EXCEPTIONS: dict[tuple[str, str], str] = {}
"""(importing module, imported folder) -> the reason."""

WORLD = {"os", "subprocess", "pathlib", "shutil", "tempfile", "time", "socket", "git", "click"}
"""Modules that touch disk, git, the clock, the terminal or the environment."""

MAY_TOUCH = {"files", "cli"}
PURE_USES: dict[tuple[str, str], str] = {
    (
        "routecode/language/generate.py",
        "pathlib",
    ): "writes the generated pages and schemas; run by hand, not by the tool",
}
"""(file, module) -> the reason it may."""


def imports(source: str) -> Iterator[str]:
    """The modules a text imports, wherever in it."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield node.module


def violations(folder: str, name: str, source: str) -> Iterator[str]:
    """What a module of a folder may not import."""
    for module in imports(source):
        top, _, rest = module.partition(".")
        if top == "routecode" and rest:
            other = rest.partition(".")[0]
            if other in FLOOR and other != folder and FLOOR[other] >= FLOOR[folder] and (name, other) not in EXCEPTIONS:
                yield f"{name} imports {module}"
        elif top in WORLD and folder not in MAY_TOUCH and (name, top) not in PURE_USES:
            yield f"{name} imports {module}: only files and cli touch the world"


def modules() -> list[Path]:
    return sorted(path for path in ROOT.rglob("*.py") if len(path.relative_to(ROOT).parts) > 1)


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(ROOT)))
def test_module_imports_only_what_stands_below(path: Path) -> None:
    folder = path.relative_to(ROOT).parts[0]
    assert folder in FLOOR, f"{folder} has no floor"
    name = path.relative_to(ROOT.parent).as_posix()
    assert list(violations(folder, name, path.read_text(encoding="utf-8"))) == []


def test_planted_violations_are_found() -> None:
    assert list(violations("circuit", "x.py", "from routecode.rules.run import judge")) == [
        "x.py imports routecode.rules.run"
    ]
    assert list(violations("physics", "x.py", "def f():\n    import routecode.files.toml")) == [
        "x.py imports routecode.files.toml"
    ]
    assert list(violations("rules", "x.py", "import subprocess")) == [
        "x.py imports subprocess: only files and cli touch the world"
    ]
    assert list(violations("cli", "x.py", "import os\nfrom routecode.rules.run import judge")) == []


def test_every_exception_is_still_needed() -> None:
    for name, module in [*EXCEPTIONS, *PURE_USES]:
        source = (ROOT.parent / name).read_text(encoding="utf-8")
        found = {
            part
            for used in imports(source)
            for part in (used.partition(".")[0], used.removeprefix("routecode.").partition(".")[0])
        }
        assert module in found, f"{name} no longer imports {module}"


def test_files_stay_small_and_the_top_level_is_fixed() -> None:
    long = [str(path) for path in ROOT.rglob("*.py") if len(path.read_text(encoding="utf-8").splitlines()) > 400]
    assert long == []
    fixed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "routecode", "schemas", "tests", "examples"}
    local = {"routecode.egg-info", "build", "dist"}
    found = {path.name for path in ROOT.parent.iterdir() if not path.name.startswith(".")} - local
    assert found <= fixed, found - fixed
