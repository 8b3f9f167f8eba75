"""Time down and operations of every job of the example's history, beside undoing everything and then doing everything.

`python -m tests.hands.jobs_table --write` writes the table into `routecode/pages/jobs.md`; without it, it is printed.
"""

import argparse
import sys

from routecode.hands.job import Job
from routecode.show.jobsheet import hours
from tests.hands.jobs import ROOT, steps_of_history

PAGE = ROOT / "routecode" / "pages" / "jobs.md"
HEAD = "| commit | way |"
_LONGEST = 48


def table() -> str:
    """The rows of the table, for jobs that ask anything of the hands."""
    rows = []
    for title, there, back in steps_of_history():
        for way, made in (("there", there), ("back", back)):
            if not made.idle:
                rows.append(_row(title, way, made))
    return "".join(rows)


def _row(title: str, way: str, made: Job) -> str:
    short = title if len(title) <= _LONGEST else f"{title[: _LONGEST - 3]}..."
    stops = sum(told.kind == "stop" for told in made.racks)
    metres = f"{made.saved[0]:g} m" if made.saved[0] else "-"
    down, unplanned = made.down, made.unplanned
    cells = (
        *(short, way, str(len(made.racks) - stops), str(stops), hours(down.minutes), hours(unplanned.minutes)),
        *(*map(hours, made.walking), hours(made.testing)),
        *(str(down.operations), str(unplanned.operations), metres),
    )
    return f"| {' | '.join(cells)} |\n"


def page_with(rows: str) -> str:
    """The page with other rows."""
    page = PAGE.read_text(encoding="utf-8")
    start = page.index(HEAD)
    head = page[start:].splitlines(keepends=True)[:2]
    return page[:start] + "".join(head) + rows


def main() -> int:
    """Make the table, print or write it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--write", action="store_true", help="write the table into the page")
    rows = table()
    if parser.parse_args().write:
        PAGE.write_text(page_with(rows), encoding="utf-8")
    else:
        print(rows)
    return 0


if __name__ == "__main__":
    sys.exit(main())
