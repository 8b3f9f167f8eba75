"""The test sheet and its file of results: what is wanted, read back, held against the wiring; missing, failed, out of range, stale."""

import csv
import io
from math import inf, log10, sqrt

import pytest

from routecode.change.difference import Difference
from routecode.ground.finding import Finding, Mistake, Severity
from routecode.hands import tests as sheet
from routecode.hands.job import job
from routecode.hands.tests import CONTINUITY, KINDS, LEVEL, PHANTOM, PLUG, SIGNAL
from routecode.hands.tests_measured import measured
from routecode.hands.tests_results import COLUMNS, Row, held, merged, parsed, results_text
from tests.hands.jobs import job_of, opened

TEXT = """
[studio]
title = "Small"
language = 1
[room.control]
[unit.hall]
title = "Hall box"
room = "control"
[[unit.hall.port]]
name = "line 1..2"
direction = "either"
signal = "mic"
connector = "xlr-f"
[unit.pre]
title = "Preamp"
room = "control"
phantom_on = ["mic 1"]
[[unit.pre.port]]
name = "mic 1..2"
direction = "in"
signal = "mic"
phantom = "supply"
connector = "xlr-f"
[[unit.pre.port]]
name = "out 1..2"
direction = "out"
signal = "line"
level = "+4 dBu"
ohms = 60
[[unit.pre.inside]]
from = "mic 1..2"
to = "out 1..2"
[unit.rec]
title = "Recorder"
room = "control"
[[unit.rec.port]]
name = "in 1..2"
direction = "in"
signal = "line"
ohms = 10000
[bay.north]
title = "North bay"
room = "control"
columns = 8
contact = "bantam"
normal = "NORMAL"
[[bay.north.column]]
at = "1..2"
top = "pre/out 1..2"
bottom = "rec/in 1..2"
"""
MICS = '[[cable]]\nnumber = "L1..2"\nfrom = "hall/line 1..2"\nto = "pre/mic 1..2"\n'
HALF, FULL = TEXT.replace("NORMAL", "half"), TEXT.replace("NORMAL", "full")


def sheet_of(before: str, after: str) -> dict[str, sheet.Test]:
    return {test.id: test for test in job_of(before, after).tests}


def test_a_new_microphone_line_is_tested_without_power_first_then_its_phantom_power() -> None:
    """Volts of an open supply: IEC 61938, 48 V with 4 V either way."""
    found = sheet_of(HALF, HALF + MICS)
    kinds = [KINDS.index(test.kind) for test in found.values()]
    assert kinds == sorted(kinds)
    assert found["continuity hall/line 1 > pre/mic 1"].cable == "L1"
    on, off = found["phantom hall/line 1"], found["phantom hall/line 2"]
    assert (on.low, on.high, on.unit) == (44.0, 52.0, "V")
    assert (off.low, off.high) == (0.0, 1.0)
    assert off.expect.startswith("no phantom")


def test_a_level_is_what_the_loads_leave() -> None:
    """+4 dBu from 60 ohms into 10 kilohms loses 20 lg (10060 / 10000) = 0.05 dB: voltage divider."""
    tester = sheet.Tester(job_of(HALF, HALF).compared.after)
    level = tester.test(LEVEL, ("pre/out 1", "rec/in 1"))
    assert level is not None
    assert level.low is not None
    assert level.high is not None
    assert (level.low + level.high) / 2 == pytest.approx(4 - 0.052, abs=0.01)
    assert level.high - level.low == pytest.approx(2.0)
    assert "polarity kept" in level.expect


GAIN = HALF.replace('to = "out 1..2"\n', 'to = "out 1..2"\ngain_db = 40\n').replace('level = "+4 dBu"\n', "")


def test_what_is_wanted_comes_of_what_is_fed_in_and_not_of_the_whole_chain() -> None:
    """A microphone through 40 dB is far below what the test sends at the output; what arrives is that less the voltage divider."""
    tester = sheet.Tester(job_of(GAIN, GAIN + MICS).compared.after)
    level = tester.test(LEVEL, ("pre/out 1", "rec/in 1"))
    assert level is not None
    assert level.low is not None
    assert level.high is not None
    assert "send 1 kHz at +4.0 dBu" in level.ask
    assert (level.low + level.high) / 2 == pytest.approx(4 + 20 * log10(10000 / 10060), abs=0.01)


def test_behind_a_transformer_too_what_is_wanted_comes_of_what_is_fed_in() -> None:
    """The source behind a step down by 2 has a quarter of its ohms: the square of the ratio."""
    box = (
        '[unit.box]\nroom = "control"\n[[unit.box.port]]\nname = "a"\ndirection = "either"\nsignal = "line"\n'
        '[[unit.box.port]]\nname = "b"\ndirection = "either"\nsignal = "line"\nlevel = "-6 dBu"\n'
        '[[unit.box.inside]]\nfrom = "a"\nto = "b"\nkind = "transformer"\nratio = 0.5\n'
    )
    wired = HALF.replace('bottom = "rec/in 1..2"\n', "") + box
    wired += '[[cable]]\nfrom = "north/bottom 1"\nto = "box/a"\n[[cable]]\nfrom = "box/b"\nto = "rec/in 1"\n'
    level = sheet.Tester(job_of(wired, wired).compared.after).test(LEVEL, ("box/b", "rec/in 1"))
    assert level is not None
    assert level.low is not None
    assert level.high is not None
    assert "-6.0 dBu" in level.ask
    source = 60 * 0.5**2  # 60 ohms seen through a step down of 2
    assert (level.low + level.high) / 2 == pytest.approx(-6 + 20 * log10(10000 / (10000 + source)), abs=0.02)


