"""A repository whose settings name programs of all kinds: none of them runs for us, and each runs for the ordinary git.

Each program is a canary: a script that leaves a file with its name. The second half proves that the canaries can sing,
so that the first half can fail.
"""

import os
import pty
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from routecode.files.git import Commit, Repository, open_repository, process
from routecode.ground.finding import Mistake
from tests.files.shop import git, pin, put

HOOKS = ("pre-commit", "post-commit", "commit-msg", "prepare-commit-msg", "reference-transaction", "post-index-change")


class Cage:
    """A repository full of canaries."""

    def __init__(self, folder: Path) -> None:
        self.songs = folder / "songs"
        self.scripts = folder / "scripts"
        self.root = folder / "shop"
        self.origin = folder / "origin"
        for path in (self.songs, self.scripts, self.root):
            path.mkdir()
        git(self.root, "init", "-q")
        put(self.root, "studio.toml", "[studio]\n")
        put(self.root, "north.toml", "a = 1\n")
        git(self.root, "add", "-A")
        git(self.root, "commit", "-qm", "first")
        put(self.root, "promised.toml", "b = 1\n")
        git(self.root, "add", "-A")
        git(self.root, "commit", "-qm", "second")
        self.promised = git(self.root, "rev-parse", "HEAD:promised.toml")
        self.signed()
        git(folder, "clone", "-q", "--bare", str(self.root), str(self.origin))
        blob = self.root / ".git" / "objects" / self.promised[:2] / self.promised[2:]
        blob.unlink()
        self.arm()

    def signed(self) -> None:
        """A third commit that carries a signature to be verified."""
        head, tree = git(self.root, "rev-parse", "HEAD"), git(self.root, "rev-parse", "HEAD^{tree}")
        who = "Ann Weaver <ann@example.com> 1772366400 +0000"
        sign = "gpgsig -----BEGIN PGP SIGNATURE-----\n \n eA==\n -----END PGP SIGNATURE-----"
        body = f"tree {tree}\nparent {head}\nauthor {who}\ncommitter {who}\n{sign}\n\nthird\n"
        made = git(self.root, "hash-object", "-t", "commit", "-w", "--stdin", given=body.encode())
        git(self.root, "update-ref", "HEAD", made)

    def script(self, name: str, then: str = "cat") -> str:
        path = self.scripts / name
        path.write_text(f'#!/bin/sh\n: > "{self.songs}/{name}"\n{then}\n')
        path.chmod(0o755)
        return str(path)

    def hook(self, folder: Path, prefix: str) -> None:
        folder.mkdir(exist_ok=True)
        for name in HOOKS:
            (folder / name).write_text(f'#!/bin/sh\n: > "{self.songs}/{prefix}-{name}"\n')
            (folder / name).chmod(0o755)

    def arm(self) -> None:
        settings = {
            "core.fsmonitor": self.script("fsmonitor", "exit 1"),
            "core.pager": self.script("pager"),
            "core.editor": self.script("editor", 'echo words > "$1"'),
            "core.sshCommand": self.script("ssh", "exit 1"),
            "core.askPass": self.script("askpass", "exit 1"),
            "credential.helper": self.script("credential", "exit 0"),
            "gpg.program": self.script("gpg", "exit 1"),
            "log.showSignature": "true",
            "filter.bird.clean": self.script("clean"),
            "filter.bird.smudge": self.script("smudge"),
            "diff.bird.textconv": self.script("textconv", 'cat "$1"'),
            "diff.hawk.command": self.script("diff-command", "exit 0"),
            "merge.bird.driver": self.script("merge-driver", "exit 0"),
            "alias.canary": "!" + self.script("alias"),
            "remote.origin.url": f"file://{self.origin}",
            "remote.origin.promisor": "true",
            "remote.origin.partialCloneFilter": "blob:none",
            "remote.origin.uploadpack": self.script("upload-pack", "exit 1"),
            "extensions.partialClone": "origin",
            "protocol.allow": "always",
        }
        git(self.root, "config", "core.repositoryFormatVersion", "1")
        included = self.scripts / "included.config"
        included.write_text(f'[alias]\n\tincluded = "!{self.script("included")}"\n')
        git(self.root, "config", f"includeIf.gitdir:{self.root.parent}/.path", str(included))
        put(
            self.root,
            ".gitattributes",
            "north.toml filter=bird diff=bird merge=bird\nstudio.toml diff=hawk filter=bird\n",
        )
        for key, value in settings.items():
            git(self.root, "config", key, value)
        self.hook(self.root / ".git" / "hooks", "own")
        self.hook(self.scripts / "hooks", "path")
        self.quiet()

    def keep_promise(self) -> None:
        """Put back what only the remote has: the ordinary git gives up half way without it."""
        git(self.root, "hash-object", "-w", "--no-filters", "--stdin", given=b"b = 1\n")

    def point_at_hooks(self) -> None:
        git(self.root, "config", "core.hooksPath", str(self.scripts / "hooks"))
        self.quiet()

    def sign_all(self) -> None:
        git(self.root, "config", "commit.gpgSign", "true")
        self.quiet()

    def quiet(self) -> None:
        for song in self.songs.iterdir():
            song.unlink()

    def heard(self) -> set[str]:
        return {song.name for song in self.songs.iterdir()}


