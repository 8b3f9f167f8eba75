"""The rules by which `check` holds the file of results against the wiring, each with its manual page. The judging is in `tests_results`."""

from typing import NamedTuple

from routecode.ground.finding import Severity


class ResultRule(NamedTuple):
    """A rule of results: its id, how bad what it finds is, and its page, whose first line is the headline."""

    id: str
    severity: Severity
    page: str


_ACCEPT = """
It cannot be accepted in the wiring: a result is corrected in results.csv, where it stands. How the file is made and filled in:
routecode rules --jobs"""

MISSING = ResultRule(
    "test-missing",
    Severity.WARNING,
    f"""test-missing: a test of results.csv has no result yet.

A joint that nobody tested shows weeks later, in front of a client. Several are told as one finding with their number, and the first of
them; each row without a `result` is one.

What it says:

    12 tests have no result yet, the first: level hall/line 1 > pre-a/mic 1.

What to do: test, and write what came out into `result`: a number where the row has a unit, else ok or fail. Or delete the rows of tests
that you do not want: what is not in the file is not asked for.
{_ACCEPT}""",
)
FAILED = ResultRule(
    "test-failed",
    Severity.ERROR,
    f"""test-failed: a test of results.csv failed, so what is built is not what is written.

The result of the row says fail, failed, no or bad.

What it says:

    The test failed: continuity hall/line 3 > north/top 3.

What to do: find the fault, mend it, test again, and write ok. Or the racks are right and the text is not: correct the wiring; the result
is then of an older wiring and asks for a new test.
{_ACCEPT}""",
)
RANGE = ResultRule(
    "test-out-of-range",
    Severity.ERROR,
    f"""test-out-of-range: what was measured lies outside what the wiring makes of it.

A level may be 1 dB off where all figures are written down, 3 dB where one of them is a usual one (common practice, no source). An open
phantom supply has 44 to 52 V at 48 V, 20 to 28 V at 24 V and 11 to 13 V at 12 V (IEC 61938); where there must be none, under 1 V.

What it says:

    12 V is out of range: phantom hall/line 1.

What to do: look for a leg that is open, a level switch, phantom power that is off, a load that is not written down. A minus sign and a unit
of voltage are understood (`-3,9 dBu`, `1.2 V`) and converted; what was written otherwise is told with what it comes to.
{_ACCEPT}""",
)
UNREADABLE = ResultRule(
    "results-unreadable",
    Severity.ERROR,
    f"""results-unreadable: results.csv, or a result in it, cannot be read.

The file is CSV in UTF-8, with commas or semicolons, and its first line names at least the columns `test`, `result` and `wiring`. A result
is a number, or ok or fail. A unit behind the number is dBu, dBV, V or mV of a level, V or mV of phantom power; without one it is the unit
of the row.

What it says:

    This result cannot be read: forty.

What to do: correct the line that is named (dB of full scale are no voltage: write what a meter reads); a spreadsheet saves what is wanted
as "CSV UTF-8". When the head of the file is lost: move it away, and routecode jobsheet A..B --write-results makes it anew.
{_ACCEPT}""",
)
STALE = ResultRule(
    "test-stale",
    Severity.WARNING,
    f"""test-stale: a result was taken of a wiring that is not there any more.

Each row has a mark of the way that was tested, in the column `wiring`. When a cable, a normal or a pin of that way is written otherwise,
the mark differs, and the result says nothing of what stands now. The same holds for a test whose port or jack is gone.

What it says:

    This result is of an older wiring: level hall/line 1 > pre-a/mic 1.

What to do: test it again. routecode jobsheet A..B --write-results gives the row its new mark and empties its result. A row that names
nothing any more may be deleted.
{_ACCEPT}""",
)
RESULT_RULES = (FAILED, RANGE, UNREADABLE, MISSING, STALE)
"""The worst first."""
