"""Every command, in a repository whose settings name programs of all kinds, with an environment that does too: none of them runs.

The programs are the canaries of `test_canaries`, which proves that each of them sings for the ordinary git.
"""

import os
from pathlib import Path

import pytest

from routecode.cli.main import COMMANDS, NOT_FINE, OK, UNREADABLE
from routecode.files.git import process
from tests.cli.asking import ask, forget
from tests.cli.asking import run as run_apart
from tests.files.mill import UNIT, recorded
from tests.files.shop import git, pin, put
from tests.files.test_canaries import Cage

LINES: dict[str, tuple[tuple[str, ...], ...]] = {
    "new": (("new", "fresh"),),
    "record": (("record", "five"), ("record", "nothing more")),
    "check": (("check",), ("check", "--at", "last"), ("check", "--at", "staged"), ("check", "--at", "2026-03-01")),
    "paths": (("paths", "--at", "2"), ("paths", "--at", "side~1", "--json")),
    "trace": (("trace", "a/out 1", "--at", "last"),),
    "diff": (
        ("diff",),
        ("diff", "last~1..last"),
        ("diff", "last..side"),
        ("diff", "2", "--write-allowed", "allowed.txt"),
    ),
    "draw": (("draw", "last~1..last", "-o", "mill.svg"),),
    "review": (("review", "last~1..last", "-o", "review.html"),),
    "history": (("history",), ("history", "--of", "a/out 1"), ("history", "--page", "history.html")),
    "rollback": (("rollback", "last~1"), ("rollback", "last~1", "--write")),
    "before-merge": (("before-merge", "side"),),
    "labels": (("labels", "last", "-o", "labels.pdf"),),
    "jobsheet": (("jobsheet", "last~1..last"),),
    "cables": (("cables", "last"),),
    "parts": (("parts", "last"), ("parts", "last~1..last")),
    "book": (("book", "last", "-o", "book.pdf"),),
    "rules": (("rules",),),
    "plain": (("plain", "units.toml"),),
}
"""Every command, as small as it can be asked; all ways in that lead to git."""

PROGRAMS = (
    *("GIT_EXTERNAL_DIFF", "GIT_PAGER", "PAGER", "GIT_EDITOR", "GIT_SEQUENCE_EDITOR", "EDITOR", "VISUAL", "BROWSER"),
    *("GIT_SSH", "GIT_SSH_COMMAND", "GIT_ASKPASS", "SSH_ASKPASS", "GIT_PROXY_COMMAND", "GIT_PYTHON_GIT_EXECUTABLE"),
)
TRACES = (
    "GIT_TRACE",
    "GIT_TRACE2",
    "GIT_TRACE2_EVENT",
    "GIT_TRACE2_PERF",
    "GIT_TRACE_SETUP",
    "GIT_TRACE_PACKET",
    "GIT_TRACE_REFS",
)
ELSEWHERE = {
    "GIT_DIR": "elsewhere/.git",
    "GIT_WORK_TREE": "elsewhere",
    "GIT_COMMON_DIR": "elsewhere/.git",
    "GIT_OBJECT_DIRECTORY": "elsewhere/.git/objects",
    "GIT_ALTERNATE_OBJECT_DIRECTORIES": "elsewhere/.git/objects",
    "GIT_SHALLOW_FILE": "elsewhere/shallow",
    "GIT_GRAFT_FILE": "elsewhere/grafts",
    "GIT_TEMPLATE_DIR": "elsewhere/template",
    "GIT_EXEC_PATH": "elsewhere/programs",
    "GIT_NAMESPACE": "elsewhere",
    "GIT_REPLACE_REF_BASE": "refs/elsewhere/",
    "GIT_ATTR_SOURCE": "elsewhere",
}


class Mill(Cage):
    """A studio of four commits and a second branch, armed; every file goes through every driver."""

    def __init__(self, folder: Path) -> None:
        self.songs, self.scripts, self.root, self.origin = (
            folder / name for name in ("songs", "scripts", "mill", "origin")
        )
        for path in (self.songs, self.scripts, self.root):
            path.mkdir()
        recorded(self.root)
        git(self.root, "switch", "-qc", "side", "HEAD~1")
        put(self.root, "units.toml", UNIT.format("a") + UNIT.format("b") + UNIT.format("e"))
        git(self.root, "commit", "-qam", "side")
        git(self.root, "switch", "-q", "main")
        put(self.root, "units.toml", UNIT.format("a") + UNIT.format("b") + UNIT.format("d"))
        git(self.root, "commit", "-qam", "four")
        git(folder, "clone", "-q", "--bare", str(self.root), str(self.origin))
        self.arm()
        put(self.root, ".gitattributes", "* filter=bird diff=bird merge=bird\n")
        git(self.root, "config", "filter.bird.process", self.script("process", "exit 1"))
        git(self.root, "config", "gpg.ssh.program", self.script("ssh-sign", "exit 1"))
        git(self.root, "config", "diff.external", self.script("diff-external", "exit 0"))
        git(self.root, "config", "merge.default", "bird")
        git(self.root, "config", "hook.bird.command", self.script("configured-hook", "exit 0"))
        for event in ("reference-transaction", "post-index-change", "pre-commit"):
            git(self.root, "config", "--add", "hook.bird.event", event)
        git(self.root, "config", "include.path", str(self.scripts / "included.config"))
        git(self.root, "config", "remote.helped.url", "bird::somewhere")
        git(self.root, "config", "remote.helped.promisor", "true")
        put(self.root, "units.toml", UNIT.format("a") + UNIT.format("b") + UNIT.format("d") + UNIT.format("f"))
        self.sign_all()

    def surround(self, monkeypatch: pytest.MonkeyPatch) -> None:
        """The environment full of programs, traces and places elsewhere."""
        folder = self.root.parent
        for name in PROGRAMS:
            monkeypatch.setenv(name, self.script(name))
        for name in TRACES:
            monkeypatch.setenv(name, str(self.songs / name))
        for name, place in ELSEWHERE.items():
            monkeypatch.setenv(name, place if place.startswith("refs/") else str(folder / place))
        monkeypatch.setenv("GIT_CONFIG_COUNT", "1")
        monkeypatch.setenv("GIT_CONFIG_KEY_0", "core.fsmonitor")
        monkeypatch.setenv("GIT_CONFIG_VALUE_0", self.script("from-the-environment"))
        monkeypatch.setenv("GIT_CONFIG_PARAMETERS", f"'core.pager={self.script('from-the-parameters')}'")
        helper = self.scripts / "git-remote-bird"
        helper.write_text(f'#!/bin/sh\n: > "{self.songs}/remote-helper"\nexit 1\n')
        helper.chmod(0o755)
        monkeypatch.setenv("PATH", f"{os.environ['PATH']}{os.pathsep}{self.scripts}")
        self.quiet()


