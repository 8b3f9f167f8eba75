"""What a command that is run often does not load: `check` of the work tree needs no history, no paper, no git and no layout."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.asking import MILLRACE, ROOT

HEAVY = ("routecode.history", "routecode.hands", "routecode.files.git", "git", "reportlab", "networkx")
ASKED = """
import sys
from routecode.cli.main import status_of
print(status_of(sys.argv[1:]), *sorted(sys.modules), file=sys.stderr)
"""


@pytest.fixture
def studio(tmp_path: Path) -> Path:
    """The example in a repository of its own."""
    root = Path(shutil.copytree(MILLRACE, tmp_path / "millrace"))
    subprocess.run(["git", "init", "-q", str(root)], check=True)
    return root


def heavy(studio: Path, *arguments: str) -> set[str]:
    """The modules of HEAVY that are there after a run; it must have come to its answer."""
    command = [sys.executable, "-c", ASKED, *arguments, "--in", str(studio)]
    ran = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=60, check=True)
    status, *modules = ran.stderr.split()
    assert status == "0", ran.stdout
    return {name for name in modules for each in HEAVY if name == each or name.startswith(f"{each}.")}


@pytest.mark.parametrize(
    "arguments", [("check",), ("check", "--json"), ("paths",), ("trace", "hall/line 1")], ids=" ".join
)
def test_a_look_at_the_files_loads_nothing_heavy(studio: Path, arguments: tuple[str, ...]) -> None:
    assert heavy(studio, *arguments) == set()


def test_what_is_marked_as_built_is_asked_of_git(studio: Path) -> None:
    """So that the test above could fail: then git is needed, and loaded."""
    git = ["git", "-C", str(studio), "-c", "user.name=Mill", "-c", "user.email=mill@mill.example"]
    for more in (["add", "."], ["commit", "-q", "-m", "As it is"], ["tag", "built/2026-03-01"]):
        subprocess.run([*git, *more], check=True)
    assert "routecode.files.git" in heavy(studio, "check")