@pytest.fixture
def cage(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Cage:
    pin(monkeypatch, tmp_path / "home")
    return Cage(tmp_path)


@pytest.mark.parametrize("arming", ["own hooks", "hooks by path"])
def test_nothing_that_a_repository_names_runs(cage: Cage, arming: str, monkeypatch: pytest.MonkeyPatch) -> None:
    if arming == "hooks by path":
        cage.point_at_hooks()
    cage.sign_all()
    for name in ("GIT_EXTERNAL_DIFF", "GIT_PAGER", "GIT_EDITOR", "GIT_SSH_COMMAND", "GIT_ASKPASS", "GIT_PROXY_COMMAND"):
        monkeypatch.setenv(name, cage.script(name))
    monkeypatch.setenv("GIT_CONFIG_COUNT", "1")
    monkeypatch.setenv("GIT_CONFIG_KEY_0", "core.fsmonitor")
    monkeypatch.setenv("GIT_CONFIG_VALUE_0", cage.script("from-the-environment"))

    repository = open_repository(cage.root)
    assert isinstance(repository, Repository)
    for text in (
        "last",
        "1",
        "2",
        "HEAD~1",
        "2026-03-01",
        "canary",
        "included",
        "abcd",
        cage.promised,
        "@{upstream}",
        "origin",
    ):
        assert isinstance(repository.resolve(text), Commit | Mistake)
    commits = list(repository.log(""))
    assert [commit.title for commit in commits] == ["second", "first"]
    head = repository.head()
    assert head is not None
    assert head.title == "third"
    files = repository.read(head, "")
    assert list(files.texts) == ["north.toml", "studio.toml"]
    assert [mistake.id for mistake in files.mistakes] == ["object-missing"]
    assert repository.state().hindrance() is None
    assert repository.identity() == ("Ann Weaver", "ann@example.com")
    put(cage.root, "north.toml", "a = 2\n")
    put(cage.root, "new.toml", "c = 1\n")
    made = repository.commit(["north.toml", "new.toml", "studio.toml"], "fourth")
    assert isinstance(made, Commit)
    assert isinstance(Repository.init(cage.root), Repository)
    below = cage.root / "fresh"
    below.mkdir()
    assert isinstance(Repository.init(below), Repository)
    assert cage.heard() == set()


def test_without_the_switches_they_would_sing_for_us_too(cage: Cage, monkeypatch: pytest.MonkeyPatch) -> None:
    """What the front of options and the environment keep out, one by one: so none of them is there for show."""
    repository = open_repository(cage.root)
    assert isinstance(repository, Repository)
    monkeypatch.setattr(process, "FRONT", ())
    monkeypatch.setattr(process, "FIXED", {"LC_ALL": "C"})
    head = repository.head()
    assert head is not None
    repository.read(head, "")
    assert "upload-pack" in cage.heard()
    put(cage.root, "north.toml", "a = 2\n")
    repository.commit(["north.toml"], "fourth")
    assert {"own-post-index-change", "own-reference-transaction"} <= cage.heard()


def test_a_git_that_lies_in_the_repository_is_not_run(cage: Cage, monkeypatch: pytest.MonkeyPatch) -> None:
    """As it would be where the search path has a relative folder in it."""
    (cage.root / "git").write_text(f'#!/bin/sh\n: > "{cage.songs}/git"\n')
    (cage.root / "git").chmod(0o755)
    monkeypatch.setenv("PATH", os.pathsep.join((".", "", os.environ["PATH"])))
    assert isinstance(open_repository(cage.root), Repository)
    assert cage.heard() == set()
    subprocess.run(["git", "status"], cwd=cage.root, env=dict(os.environ), check=False, capture_output=True)
    assert cage.heard() == {"git"}


def test_a_template_with_hooks_is_not_taken(cage: Cage, tmp_path: Path) -> None:
    (tmp_path / "template").mkdir()
    cage.hook(tmp_path / "template" / "hooks", "own")
    git(tmp_path, "config", "--global", "init.templateDir", str(tmp_path / "template"))
    (tmp_path / "fresh").mkdir()
    repository = Repository.init(tmp_path / "fresh")
    assert isinstance(repository, Repository)
    put(tmp_path / "fresh", "studio.toml")
    assert isinstance(repository.commit(["studio.toml"], "x"), Commit)
    assert cage.heard() == set()
    (tmp_path / "theirs").mkdir()
    git(tmp_path / "theirs", "init", "-q")
    git(tmp_path / "theirs", "commit", "-q", "--allow-empty", "-m", "x")
    assert "own-pre-commit" in cage.heard()


def test_each_canary_sings_for_the_ordinary_git(cage: Cage) -> None:
    root = cage.root
    put(root, "north.toml", "a = 2\n")
    put(root, "studio.toml", "[studio]\nx = 1\n")

    def quietly(*arguments: str, given: bytes = b"") -> Callable[[], None]:
        def attempt() -> None:
            git(root, *arguments, given=given, check=False)

        return attempt

    tries: dict[str, Callable[[], None]] = {
        "fsmonitor": quietly("status"),
        "own-post-index-change": quietly("update-index", "--refresh"),
        "own-reference-transaction": quietly("update-ref", "refs/heads/other", "HEAD"),
        "textconv": quietly("diff", "north.toml"),
        "diff-command": quietly("diff", "studio.toml"),
        "clean": quietly("add", "north.toml"),
        "smudge": quietly("cat-file", "--filters", "HEAD:north.toml"),
        "gpg": quietly("log", "-3"),
        "pager": lambda: on_a_terminal(root, "log"),
        "alias": quietly("canary"),
        "included": quietly("included"),
        "credential": quietly("credential", "fill", given=b"protocol=https\nhost=example.com\n\n"),
        "askpass": quietly("credential", "fill", given=b"protocol=https\nhost=example.com\n\n"),
        "ssh": quietly("fetch", "ssh://example.com/x"),
        "upload-pack": quietly("cat-file", "-p", cage.promised),
        "own-pre-commit": quietly("commit", "-m", "x"),
        "editor": quietly("commit", "--amend"),
        "merge-driver": lambda: merge(root),
    }
    for name, attempt in tries.items():
        if name == "editor":
            cage.keep_promise()
        cage.quiet()
        attempt()
        assert name in cage.heard(), name
    cage.point_at_hooks()
    git(root, "commit", "--allow-empty", "-m", "x", check=False)
    assert {"path-pre-commit", "path-reference-transaction"} <= cage.heard()
    cage.sign_all()
    git(root, "commit", "--allow-empty", "-m", "x", check=False)
    assert "gpg" in cage.heard()


def on_a_terminal(root: Path, *arguments: str) -> None:
    """Run git with its output on a terminal: only then it starts a pager."""
    ours, theirs = pty.openpty()
    try:
        subprocess.run(
            ["git", *arguments], cwd=root, stdin=theirs, stdout=theirs, stderr=theirs, check=False, timeout=20
        )
    finally:
        os.close(ours)
        os.close(theirs)


def merge(root: Path) -> None:
    """Two branches that changed the same file."""
    git(root, "stash", check=False)
    git(root, "switch", "-qc", "side", "HEAD~1", check=False)
    put(root, "north.toml", "a = 8\n")
    git(root, "commit", "-qam", "side", check=False)
    git(root, "switch", "-q", "main", check=False)
    put(root, "north.toml", "a = 9\n")
    git(root, "commit", "-qam", "main", check=False)
    git(root, "merge", "side", "-m", "x", check=False)