@pytest.fixture
def mill(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Mill:
    pin(monkeypatch, tmp_path / "home")
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path))
    made = Mill(tmp_path)
    made.surround(monkeypatch)
    monkeypatch.chdir(made.root)
    forget()
    return made


def test_every_command_has_a_line() -> None:
    assert set(LINES) == set(COMMANDS), "a new command needs a line in LINES"
    assert all(line[0] == name for name, lines in LINES.items() for line in lines)


@pytest.mark.parametrize("arming", ["own hooks", "hooks by path"])
def test_no_command_runs_what_the_repository_or_the_environment_names(mill: Mill, arming: str) -> None:
    if arming == "hooks by path":
        git_plain(mill, "config", "core.hooksPath", str(mill.scripts / "hooks"))
    for lines in LINES.values():
        for line in lines:
            forget()
            ran = ask(*line)
            assert ran.status in (OK, NOT_FINE), (line, ran)
            assert "fault of routecode" not in ran.err
            assert mill.heard() == set(), line
    assert not (mill.root.parent / "elsewhere").exists()


def test_what_a_remote_has_promised_is_not_fetched_by_any_command(mill: Mill) -> None:
    """A text of the last commit is missing: what needs them says so, with the command that fetches them."""
    blob = git_plain(mill, "rev-parse", "HEAD:units.toml")
    (mill.root / ".git" / "objects" / blob[:2] / blob[2:]).unlink()
    refused = set()
    for name, lines in LINES.items():
        for line in lines:
            forget()
            ran = ask(*line)
            assert ran.status in (OK, NOT_FINE, UNREADABLE), (line, ran)
            assert "fault of routecode" not in ran.err
            assert mill.heard() == set(), line
            if ran.status == UNREADABLE:
                refused.add(name)
                said = " ".join((ran.err + ran.out).split())
                assert "is not in this copy of the repository" in said, (line, ran)
                assert "git fetch --refetch --no-filter" in said, (line, ran)
    assert {"diff", "review", "draw"} <= refused


def test_nor_does_a_process_of_its_own(mill: Mill) -> None:
    """There the layer below is loaded anew, with what the environment says of it."""
    ran = run_apart("record", "five", folder=mill.root)
    assert (ran.status, ran.err) == (OK, "")
    assert mill.heard() == set()


def test_a_git_that_lies_in_the_repository_is_not_run_first_either(mill: Mill, monkeypatch: pytest.MonkeyPatch) -> None:
    (mill.root / "git").write_text(f'#!/bin/sh\n: > "{mill.songs}/git"\n')
    (mill.root / "git").chmod(0o755)
    monkeypatch.setenv("PATH", os.pathsep.join((".", "", os.environ["PATH"])))
    assert run_apart("check", "--at", "last", folder=mill.root).status == OK
    assert mill.heard() == set()


def test_without_the_switches_they_would_run(mill: Mill, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(process, "FRONT", ())
    monkeypatch.setattr(process, "FIXED", {"LC_ALL": "C"})
    assert ask("record", "five").status == OK
    assert {"own-post-index-change", "own-reference-transaction"} <= mill.heard()


def test_what_has_no_common_switch_is_switched_off_by_name(mill: Mill) -> None:
    """git 2.54 runs such hooks whatever core.hooksPath says; `enabled` is its own switch (git-config, hook.<friendly-name>.enabled)."""
    git_plain(mill, "config", "hook.bird.enabled", "true")
    git_plain(mill, "config", "hook.o.w=l.command", "x")
    assert process.run(mill.root, "config", "--get", "hook.bird.enabled").line == "true"
    off = process.switched_off(mill.root)
    for name in ("bird", "o.w=l"):
        assert process.run(mill.root, "config", "--get", f"hook.{name}.enabled", more=off).line == "false"
    for key in ("clean", "smudge", "process"):
        assert process.run(mill.root, "config", "--get", f"filter.bird.{key}", more=off) == (0, b"\n", "")


def git_plain(mill: Mill, *words: str) -> str:
    """The ordinary git without the hostile environment; what it sings does not count."""
    done = process.run(mill.root, *words)
    assert done.status == 0, done.complaint
    return done.line
