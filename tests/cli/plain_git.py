"""The recipes of the page `git`, and a machine to paste them on: a shell, real git, a home of its own, `routecode` on the path."""

import os
import re
import shutil
import stat
import subprocess
import sys
from pathlib import Path

from tests.cli.asking import MILLRACE, ROOT

PAGE = ROOT / "routecode" / "pages" / "git.md"


def recipes(heading: str, language: str = "sh") -> list[str]:
    """The pieces below the heading that begins with these words, as they stand on the page."""
    parts = [part for part in PAGE.read_text("utf-8").split("\n## ") if part.startswith(heading)]
    assert len(parts) == 1
    return re.findall(rf"```{language}\n(.*?)```", parts[0], re.DOTALL)


class Machine:
    """The example studio, recorded, in a repository of its own; `below`: in a folder of that repository."""

    def __init__(self, base: Path, below: str = "") -> None:
        self.base, self.top = base, base / "top"
        self.studio = self.top / below
        self.programs = base / "bin"
        home = base / "own home"
        for folder in (home, self.programs, self.top):
            folder.mkdir()
        self.program("routecode", f'#!/bin/sh\nPYTHONPATH="{ROOT}" exec "{sys.executable}" -m routecode "$@"\n')
        self.environment = {
            "PATH": f"{self.programs}:{os.environ['PATH']}",
            "HOME": str(home),
            "GIT_CONFIG_NOSYSTEM": "1",
            "GIT_PAGER": "cat",
            "GIT_EDITOR": "true",
            "LC_ALL": "C.UTF-8",
        }
        shutil.copytree(MILLRACE, self.studio, dirs_exist_ok=True)
        self.run("git init --quiet --initial-branch=main .", self.top)
        self.run("git config user.name Ada && git config user.email ada@millrace.example")
        self.commit("As it is")

    def program(self, name: str, text: str) -> None:
        """A program on the path of this machine."""
        path = self.programs / name
        path.write_text(text, "utf-8")
        path.chmod(path.stat().st_mode | stat.S_IEXEC)

    def run(self, command: str, folder: Path | None = None, status: int = 0) -> str:
        """Paste a command in the studio's folder, or another; what it printed. Ends with this status, or the test fails."""
        done = subprocess.run(
            ["/bin/sh", "-e", "-c", command],
            cwd=folder or self.studio,
            env=self.environment,
            capture_output=True,
            check=False,
        )
        out, err = (stream.decode("utf-8", errors="surrogateescape") for stream in (done.stdout, done.stderr))
        assert done.returncode == status, f"{command}\n{out}\n{err}"
        self.err = err
        return out

    def commit(self, message: str) -> str:
        """Record everything; the commit's id."""
        self.run(f"git add --all . && git commit --quiet --no-verify -m '{message}'", self.top)
        return self.run("git rev-parse HEAD").strip()

    def message(self) -> str:
        """The message of the last commit, on one line."""
        return " ".join(self.run("git log -1 --format=%B", self.top).split())

    def edit(self, name: str, old: str, new: str) -> None:
        """Change a file of the studio in its first place that reads so."""
        path = self.studio / name
        text = path.read_text("utf-8")
        assert old in text
        path.write_text(text.replace(old, new, 1), "utf-8")

    def longer(self, metres: int = 26) -> None:
        """The first cable gets another length."""
        path = self.studio / "cables.toml"
        path.write_text(re.sub(r"(?m)^metres = .*$", f"metres = {metres}", path.read_text("utf-8"), count=1), "utf-8")

    def broken(self) -> None:
        """A file that is no TOML any more."""
        self.edit("cables.toml", "[[cable]]", "[[cable]")

    def hazard(self) -> None:
        """Two outputs on one wire."""
        path = self.studio / "cables.toml"
        text = '\n[[cable]]\nfrom = "turntable/left"\nto = "turntable/right"\n'
        path.write_text(path.read_text("utf-8") + text, "utf-8")


def changed(shown: str) -> list[str]:
    """The lines of a diff that are gone and new."""
    return [line for line in shown.splitlines() if re.match(r"[-+](?![-+]{2})", line)]
