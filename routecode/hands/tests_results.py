"""Results of tests, as a small CSV file beside the wiring: read, written, and held against what the wiring now wants.

One row a test: `test` is its name, `wiring` the mark of the wiring it was made for, `result` a number or `ok` or `fail`. Where the files lie
is not known here. A spreadsheet may have written semicolons, decimal commas or a mark at the beginning.
"""

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from string import ascii_letters
from typing import NamedTuple

from routecode.circuit.circuit import Circuit
from routecode.ground.finding import Finding, Mistake
from routecode.ground.order import natural
from routecode.ground.place import At, Spot
from routecode.hands.tests import KINDS, Test, Tester
from routecode.hands.tests_measured import measured, units_for
from routecode.hands.tests_rules import FAILED, MISSING, RANGE, STALE, UNREADABLE, ResultRule

COLUMNS = ("test", "wanted", "unit", "result", "date", "by", "note", "wiring")
NAME = "results.csv"
OK_WORDS, FAIL_WORDS = ("ok", "yes", "pass", "passed"), ("fail", "failed", "no", "bad")
MOST_ROWS, MOST_BYTES = 100_000, 20_000_000
_NEEDED = ("test", "result", "wiring")


class Row(NamedTuple):
    """One row of the file, with its line from 1."""

    test: str
    wanted: str
    unit: str
    result: str
    date: str
    by: str
    note: str
    wiring: str
    line: int = 0


def parsed(data: bytes) -> list[Row] | Mistake:
    """The rows of a file of results."""
    spot = Spot(NAME, 1, 1)
    if len(data) > MOST_BYTES:
        return Mistake(
            UNREADABLE.id,
            f"{NAME} is larger than {MOST_BYTES // 1_000_000} MB.",
            spot,
            do="Keep results that still matter.",
        )
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return Mistake(UNREADABLE.id, f"{NAME} is no UTF-8 text.", spot, do="Save it as CSV in UTF-8.")
    head = text.split("\n", 1)[0]
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=";" if head.count(";") > head.count(",") else ",")
    try:
        return _rows(reader)
    except csv.Error as error:
        line = max(1, reader.line_num)
        return Mistake(
            UNREADABLE.id,
            f"{NAME}, line {line}: no CSV ({error}).",
            Spot(NAME, line, 1),
            do="Correct this line.",
        )


def _rows(reader: "csv._reader") -> list[Row] | Mistake:  # type: ignore[name-defined,unused-ignore] # known to checkers only
    head = [cell.strip().lower() for cell in next(reader, [])]
    missing = [name for name in _NEEDED if name not in head]
    if missing:
        text = f"The first line of {NAME} names no column {' and no column '.join(missing)}."
        return Mistake(UNREADABLE.id, text, Spot(NAME, 1, 1), do=f"It is: {','.join(COLUMNS)}")
    rows: list[Row] = []
    for cells in reader:
        if not any(cell.strip() for cell in cells):
            continue
        named = dict(zip(head, (cell.strip() for cell in cells), strict=False))
        rows.append(Row._make((*(named.get(name, "") for name in COLUMNS), reader.line_num)))
        if len(rows) > MOST_ROWS:
            return Mistake(
                UNREADABLE.id,
                f"{NAME} has more than {MOST_ROWS:,} rows.",
                Spot(NAME, 1, 1),
                do="Keep what still matters.",
            )
    return rows


