"""A thousand edits with known effect: `python -m tests.change.known_edits [--count 1000] [--seed 0] [--write]`.

Each edit of the example or of a random studio is made together with what it must come to, which is worked out without the diff
(`truth`); then it is compared. Status 1 where anything is missing, false or misnamed. `--write` writes the table into the page.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator, Mapping
from copy import deepcopy
from functools import cache
from pathlib import Path
from random import Random

from attrs import Factory, define, frozen

from routecode.change.difference import Compared
from tests.change import edit_kinds as edits
from tests.change import rename_kinds as names
from tests.change import text_kinds as text
from tests.change.edit_kinds import Base, Effect, Kind
from tests.change.loosened import text_of
from tests.change.truth import Verdict, judge
from tests.reference.compiler import circuit_of
from tests.reference.studios import random_studio

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "routecode" / "pages" / "edits.md"
TRIES = 60
EXAMPLES_EACH = 8
"""One edit in so many is of the example."""

KINDS: dict[str, Kind] = {
    "cable removed": edits.cable_removed,
    "cable added": edits.cable_added,
    "cable moved to another jack": edits.cable_moved,
    "two cables exchanged": edits.cables_exchanged,
    "normal changed": edits.normal_changed,
    "plug moved": edits.plug_moved,
    "cord added": edits.cord_added,
    "cord removed": edits.cord_removed,
    "cord moved": edits.cord_moved,
    "inside changed": edits.inside_changed,
    "switch turned": edits.switch_turned,
    "unit removed": edits.unit_removed,
    "unit added": edits.unit_added,
    "unit renamed, declared": names.thing_renamed("unit", names.DECLARED),
    "unit renamed, proved": names.thing_renamed("unit", names.PROVED),
    "ports renamed, declared": names.ports_renamed(names.DECLARED),
    "ports renamed, proved": names.ports_renamed(names.PROVED),
    "bay renamed, declared": names.thing_renamed("bay", names.DECLARED),
    "bay renamed, proved": names.thing_renamed("bay", names.PROVED),
    "setup renamed, declared": names.setup_renamed(names.DECLARED),
    "setup renamed, proved": names.setup_renamed(names.PROVED),
    "bay extended in the middle": edits.bay_extended,
    "block of columns moved": edits.block_moved,
    "ends of cables exchanged": text.cable_ends_exchanged,
    "tables moved between files": text.tables_moved,
    "comments and layout": text.comments,
    "model inlined": text.model_inlined,
    "ranges unrolled": text.range_unrolled,
}


@frozen
class Known:
    """One edit: both texts, and what it did to names."""

    kind: str
    before: Mapping[str, str]
    after: Mapping[str, str]
    effect: Effect


@cache
def example() -> Base:
    """The example studio."""
    folder = ROOT / "examples" / "millrace"
    paths = sorted(folder.rglob("*.toml"))
    return Base.of({path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8") for path in paths})


def known_edit(kind: str, seed: int) -> Known:
    """An edit of one kind. Some studio always has what it needs."""
    rng = Random(f"{kind} {seed}")
    of_example = seed % EXAMPLES_EACH == 0
    for attempt in range(TRIES):
        base = example() if of_example and attempt < TRIES // 2 else Base.of(random_studio(seed + 1000 * attempt))
        whole = deepcopy(base.whole)
        effect = KINDS[kind](base, whole, rng)
        if effect is None:
            continue
        after = effect.files or {"studio.toml": text_of(whole)}
        if after != base.files and circuit_of(after)[0] is not None:
            return Known(kind, base.files, after, effect)
    raise AssertionError(f"{kind}, seed {seed}: no studio has what it needs")


def verdict_of(known: Known) -> Verdict:
    """What the diff says of it, judged."""
    old, new = circuit_of(known.before)[0], circuit_of(known.after)[0]
    assert old is not None
    assert new is not None
    return judge(known.before, known.after, known.effect, Compared(old, new))


@define
class Row:
    """The edits of one kind, counted."""

    edits: int = 0
    injected: int = 0
    told: int = 0
    silent: int = 0
    ways: int = 0
    missing: int = 0
    false: int = 0
    misnamed: int = 0
    sentences: list[int] = Factory(list)

    def add(self, verdict: Verdict) -> None:
        """One more edit."""
        self.edits += 1
        for key in ("injected", "told", "silent", "ways"):
            setattr(self, key, getattr(self, key) + getattr(verdict, key))
        self.missing += sum(fault.startswith("missing") for fault in verdict.wrong)
        self.false += sum(fault.startswith("false") for fault in verdict.wrong)
        self.misnamed += sum(fault.startswith("name") for fault in verdict.wrong)
        self.sentences.append(verdict.sentences)

    def cells(self) -> list[str]:
        """The row in words."""
        counts = (self.edits, self.injected, self.told, self.silent, self.ways, self.missing, self.false, self.misnamed)
        return [*(f"{count:,}" for count in counts), f"{sum(self.sentences):,}", str(max(self.sentences, default=0))]


HEADS = (
    "edit", "edits", "paths changed", "told once", "silent", "ways changed", "missing", "false", "names wrong",
    "sentences", "most for one edit",
)  # fmt: skip


def judged(count: int, seed: int = 0) -> Iterator[tuple[int, str, Verdict]]:
    """So many edits, the kinds in turn."""
    kinds = list(KINDS)
    for number in range(count):
        kind, which = kinds[number % len(kinds)], seed + number // len(kinds)
        yield which, kind, verdict_of(known_edit(kind, which))


def table(rows: Mapping[str, Row]) -> str:
    """The table of the page."""
    lines = [HEADS, ("---", *["---:"] * (len(HEADS) - 1)), *((kind, *row.cells()) for kind, row in rows.items())]
    whole = Row()
    for row in rows.values():
        for key in ("edits", "injected", "told", "silent", "ways", "missing", "false", "misnamed"):
            setattr(whole, key, getattr(whole, key) + getattr(row, key))
        whole.sentences += row.sentences
    lines.append(("all", *whole.cells()))
    return "".join(f"| {' | '.join(cells)} |\n" for cells in lines)


def main() -> int:
    """Make, compare, tell."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--write", action="store_true", help="write the table into the page")
    asked = parser.parse_args()
    rows = {kind: Row() for kind in KINDS}
    wrong = 0
    for seed, kind, verdict in judged(asked.count, asked.seed):
        rows[kind].add(verdict)
        wrong += bool(verdict.wrong)
        for fault in verdict.wrong[:4]:
            print(f"{kind}, seed {seed}: {fault}", flush=True)
    print(table(rows))
    if asked.write:
        PAGE.write_text(page_with(table(rows)), encoding="utf-8")
    return 1 if wrong else 0


def page_with(rows: str) -> str:
    """The page with another table."""
    page = PAGE.read_text(encoding="utf-8")
    start = page.index("| edit | edits |")
    lines = page[start:].splitlines(keepends=True)
    kept = next((number for number, line in enumerate(lines) if not line.startswith("|")), len(lines))
    return page[:start] + rows + "".join(lines[kept:])


if __name__ == "__main__":
    sys.exit(main())
