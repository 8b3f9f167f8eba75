"""The workflows of the page `git`: read as YAML, their steps run with real git against a stand-in for the forge."""

import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.cli.plain_git import PAGE, Machine, recipes

CHECKS, COMMENTS = (yaml.load(text, yaml.BaseLoader) for text in recipes("In continuous", "yaml"))
"""BaseLoader: every value is a text, so that the key `on` is one, too."""
MARK = "<!-- routecode: wiring -->"
FORGE = """#!/bin/sh
echo "$*" | tr '\\n' ' ' >> "$SENT/calls"; echo >> "$SENT/calls"
for word in "$@"; do
  case "$word" in
    body=@*) cp "${word#body=@}" "$SENT/body" ;;
    --paginate) [ ! -e "$SENT/old" ] || cat "$SENT/old" ;;
  esac
done
"""
"""Writes down how it is called, keeps the last body, and knows the ids of comments from a file."""


class Forge(Machine):
    """A clone of the branch that is merged into, with a pull request that is an object on the forge and nowhere else."""

    def __init__(self, base: Path, below: str = "") -> None:
        super().__init__(base, below)
        self.sent = base / "sent"
        self.sent.mkdir()
        self.program("gh", FORGE)
        self.below = below or "."
        self.first = self.run("git rev-parse HEAD").strip()
        self.run(f"git clone --quiet --bare . '{base}/forge' && git remote add origin '{base}/forge'", self.top)

    def propose(self) -> None:
        """The edits become a pull request; the clone goes back and the branch that is merged into goes on."""
        self.head = self.commit("Proposed")
        self.run("git push --quiet origin HEAD:refs/pull/7/head && git reset --quiet --hard HEAD~1")
        (self.top / "other.txt").write_text("on\n", "utf-8")
        self.target = self.commit("The branch went on")
        self.run("git push --quiet origin main && git reflog expire --expire=now --all && git gc --quiet --prune=now")

    def step(self, workflow: Any, name: str, status: int = 0) -> str:
        """Run a step of a workflow as a runner does, and give what it printed."""
        (job,) = workflow["jobs"].values()
        (step,) = (step for step in job["steps"] if step.get("name") == name)
        known = {
            "github.event.pull_request.base.sha": self.target,
            "github.event.pull_request.head.sha": self.head,
            "github.event.pull_request.number": "7",
            "github.repository": "millrace/studio",
            "github.token": "secret",
        }
        given = {
            key: re.sub(r"\$\{\{ (.*?) \}\}", lambda found: known[found[1]], value)
            for key, value in step.get("env", {}).items()
        }
        runner = {
            "GITHUB_STEP_SUMMARY": str(self.sent / "summary.md"),
            "RUNNER_TEMP": str(self.base),
            "SENT": str(self.sent),
        }
        self.environment |= {**workflow["env"], "STUDIO": self.below, **given, **runner}
        return self.run(step["run"], self.top, status)

    def calls(self) -> list[str]:
        """What the forge was asked."""
        return (self.sent / "calls").read_text("utf-8").splitlines()

    def body(self) -> str:
        """The comment as it was sent."""
        return (self.sent / "body").read_text("utf-8")


@pytest.fixture
def forge(tmp_path: Path) -> Forge:
    return Forge(tmp_path)


def unplug(forge: Forge) -> None:
    """Lines of the hall lose their way."""
    forge.edit("cables.toml", 'from = "hall/line 1..8"', 'from = "hall/line 8..1"')


# -- what the files say ----------------------------------------------------------------------------------------------------


def test_rights_are_the_least_and_no_secret_meets_foreign_files() -> None:
    """The rules of the forge's own manual, from memory: what a fork sends runs without secrets; what has them checks nothing out of it."""
    assert CHECKS["on"] == "pull_request"
    assert CHECKS["permissions"] == {"contents": "read"}
    assert COMMENTS["on"] == "pull_request_target"
    assert COMMENTS["permissions"] == {"contents": "read", "pull-requests": "write"}
    (job,) = COMMENTS["jobs"].values()
    (checkout,) = (step for step in job["steps"] if step.get("uses", "").startswith("actions/checkout@"))
    assert set(checkout["with"]) == {"fetch-depth"}
    (job,) = CHECKS["jobs"].values()
    assert "GH_TOKEN" not in str(job)
    assert job["steps"][0]["with"]["persist-credentials"] == "false"


@pytest.mark.parametrize("workflow", [CHECKS, COMMENTS])
def test_texts_from_outside_reach_a_shell_as_variables_only(workflow: Any) -> None:
    for job in workflow["jobs"].values():
        for step in job["steps"]:
            assert "${{" not in step.get("run", "")
            for found in re.findall(r"\$\{\{ (.*?) \}\}", str(step)):
                assert found.endswith((".sha", ".number", "github.repository", "github.token"))


def test_the_comment_is_looked_for_by_its_mark_and_its_writer() -> None:
    (job,) = COMMENTS["jobs"].values()
    text = job["steps"][-1]["run"]
    assert text.count(MARK) == 2
    assert '.user.login == "github-actions[bot]"' in text
    assert PAGE.read_text("utf-8").count("pull_request_target") == 1


