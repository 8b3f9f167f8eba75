"""How much a reader must read: `python -m tests.bench.reading [--write]`.

The example's history, commit by commit: the lines of `git diff` against those of `routecode diff` at 80 columns. The history is
deterministic, git is run with nothing of the user's configuration, and no time is taken: every run gives the same table. `--write`
writes it into the page.
"""

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from routecode.change.difference import Difference
from routecode.show.diagnostic import Page
from routecode.show.difference import Asked, difference_text
from routecode.show.difference_sections import Scope, over_states
from routecode.show.measure import wrapped
from tests.change.test_report import history

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "routecode" / "pages" / "reading.md"
START = "| commit |"
COLUMNS = 80


class Read(NamedTuple):
    """One commit in lines: what git prints, what of it changed, what the tool prints, its sentences alone, and how many those are."""

    title: str
    printed: int
    changed: int
    told: int
    lines: int
    sentences: int


def git_lines(before: Mapping[str, bytes], after: Mapping[str, bytes], *options: str) -> list[str]:
    """What `git diff` prints of two states of a folder."""
    nothing = {"GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_NOSYSTEM": "1", "PATH": os.environ["PATH"], "LC_ALL": "C"}
    with tempfile.TemporaryDirectory() as folder:
        for side, files in (("before", before), ("after", after)):
            for name, text in files.items():
                path = Path(folder, side, name)
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(text)
        command = [
            "git",
            "diff",
            "--no-index",
            "--no-color",
            "--no-ext-diff",
            "--diff-algorithm=myers",
            *options,
            "before",
            "after",
        ]
        done = subprocess.run(command, cwd=folder, env=nothing, capture_output=True, check=False)
    assert done.returncode in (0, 1), done.stderr
    return done.stdout.decode().splitlines()


def read(title: str, found: Difference) -> Read:
    """One commit."""
    texts = found.old.files.texts, found.new.files.texts
    changed = [line for line in git_lines(*texts, "-U0") if line[:1] in "+-" and line[:4] not in ("+++ ", "--- ")]
    said = list(dict.fromkeys(each.change.sentence for each in over_states(found, Scope())))
    told = difference_text(found, Page(found.new), Asked("the commit before", "this commit")).splitlines()
    lines = sum(len(wrapped(f"- {text}", COLUMNS)) for text in said)
    return Read(title, len(git_lines(*texts)), len(changed), len(told), lines, len(said))


def table() -> str:
    """The table of the page."""
    rows = [read(title, found) for title, found in history()]
    heads = ("commit", "`git diff`", "changed lines in it", "`routecode diff`", "its sentences, in lines", "sentences")
    lines = [heads, ("---", *["---:"] * 5), *((row.title.replace("|", "\\|"), *map(str, row[1:])) for row in rows)]
    lines.append(("all", *(str(sum(column)) for column in list(zip(*rows, strict=True))[1:])))
    lines.append(("median", *(f"{statistics.median(column):g}" for column in list(zip(*rows, strict=True))[1:])))
    return "".join(f"| {' | '.join(cells)} |\n" for cells in lines)


def page_with(text: str) -> str:
    """The page with another table."""
    page = PAGE.read_text(encoding="utf-8")
    start = page.index(START)
    lines = page[start:].splitlines(keepends=True)
    kept = next((number for number, line in enumerate(lines) if not line.startswith("|")), len(lines))
    return page[:start] + text + "".join(lines[kept:])


def main() -> None:
    """Count and tell."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--write", action="store_true", help="write the table into the page")
    asked = parser.parse_args()
    text = table()
    sys.stdout.write(text)
    if asked.write:
        PAGE.write_text(page_with(text), encoding="utf-8")


if __name__ == "__main__":
    main()
