"""The page of check values, made from the rows: `python -m tests.physics.table [--write]`."""

import sys
from pathlib import Path

from tests.physics.values import Row, rows

PAGE = Path(__file__).resolve().parents[2] / "routecode" / "pages" / "figures.md"
HEAD = """\
# Figures against what is published

Every published figure that a formula of routecode covers: what was printed,
what is computed, and by how much the two differ. A figure outside its
tolerance fails the tests. Made by `python -m tests.physics.table --write`.

Figures are design aids, not a safety certificate: what touches mains or
amplifiers belongs to people who are licensed for it, under the local code.

| id | what | published | computed | difference | tolerance | source |
|---|---|--:|--:|--:|--:|---|
"""


def page() -> str:
    """The whole page."""
    found = rows()
    outside = sum(1 for row in found if not fits(row))
    return f"{HEAD}{''.join(map(_line, found))}\n{len(found)} figures, {outside} outside their tolerance.\n"


def fits(row: Row) -> bool:
    """Whether ours is as near as it must be; what falls on the edge is rounded in print."""
    return abs(row.computed - row.published) <= row.tolerance + 1e-9


def _line(row: Row) -> str:
    unit = f" {row.unit}" if row.unit else ""
    numbers = (
        f"{row.published:.6g}{unit} | {row.computed:.6g} | {row.computed - row.published:+.2g} | {row.tolerance:.2g}"
    )
    return f"| {row.id.replace('|', '/')} | {row.what.replace('|', '/')} | {numbers} | {row.source} |\n"


if __name__ == "__main__":
    if "--write" in sys.argv:
        PAGE.write_text(page(), encoding="utf-8")
    sys.stdout.write(page().splitlines()[-1] + "\n")