def results_text(rows: Iterable[Row]) -> str:
    """The file of some rows."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    writer.writerows(row[: len(COLUMNS)] for row in rows)
    return out.getvalue()


def merged(data: bytes | None, tests: Sequence[Test]) -> list[Row] | Mistake:
    """The rows of a file with the tests of a job: a result for the same wiring stays, an older one of the same test makes room."""
    known = parsed(data) if data is not None else []
    if isinstance(known, Mistake):
        return known
    rows = {row.test: row for row in known}
    for test in tests:
        old = rows.get(test.id)
        if old is None or old.wiring != test.wiring:
            rows[test.id] = Row(test.id, test.expect, test.unit, "", "", "", "", test.wiring)
        else:
            rows[test.id] = old._replace(wanted=test.expect, unit=test.unit)
    return sorted(rows.values(), key=lambda row: (_kind(row.test), natural(row.test)))


def _kind(test: str) -> int:
    kind = test.partition(" ")[0]
    return KINDS.index(kind) if kind in KINDS else len(KINDS)


# -- held against the wiring ---------------------------------------------------------------------------------------------


def held(data: bytes, circuit: Circuit) -> tuple[Finding, ...]:
    """What the results say against the wiring as written: missing, failed, out of range, stale; the worst first."""
    rows = parsed(data)
    if isinstance(rows, Mistake):
        return (
            _finding(
                UNREADABLE,
                (),
                rows.text,
                rows.why,
                rows.do,
                At(NAME, (rows.place.line if isinstance(rows.place, Spot) else 1,)),
            ),
        )
    tester = Tester(circuit)
    found = [finding for row in rows for finding in _of(row, tester)]
    missing = [finding for finding in found if finding.rule == MISSING.id]
    if len(missing) > 1:
        text = f"{len(missing)} tests have no result yet, the first: {missing[0].text.partition(': ')[2]}"
        do = f"Test, and fill in `result` in {NAME}; or delete the rows."
        found = [finding for finding in found if finding.rule != MISSING.id]
        found.append(_finding(MISSING, missing[0].at, text, missing[0].why, do, missing[0].place or At(NAME, ())))
    return tuple(sorted(found, key=lambda each: (each.severity.rank, each.place.path if each.place else ())))


def _finding(rule: ResultRule, at: tuple[str, ...], text: str, why: str, do: str, place: At) -> Finding:
    return Finding(rule.id, rule.severity, tuple(sorted(set(at))), text, why, do, None, place, ())


def _of(row: Row, tester: Tester) -> Iterator[Finding]:
    spot = At(NAME, (max(1, row.line),))
    kind, _, rest = row.test.partition(" ")
    at = tuple(rest.split(" > "))
    test = tester.test(kind, at) if kind in KINDS else None
    if test is None:
        text = f"{NAME} has a result for a test that the wiring does not have any more: {row.test}."
        do = "Delete the row, or correct its name; routecode jobsheet --write-results makes new ones."
        yield _finding(
            STALE,
            (),
            text,
            "What it tested is wired otherwise now, or its name is misspelt.",
            do,
            spot,
        )
    elif test.wiring != row.wiring and row.result:
        text = f"This result is of an older wiring: {row.test}."
        yield _finding(STALE, at, text, "The way changed after it was tested.", "Test it again.", spot)
    elif not row.result:
        yield _finding(
            MISSING,
            at,
            f"Not tested yet: {row.test}.",
            f"Wanted: {test.expect}.",
            test.text,
            spot,
        )
    else:
        yield from _judged(row, test, spot)


def _judged(row: Row, test: Test, spot: At) -> Iterator[Finding]:
    word = row.result.lower()
    if word in OK_WORDS:
        return
    do = "Find the fault, mend it, test again; or correct the wiring if that is what was built."
    if word in FAIL_WORDS:
        yield _finding(FAILED, test.at, f"The test failed: {row.test}.", f"Wanted: {test.expect}.", do, spot)
        return
    number = measured(row.result, test.unit)
    if number is None or test.low is None or test.high is None:
        *units, last = units_for(test.unit)
        numbers = f"a number, alone or with {', '.join(units)} or {last} behind it; or ok or fail"
        what = numbers if test.low is not None else "ok or fail"
        text = f"This result cannot be read: {row.result[:60]}."
        yield _finding(UNREADABLE, test.at, text, f"The test is {row.test}.", f"Write {what}.", spot)
    elif not test.low <= number <= test.high:
        text = f"{_as_read(row.result, number, test.unit)} is out of range: {row.test}."
        why = f"Wanted: {test.low:g} to {test.high:g} {test.unit}."
        yield _finding(RANGE, test.at, text, why, do, spot)


def _as_read(written: str, number: float, unit: str) -> str:
    """A result in the unit of its test; as it was written before it where that was another unit."""
    read = f"{round(number, 2):g} {unit}"
    return read if measured(written, unit) == measured(written.rstrip(ascii_letters), unit) else f"{written} ({read})"