@pytest.mark.parametrize(
    ("normal", "said"),
    [
        ("none", "nothing passes"),
        ("half", "A plug in the top listens, it still passes. A plug in the bottom breaks it"),
        ("full", "A plug in either breaks it"),
        ("parallel", "always, whatever is plugged"),
    ],
)
def test_what_a_plug_in_the_top_and_in_the_bottom_must_do(normal: str, said: str) -> None:
    """As pages/meaning.md has the four normals."""
    tester = sheet.Tester(job_of(HALF, TEXT.replace("NORMAL", normal)).compared.after)
    found = tester.test(PLUG, ("north/1",))
    assert found is not None
    assert said in found.expect
    assert "(behind: 8th from the left)" in found.text


def test_columns_that_are_normalled_otherwise_are_tested() -> None:
    found = sheet_of(HALF, FULL)
    assert {test.at for test in found.values() if test.kind == PLUG} == {(f"north/{number}",) for number in range(1, 9)}
    assert "level pre/out 1 > rec/in 1" in found


def test_what_is_in_the_same_loom_is_tested_again() -> None:
    loom = [f'[[cable]]\nnumber = "L{n}"\nfrom = "hall/line {n}"\nto = "pre/mic {n}"\nloom = "Hall"\n' for n in (1, 2)]
    made = job_of(HALF + loom[0], HALF + "".join(loom))
    assert made.retest == ("L1",)
    assert "continuity hall/line 1 > pre/mic 1" in {test.id for test in made.tests}


# -- the file ------------------------------------------------------------------------------------------------------------


def rows_with(results: dict[str, str], text: str = HALF + MICS) -> bytes:
    """The file of the tests of that studio's microphone lines, with some results."""
    found = merged(None, job_of(HALF, text).tests)
    assert isinstance(found, list)
    return results_text(row._replace(result=results.get(row.test, "ok")) for row in found).encode()


def held_by(data: bytes, text: str = HALF + MICS) -> list[Finding]:
    circuit = opened(text).circuit
    assert circuit is not None
    return list(held(data, circuit))


def test_all_well_is_silent() -> None:
    assert held_by(rows_with({"phantom hall/line 1": "47.6", "phantom hall/line 2": "0,2"})) == []


@pytest.mark.parametrize(
    ("result", "rule", "severity"),
    [
        ("", "test-missing", Severity.WARNING),
        ("fail", "test-failed", Severity.ERROR),
        ("NO", "test-failed", Severity.ERROR),
        ("12", "test-out-of-range", Severity.ERROR),
        ("52,01 V", "test-out-of-range", Severity.ERROR),
        ("forty", "results-unreadable", Severity.ERROR),
        ("nan", "results-unreadable", Severity.ERROR),
    ],
)
def test_what_is_not_well_is_found_with_its_line(result: str, rule: str, severity: Severity) -> None:
    data = rows_with({"phantom hall/line 1": result})
    (finding,) = held_by(data)
    assert (finding.rule, finding.severity, finding.at) == (rule, severity, ("hall/line 1",))
    assert finding.place is not None
    line = finding.place.path[0]
    assert isinstance(line, int)
    assert data.decode().splitlines()[line - 1].startswith("phantom hall/line 1,")


REFERENCE = sqrt(0.6)
"""0 dBu in volts (1 mW in 600 ohms)."""


@pytest.mark.parametrize(
    ("written", "unit", "is_"),
    [
        ("-3,9", "dBu", -3.9),
        ("\u22123.9 dBu", "dBu", -3.9),
        ("+4dBu", "dBu", 4),
        ("4 dbu", "dBu", 4),
        ("1.78 dBV", "dBu", 20 * log10(10 ** (1.78 / 20) / REFERENCE)),
        ("1.228 V", "dBu", 20 * log10(1.228 / REFERENCE)),
        ("700 mV", "dBu", 20 * log10(0.7 / REFERENCE)),
        ("0 V", "dBu", -inf),
        ("47,6", "V", 47.6),
        ("47600 mV", "V", 47.6),
        ("-48 V", "V", -48),
        *((text, "dBu", None) for text in ("3.9 kV", "3.9 banana", "-90 dBFS", "4 dBv", "4 MV", "-1 V", "4 dBu 5", "")),
        *((text, "V", None) for text in ("48 dBu", "48 A", "1.2.3", "--4", "nan", "inf", "4\u0661")),
    ],
)
def test_a_voltage_is_converted_and_any_other_unit_is_none(written: str, unit: str, is_: float | None) -> None:
    """0 dBu is the voltage of 1 mW in 600 ohms, 0 dBV is 1 V; worked out here from those two."""
    assert measured(written, unit) == (None if is_ is None else pytest.approx(is_, abs=1e-9))