# -- what the steps do -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("below", ["", "studios/mill"])
def test_changes_are_checked_and_marked(tmp_path: Path, below: str) -> None:
    forge = Forge(tmp_path, below)
    unplug(forge)
    forge.propose()
    forge.run(f"git fetch --quiet origin pull/7/head && git checkout --quiet {forge.head}")
    forge.step(CHECKS, "What is wrong", 1)
    lines = forge.step(CHECKS, "What changes").splitlines()
    ahead = f"{below}/" if below else ""
    line = 1 + (forge.studio / "cables.toml").read_text("utf-8").splitlines().index('from = "hall/line 8..1"')
    assert lines
    assert all(re.fullmatch(r"::(error|warning) [^:]+::.+", each) for each in lines)
    assert any(f"file={ahead}cables.toml,line={line}," in each for each in lines)
    summary = (forge.sent / "summary.md").read_text("utf-8")
    assert summary.startswith("**Paths connect other ends than before.")
    assert f"`{ahead}cables.toml:{line}`" in summary


def test_a_hazard_and_an_error_fail_and_are_marked(forge: Forge) -> None:
    forge.hazard()
    forge.propose()
    forge.run(f"git fetch --quiet origin pull/7/head && git checkout --quiet {forge.head}")
    assert "outputs-tied" in forge.step(CHECKS, "What is wrong", 1)
    assert "title=outputs-tied" in forge.step(CHECKS, "What changes")
    forge.broken()
    forge.head = forge.commit("Broken")
    forge.step(CHECKS, "What is wrong", 2)
    assert forge.step(CHECKS, "What changes", 2).startswith("::error file=cables.toml,line=")
    assert "**Nothing was compared: 1 error.**" in (forge.sent / "summary.md").read_text("utf-8")


BAD = "Hall box ::add-mask::x ##[add-mask]y ::stop-commands::z"


@pytest.mark.parametrize("compiles", [True, False])
def test_no_name_becomes_a_command_of_the_runner(forge: Forge, compiles: bool) -> None:
    """Runners obey lines that begin with `::`, and `##[` anywhere in others, unless stopped by a token (their manual, from memory)."""
    forge.edit("units/hall.toml", 'title = "Hall box"', f'title = "{BAD}"')
    unplug(forge)
    if not compiles:
        (forge.studio / "more.toml").write_text(f'[unit.x]\nmodel = "{BAD}"\n', "utf-8")
    forge.propose()
    forge.run(f"git fetch --quiet origin pull/7/head && git checkout --quiet {forge.head}")
    told = forge.step(CHECKS, "What is wrong", 1 if compiles else 2)
    fenced = re.fullmatch(r"::stop-commands::([0-9a-f]{32})\n(.*)::\1::\n", told, re.DOTALL)
    assert fenced is not None
    assert "::add-mask::" in fenced[2]
    assert forge.err == ""
    marked = forge.step(CHECKS, "What changes", 0 if compiles else 2)
    assert "add-mask" in marked
    assert all(re.match(r"::(error|warning) ", line) for line in marked.splitlines())
    assert forge.err == ""
    assert forge.step(COMMENTS, "One comment") == forge.err == ""


def test_the_comment_is_written_once_and_then_kept_up_to_date(forge: Forge) -> None:
    unplug(forge)
    forge.propose()
    forge.step(COMMENTS, "One comment")
    assert (
        forge.calls()[-1].split()
        == f"api --silent --method POST --field body=@{forge.base}/wiring.md repos/millrace/studio/issues/7/comments".split()
    )
    assert forge.body().startswith(f"{MARK}\n**Paths connect other ends than before.")
    assert "The branch went on" not in forge.body()
    assert re.search(r"^Before: .*As it is", forge.body(), re.MULTILINE)
    (forge.sent / "old").write_text("4711\n4712\n", "utf-8")
    forge.step(COMMENTS, "One comment")
    assert "--method PATCH" in forge.calls()[-1]
    assert forge.calls()[-1].endswith(" repos/millrace/studio/issues/comments/4711 ")
    assert forge.run("git status --porcelain --untracked-files=no") == ""


def test_no_comment_where_the_wiring_stays_and_the_errors_where_it_cannot_be_read(forge: Forge) -> None:
    (forge.top / "notes.txt").write_text("no wiring\n", "utf-8")
    forge.propose()
    forge.step(COMMENTS, "One comment")
    assert not any("POST" in call or "PATCH" in call for call in forge.calls())
    (forge.sent / "old").write_text("4711\n", "utf-8")
    forge.step(COMMENTS, "One comment")
    assert "**The two are identical." in forge.body()


def test_errors_are_told_in_the_comment(forge: Forge) -> None:
    forge.broken()
    forge.propose()
    forge.step(COMMENTS, "One comment")
    assert forge.body().startswith(f"{MARK}\n**Nothing was compared: 1 error.**")
    assert re.search(r"`cables\.toml:\d+:\d+`", forge.body())
