"""The recipes of the page `git`, pasted and run with real git."""

import os
import re
import shutil
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from routecode.show.plain import plain_text
from tests.show.studios import MILLRACE

PAGE = Path(__file__).resolve().parents[2] / "routecode" / "pages" / "git.md"
ROOT = PAGE.parents[2]
Recipes = dict[str, list[str]]


def recipes(language: str) -> Recipes:
    """Heading -> its pieces in a language, as they stand on the page."""
    found: Recipes = {}
    for part in PAGE.read_text("utf-8").split("\n## ")[1:]:
        heading = part.split("\n", 1)[0]
        found[heading] = re.findall(rf"```{language}\n(.*?)```", part, re.DOTALL)
    return found


SHELL = recipes("sh")
DIFF, MESSAGE, CHECK = (
    next(SHELL[key] for key in SHELL if key.startswith(word)) for word in ("git diff", "A message", "No commit")
)


class Folder:
    """A studio in a repository of its own, with a home of its own and `routecode` on the path."""

    def __init__(self, base: Path) -> None:
        self.studio, home, programs = base / "studio", base / "own-home", base / "bin"
        home.mkdir()
        programs.mkdir()
        program = programs / "routecode"
        program.write_text(f'#!/bin/sh\nPYTHONPATH="{ROOT}" exec "{sys.executable}" -m routecode "$@"\n', "utf-8")
        program.chmod(program.stat().st_mode | stat.S_IEXEC)
        self.environment = {
            "PATH": f"{programs}:{os.environ['PATH']}",
            "HOME": str(home),
            "GIT_CONFIG_NOSYSTEM": "1",
            "GIT_PAGER": "cat",
            "GIT_EDITOR": "true",
            "LC_ALL": "C.UTF-8",
        }
        shutil.copytree(MILLRACE, self.studio)
        self.run(
            "git init --quiet --initial-branch=main && git config user.name Ada && git config user.email ada@example.invalid"
        )
        self.run("git add --all && git commit --quiet -m 'As it is'")

    def run(self, command: str, status: int = 0) -> str:
        done = subprocess.run(
            ["/bin/sh", "-c", command],
            cwd=self.studio,
            env=self.environment,
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == status, f"{command}\n{done.stdout}\n{done.stderr}"
        return done.stdout

    def edit(self, name: str, old: str, new: str) -> None:
        path = self.studio / name
        text = path.read_text("utf-8")
        assert old in text
        path.write_text(text.replace(old, new, 1), "utf-8")


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    if os.name == "nt":
        pytest.skip("the recipes are for a shell")
    return Folder(tmp_path)


def moved(folder: Folder) -> None:
    """One cable gets another length and number."""
    folder.edit("cables.toml", "metres = 25", "metres = 26")


def test_git_diff_log_and_show_speak_plain_lines(folder: Folder) -> None:
    for piece in DIFF:
        folder.run(piece)
    moved(folder)
    shown = folder.run("git diff")
    changed = [
        line for line in shown.splitlines() if line.startswith(("-", "+")) and not line.startswith(("---", "+++"))
    ]
    assert changed
    assert all(line[1:].startswith("cable ") for line in changed)
    assert any("metres = 26" in line for line in changed)
    assert "metres = 25" not in folder.run("git diff --cached")
    folder.run("git add --all && git commit --quiet -m 'A longer cable'")
    assert "+cable" in folder.run("git log -p -1")
    assert "+cable" in folder.run("git show")
    assert "metres = 26" in folder.run("git show --no-textconv")


def test_git_shows_what_cannot_be_read_as_it_is(folder: Folder) -> None:
    for piece in DIFF:
        folder.run(piece)
    folder.edit("cables.toml", "[[cable]]", "[[cable]")
    assert "[[cable]" in folder.run("git diff")
    (folder.studio / "odd.toml").write_bytes(b"\x00\x01\x02 binary")
    folder.run("git add odd.toml && git diff --cached -- odd.toml")
    folder.run("git mv rooms.toml other.toml && git diff --cached -M")


def test_the_order_of_tables_is_no_change(folder: Folder) -> None:
    for piece in DIFF:
        folder.run(piece)
    path = folder.studio / "routes.toml"
    tables = path.read_text("utf-8").split("\n\n")
    path.write_text("\n\n".join(reversed(tables)), "utf-8")
    assert folder.run("git diff").count("\n") <= 4


def test_a_commit_without_a_message_gets_a_draft(folder: Folder) -> None:
    for piece in MESSAGE:
        folder.run(piece)
    moved(folder)
    folder.run("git add --all && git commit --quiet")
    message = folder.run("git log -1 --format=%B")
    assert "length 26" in " ".join(message.split())
    moved_back = folder.run("git log -1 --format=%s").strip()
    assert 0 < len(moved_back) <= 72
    folder.edit("cables.toml", "metres = 26", "metres = 27")
    folder.run("git commit --quiet --all -m 'My own words'")
    assert folder.run("git log -1 --format=%B").strip() == "My own words"
    folder.run("git commit --quiet --amend --no-edit")
    assert folder.run("git log -1 --format=%B").strip() == "My own words"
    folder.edit("cables.toml", "[[cable]]", "[[cable]")
    folder.run("git commit --quiet --all --allow-empty-message --no-edit")


def test_errors_are_not_committed(folder: Folder) -> None:
    for piece in CHECK:
        folder.run(piece)
    moved(folder)
    folder.run("git commit --quiet --all -m fine")
    folder.edit("cables.toml", "[[cable]]", "[[cable]")
    folder.run("git commit --quiet -m 'nothing staged' --allow-empty")
    folder.run("git commit --quiet --all -m broken", status=1)
    assert folder.run("git log -1 --format=%s").strip() == "nothing staged"
    folder.run("git commit --quiet --no-verify --all -m broken")


def test_the_steps_of_the_workflow_run(folder: Folder) -> None:
    workflow = recipes("yaml")["In continuous integration"][0]
    steps = [
        re.sub(r"^ {10}", "", step, flags=re.MULTILINE) for step in re.findall(r"run: \|\n((?: {10}.*\n)+)", workflow)
    ]
    single = re.findall(r"run: (routecode [^\n|]+)\n", workflow)
    moved(folder)
    folder.run("git commit --quiet --all -m longer")
    base, head = folder.run("git rev-parse HEAD~1 HEAD").split()
    folder.environment |= {"BASE": base, "HEAD": head, "GITHUB_STEP_SUMMARY": str(folder.studio.parent / "summary.md")}
    for step in (*single, *steps):
        folder.run(step)
    assert "compared" in (folder.studio / "wiring.md").read_text("utf-8")
    assert (folder.studio.parent / "summary.md").read_text("utf-8") == (folder.studio / "wiring.md").read_text("utf-8")
    assert "permissions:\n  contents: read" in workflow
    assert "pull_request_target" not in PAGE.read_text("utf-8")


def test_plain_lines_of_a_column_and_a_cable() -> None:
    text = (
        b'[bay.north]\ncolumns = 4\n[[bay.north.column]]\nat = "1..2"\ntop = "hall/line 1..2"\nnormal = "half"\n'
        b'[[cable]]\nnumber = "L1..2"\nfrom = "a/x 1..2"\nto = "b/y 2..1"\nmetres = 3\n'
    )
    assert plain_text("x.toml", text).decode().splitlines() == [
        "bay north",
        "bay north: column 1: top hall/line 1 (normal = half)",
        "bay north: column 2: top hall/line 2 (normal = half)",
        "bay north: columns = 4",
        "cable L1: a/x 1 to b/y 2 (metres = 3)",
        "cable L2: a/x 2 to b/y 1 (metres = 3)",
    ]


@pytest.mark.parametrize(
    "data", [b"", b"\xff\xfe", b"x = [", b"\x1b[31m", b"a.b.c = {x = [[1]]}\ncable = 3\n[[cable.x]]\n"]
)
def test_any_bytes_come_through(data: bytes) -> None:
    assert b"\x1b" not in plain_text("x.toml", data) or plain_text("x.toml", data) == data
