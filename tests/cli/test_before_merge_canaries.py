"""`routecode before-merge` in a repository that names programs for all it can: none runs for us, each runs for the ordinary git."""

import json
from pathlib import Path

import pytest

from tests.cli.asking import run
from tests.cli.test_before_merge import TORN, asked, plain
from tests.history.joining import branched, git

HOOKS = ("pre-merge-commit", "post-merge", "post-checkout", "pre-commit", "reference-transaction", "post-index-change")


class Cage:
    """Two branches of a studio in a repository that names programs for all it can; each leaves a file where it runs."""

    def __init__(self, folder: Path) -> None:
        self.root, self.songs, self.scripts = folder / "cage", folder / "songs", folder / "scripts"
        for path in (self.songs, self.scripts):
            path.mkdir()
        attributes = {".gitattributes": "*.toml merge=bird filter=bird diff=bird\n"}
        branched(self.root, *({**texts, **attributes} for texts in TORN))
        settings = {
            "merge.bird.driver": self.script("merge-driver", 'cat "$2" > "$1"'),
            "merge.default": "bird",
            "filter.bird.clean": self.script("clean"),
            "filter.bird.smudge": self.script("smudge"),
            "filter.bird.required": "true",
            "diff.bird.textconv": self.script("textconv", 'cat "$1"'),
            "diff.external": self.script("external", "exit 0"),
            "core.fsmonitor": self.script("fsmonitor", "exit 1"),
            "core.pager": self.script("pager"),
            "core.alternateRefsCommand": self.script("alternates", "exit 0"),
            "gpg.program": self.script("gpg", "exit 1"),
            "merge.verifySignatures": "true",
            "merge.renormalize": "true",
            "merge.tool": "bird",
            "mergetool.bird.cmd": self.script("mergetool"),
        }
        for key, value in settings.items():
            git(self.root, "config", key, value)
        hooks = self.root / ".git" / "hooks"
        hooks.mkdir(exist_ok=True)
        for name in HOOKS:
            (hooks / name).write_text(f'#!/bin/sh\n: > "{self.songs}/{name}"\n', encoding="utf-8")
            (hooks / name).chmod(0o755)
        self.quiet()

    def script(self, name: str, then: str = "cat") -> str:
        path = self.scripts / name
        path.write_text(f'#!/bin/sh\n: > "{self.songs}/{name}"\n{then}\n', encoding="utf-8")
        path.chmod(0o755)
        return f"{path} %A %B" if name == "merge-driver" else str(path)

    def quiet(self) -> None:
        for song in self.songs.iterdir():
            song.unlink()

    def heard(self) -> set[str]:
        return {song.name for song in self.songs.iterdir()}


@pytest.mark.parametrize("more", [(), ("--json",), ("--markdown",), ("--into", "last~1")])
def test_no_program_runs_and_nothing_changes(tmp_path: Path, more: tuple[str, ...]) -> None:
    cage = Cage(tmp_path)
    before = {path: path.read_bytes() for path in cage.root.rglob("*") if path.is_file()}
    ran = run("before-merge", "other", *more, folder=cage.root, GIT_EXTERNAL_DIFF=cage.script("from-outside"))
    assert ran.status in (0, 1)
    assert cage.heard() == set()
    after = {path: path.read_bytes() for path in cage.root.rglob("*") if path.is_file()}
    assert after == before
    if more in ((), ("--markdown",)):
        assert 'git would run the merge driver "bird"' in plain(ran.out.replace("\\", ""))
    if more == ("--json",):
        assert json.loads(ran.out)["drivers"] == [{"file": "x.toml", "driver": "bird"}]


def test_the_same_programs_run_for_the_ordinary_git(tmp_path: Path) -> None:
    """So that the test above can fail."""
    cage = Cage(tmp_path)
    git(cage.root, "config", "merge.verifySignatures", "false")
    git(cage.root, "merge", "-m", "joined", "other", check=False)
    assert {"merge-driver", "smudge", "post-merge", "reference-transaction", "post-index-change"} <= cage.heard()
    cage.quiet()
    head, other = (git(cage.root, "rev-parse", name) for name in ("main@{1}", "other"))
    git(cage.root, "merge-tree", "--write-tree", head, other, check=False)
    assert "merge-driver" in cage.heard()
    git(cage.root, "config", "merge.verifySignatures", "true")
    git(cage.root, "diff", "HEAD~1", check=False)
    git(cage.root, "status")
    git(cage.root, "commit", "-S", "--allow-empty", "-m", "x", check=False)
    assert {"external", "fsmonitor", "gpg"} <= cage.heard()


def test_drivers_of_the_user_do_not_run_either(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    cage = Cage(tmp_path)
    config = tmp_path / "own.config"
    driver = cage.script("own-driver")
    config.write_text(
        f'[merge "own"]\n\tdriver = {driver} %A %B\n[core]\n\tattributesFile = {tmp_path}/own.attributes\n',
        encoding="utf-8",
    )
    (tmp_path / "own.attributes").write_text("*.toml merge=own\n", encoding="utf-8")
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(config))
    assert asked(cage.root).status == 1
    assert cage.heard() == set()