@pytest.mark.parametrize(
    ("result", "rule", "said"),
    [
        ("3.9 banana", "results-unreadable", "dBu, dBV, V or mV"),
        ("-90 dBFS", "results-unreadable", "dBu, dBV, V or mV"),
        ("5 dBV", "test-out-of-range", "5 dBV (7.22 dBu) is out of range"),
        ("700 mV", "test-out-of-range", "700 mV (-0.88 dBu) is out of range"),
        ("9 dBu", "test-out-of-range", "9 dBu is out of range"),
        ("1.22 V", None, ""),
    ],
)
def test_a_level_in_another_unit_is_held_against_the_same_voltage(result: str, rule: str | None, said: str) -> None:
    tester = sheet.Tester(job_of(HALF, HALF).compared.after)
    level = tester.test(LEVEL, ("pre/out 1", "rec/in 1"))
    assert level is not None
    found = held_by(results_text([Row(level.id, "", "", result, "", "", "", level.wiring)]).encode(), HALF)
    assert [finding.rule for finding in found] == ([rule] if rule else [])
    assert all(said in f"{finding.text} {finding.do}" for finding in found)


def test_several_missing_are_told_once() -> None:
    (finding,) = held_by(rows_with({"phantom hall/line 1": "", "phantom hall/line 2": ""}))
    assert finding.text.startswith("2 tests have no result yet")


def test_a_result_whose_way_changed_is_stale_and_others_hold() -> None:
    data = rows_with({"phantom hall/line 1": "47", "phantom hall/line 2": "0"})
    after = HALF + MICS + 'polarity = "reversed"\n'
    rules = {(finding.rule, finding.at) for finding in held_by(data, after)}
    assert ("test-stale", ("hall/line 1", "pre/mic 1")) in rules
    assert {rule for rule, _ in rules} == {"test-stale"}
    assert {finding.rule for finding in held_by(data, HALF)} == {"test-stale"}
    assert held_by(data, HALF + MICS + '[unit.more]\nroom = "control"\n') == []


def test_results_that_hold_are_kept_and_older_ones_make_room() -> None:
    data = rows_with({"phantom hall/line 1": "47"})
    same = merged(data, job_of(HALF, HALF + MICS).tests)
    assert isinstance(same, list)
    assert {row.test: row.result for row in same}["phantom hall/line 1"] == "47"
    other = HALF + MICS + 'polarity = "reversed"\n'
    changed = merged(data, job(Difference(opened(HALF), opened(other))).tests)
    assert isinstance(changed, list)
    assert {row.test: row.result for row in changed}["phantom hall/line 1"] == ""


def test_the_file_is_read_as_spreadsheets_write_it() -> None:
    data = rows_with({"phantom hall/line 1": "47.5"})
    rows = list(csv.reader(io.StringIO(data.decode())))
    out = io.StringIO()
    csv.writer(out, delimiter=";", lineterminator="\r\n").writerows(rows)
    again = parsed(b"\xef\xbb\xbf" + out.getvalue().replace("47.5", "47,5").encode())
    assert isinstance(again, list)
    assert [row.test for row in again] == [row[0] for row in rows[1:]]
    assert held_by(b"\xef\xbb\xbf" + out.getvalue().replace("47.5", "47,5").encode()) == held_by(data)
    assert tuple(rows[0]) == COLUMNS


@pytest.mark.parametrize(
    "data",
    [b"", b"\xff\xfe\x00", b"a,b\n1,2\n", b'test,result,wiring\n"' + b"x" * 200_000, b"\x00" * 10, b"test,result\n"],
)
def test_what_is_no_file_of_results_is_said(data: bytes) -> None:
    (finding,) = held_by(data)
    assert (finding.rule, finding.severity) == ("results-unreadable", Severity.ERROR)
    assert finding.do
    assert isinstance(merged(data, ()), Mistake)


@pytest.mark.parametrize(
    "name",
    [
        "level",
        "level a",
        "plug north/99999",
        "plug north/0",
        "plug north/\u0661",
        "nonsense x > y",
        "phantom north/top 1",
        "signal a > b > c",
        "\x1b[2J",
    ],
)
def test_a_test_that_nothing_answers_to_is_stale(name: str) -> None:
    data = results_text([Row(name, "", "", "ok", "", "", "", "x")]).encode()
    (finding,) = held_by(data)
    assert finding.rule == "test-stale"


def test_kinds_are_all_made() -> None:
    assert set(KINDS) == {CONTINUITY, LEVEL, SIGNAL, PHANTOM, PLUG}
    found = sheet_of(HALF, FULL + MICS)
    assert {test.kind for test in found.values()} >= {CONTINUITY, LEVEL, PHANTOM, PLUG}
