"""TOML 1.0 in, and every fault a value with a place. The public suite says what is valid; the parsers are compared."""

import math
import re
import tomllib
from collections.abc import Callable
from datetime import date, datetime
from datetime import time as clock
from typing import Any

import pytest

from routecode.files import toml
from routecode.files.toml import parse
from tests.bounds import with_an_end
from tests.files import suite

Loads = Callable[[str], dict[str, Any]]


@pytest.fixture(params=["rtoml", "tomllib"])
def parser(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """Both parsers, since a machine may have either."""
    if request.param == "tomllib":
        monkeypatch.setattr(toml, "_parser", lambda: tomllib.loads)
    else:
        assert toml._parser().__module__.startswith("rtoml")
    return str(request.param)


def test_every_case_of_the_public_suite(parser: str) -> None:
    if not suite.IS_THERE:
        suite.say_absent("test_toml")
        return
    wrong = []
    cases = suite.cases()
    for case in cases:
        parsed = parse(case.name, case.data)
        assert (parsed.table is None) == (parsed.mistake is not None), case.name
        if case.expected is None:
            if parsed.mistake is None:
                wrong.append(f"{case.name} was accepted")
        elif parsed.mistake is not None:
            wrong.append(f"{case.name} was refused: {parsed.mistake.text}")
        elif not same(parsed.table, case.expected):
            wrong.append(f"{case.name} reads as {parsed.table}")
    assert not wrong
    assert len(cases) == suite.CASES_OF_1_0
    assert sum(case.expected is not None for case in cases) == 210


def test_what_is_new_in_toml_1_1_is_refused(parser: str) -> None:
    """TOML 1.1 differs by: line ends and a last comma in inline tables, \\e and \\xHH, times without seconds."""
    newer = {
        "a = {b = 1,}": "comma-last",
        "a = {b = 1,\n c = 2}": "inline-over-lines",
        "a = {\n c = 2}": "inline-over-lines",
        "a = {b = 1 # c\n}": "inline-over-lines",
        'a = "\\e"': "escape-unknown",
        'a = "\\x41"': "escape-unknown",
        'a = """\n\\x41"""': "escape-unknown",
        "a = 10:30": "time-without-seconds",
        "a = 2026-03-01T10:30": "time-without-seconds",
        "a = [2026-03-01 10:30Z]": "time-without-seconds",
    }
    assert {text: found(text) for text in newer} == newer
    if suite.IS_THERE:
        cases = [case for case in suite.cases("1.1.0") if case.expected is not None]
        reads = [(case.name, parse(case.name, case.data).mistake is None) for case in cases]
        assert reads == [(case.name, is_toml_1_0(case.data.decode("utf-8-sig"))) for case in cases]
        assert [is_read for _, is_read in reads].count(False) >= 9


def is_toml_1_0(text: str) -> bool:
    """The standard library of Python 3.11 to 3.14 reads TOML 1.0 (PEP 680)."""
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return False
    return True


def test_what_only_looks_like_toml_1_1_is_accepted(parser: str) -> None:
    text = "\n".join(
        [
            'a = "C:\\\\export {"',
            "b = 'at 10:30, \\e \\x {'",
            'c = "10:30" # at 10:30 {',
            "d = 2026-03-01T10:30:00+01:00",
            'e = {f = "}", g = "{,}", h = {i = [1, 2]}}',
            'j = """\n{\n\\\\x\n10:30\n"""',
            "k = [{l = 1},\n {m = 2}, ]",
        ]
    )
    assert parse("a.toml", text.encode()).table == tomllib.loads(text)


@pytest.mark.parametrize(
    ("text", "kind", "line", "column"),
    [
        ('title = "Hall\nb = 1', "quote-missing", 1, 9),
        ("title = 'Hall", "quote-missing", 1, 9),
        ('a = 1\nnotes = """\nlong\n', "quote-missing", 2, 9),
        ("[unit.x]\ntitle", "equals-missing", 2, 1),
        ('title "Hall"', "equals-missing", 1, 7),
        ("title: Hall", "equals-missing", 1, 6),
        ('a = ["x", "y"\n\n[bay.x]\nb = 1', "array-not-closed", 1, 5),
        ('a = ["x", "y",\nb = 1', "array-not-closed", 1, 5),
        ("a = [1, 2", "array-not-closed", 1, 5),
        ("a = {b = 1", "inline-not-closed", 1, 5),
        ("[bay.x", "header-not-closed", 1, 1),
        ("[[cable]\nx = 1", "header-not-closed", 1, 1),
        ("[cable]]\nx = 1", "header-not-closed", 1, 8),
        ("[unit.pre a]", "key-sign", 1, 10),
        ("[]", "key-missing", 1, 1),
        ("größe = 1", "key-sign", 1, 3),
        ("pf per metre = 1", "key-sign", 1, 4),
        ('a = ["x" "y"]', "comma-missing", 1, 10),
        ('a = ["x"\n  "y"]', "comma-missing", 2, 3),
        ("a = {b = 1 c = 2}", "comma-missing", 1, 12),
        ("a = [1,,2]", "comma-twice", 1, 8),
        ("title = “Hall”", "curly-quote", 1, 9),
        ("signal = mic", "not-quoted", 1, 10),
        ('"é" = "é" # é\nfrom = pre-a/out 1..8', "not-quoted", 2, 8),
        ("a = [pre-a/out 1, 2]", "not-quoted", 1, 6),
        ("level = +4 dBu", "not-quoted", 1, 9),
        ("metres = 3,5", "decimal-comma", 1, 11),
        ("front = True", "true-or-false", 1, 9),
        ("number = 007", "leading-zero", 1, 10),
        ("a = .5", "not-a-number", 1, 5),
        ("until = 2026-02-30", "not-a-date", 1, 9),
        ("a =", "value-missing", 1, 1),
        ("a = 1,", "stray-sign", 1, 6),
        ('a = "x", "y"', "brackets-missing", 1, 8),
        ('a = "say "hi""', "quote-inside", 1, 11),
        ("a = 1 b = 2", "line-end-missing", 1, 7),
        ("[a] b = 1", "line-end-missing", 1, 5),
        ("// note", "comment-sign", 1, 1),
        ("a = 1 // note", "comment-sign", 1, 7),
        ('a = "C:\\studio"', "escape-unknown", 1, 8),
        ("a = 1\n<<<<<<< HEAD\nb = 2\n", "conflict-mark", 2, 1),
        ("a = 9223372036854775808", "number-too-large", 1, 5),
        ("a = [0, {b = 0xFFFFFFFFFFFFFFFF}]", "number-too-large", 1, 14),
        ("a = [inf, 1.5, 1e0400]", "number-too-large", 1, 16),
        ("a = -9_223_372_036_854_775_809", "number-too-large", 1, 5),
    ],
)
def test_common_mistakes_are_named_where_they_stand(text: str, kind: str, line: int, column: int, parser: str) -> None:
    mistake = parse("bays/north.toml", text.encode()).mistake
    assert mistake is not None
    assert mistake.place is not None
    assert (mistake.id, *mistake.place[:3]) == (kind, "bays/north.toml", line, column)
    assert mistake.do
    assert mistake.text.endswith(".")
    assert len(mistake.text.split()) <= 25  # at most 25 words a sentence


@pytest.mark.parametrize(
    ("text", "first", "second"),
    [
        ("a = 1\na = 2", (1, 1), (2, 1)),
        ("[x]\na = 1\nb = 2\na = 3", (2, 1), (4, 1)),
        ("[x]\n[y]\n[x]", (1, 2), (3, 2)),
        ("[unit.x]\n[[unit.x]]", (1, 7), (2, 8)),
        ("[[a]]\n[a]", (1, 3), (2, 2)),
        ("a = 1\n[a.b]\n", (1, 1), (2, 4)),
        ("a.b = 1\na = 2", (1, 1), (2, 1)),
        ("t = {a = 1, a = 2}", (1, 6), (1, 13)),
        ("[a]\nb.c = 1\n[a.b]", (2, 1), (3, 4)),
    ],
)
def test_a_key_given_twice_names_both_places(
    text: str, first: tuple[int, int], second: tuple[int, int], parser: str
) -> None:
    mistake = parse("a.toml", text.encode()).mistake
    assert mistake is not None
    assert mistake.place is not None
    assert mistake.id == "key-twice"
    assert mistake.place[1:3] == second
    assert [spot[1:3] for _, spot in mistake.also] == [first]


def test_byte_order_mark_and_line_ends_do_not_shift_places(parser: str) -> None:
    parsed = parse("a.toml", "\ufeffa = 1\r\nb = x\r\n".encode())
    assert parsed.text == "a = 1\nb = x\n"
    assert parsed.mistake is not None
    assert parsed.mistake.place == ("a.toml", 2, 5, 1)
    assert parse("a.toml", "\ufeffa = '''1\r\n2'''\r\n".encode()).table == {"a": "1\n2"}


BROKEN_BYTES = [
    (b'a = 1\nb = "\xe9"', "not-utf8", 2, 6),
    ("a = 1".encode("utf-16"), "not-utf8", 1, 1),
    (b"\xef\xbb\xbf\xef\xbb\xbfa = 1", "byte-order-mark", 1, 1),
    (b"a = 1\x00", "control-character", 1, 6),
    ("é = '\x1b[2J'".encode(), "control-character", 1, 6),
    (b"# \x7f", "control-character", 1, 3),
    (b"a = 1\rb = 2\r", "bare-carriage-return", 1, 6),
]


@pytest.mark.parametrize(("data", "kind", "line", "column"), BROKEN_BYTES)
def test_bytes_that_are_no_text_are_refused(data: bytes, kind: str, line: int, column: int) -> None:
    mistake = parse("a.toml", data).mistake
    assert mistake is not None
    assert mistake.place is not None
    assert (mistake.id, *mistake.place[1:3]) == (kind, line, column)


HOSTILE = {
    "size": (b"a = 1\n" * 1_500_000, "file-too-large"),
    "arrays": (b"a = " + b"[" * 100_000 + b"]" * 100_000, "too-deep"),
    "open arrays, one a line": (b"a = " + b"[\n" * 100_000, "too-deep"),
    "open arrays in 8 MB": (b"a = " + b"[" * 8_000_000, "too-deep"),
    "inline tables": (b"a = " + b"{a=" * 100_000 + b"1" + b"}" * 100_000, "too-deep"),
    "dotted key": (b".".join([b"a"] * 20_000) + b" = 1", "key-too-long"),
    "dotted header": (b"[" + b".".join([b"a"] * 20_000) + b"]", "key-too-long"),
    "quoted dotted key": (b" . ".join([b'"a.b"'] * 20_000) + b" = 1", "key-too-long"),
    "digits": (b"a = " + b"1" * 4_301, "number-too-long"),
    "digits in 8 MB": (b"a = " + b"1" * 8_000_000, "number-too-long"),
    "digits with underscores": (b"a = " + b"1_" * 4_301 + b"1", "number-too-long"),
    "float": (b"a = 0." + b"1" * 1_000_000, "number-too-long"),
    "hexadecimal": (b"a = 0x" + b"f" * 1_000_000, None),
    "open long texts": (b'a = """' + b'\\"""' * 1_000_000, "quote-missing"),
    "open texts": (b'a = "\n' * 500_000, "quote-missing"),
    "quotes": (b"a = " + b'"' * 4_000_000, None),
    "backslashes": (b'a = "' + b"\\" * 4_000_000, None),
    "braces": (b"a = '" + b"{" * 4_000_000 + b"'", ""),
    "brackets in a text": (b"a = '" + b"[" * 4_000_000 + b"'", ""),
    "dots in a text": (b"a = '" + b"." * 4_000_000 + b"'", ""),
    "digits in a text": (b"a = '" + b"1" * 4_000_000 + b"'", ""),
    "dots in a comment": (b"a = 1 # " + b"a." * 2_000_000, ""),
    "equals and brackets": (b"a = '" + b"=[" * 2_000_000 + b"'", ""),
    "floats on one line": (b"a = [" + b"1.5," * 100_000 + b"]", ""),
    "unclosed braces": (b"a = " + b"{" * 60 + b'"' * 1_000_000, None),
    "word": (b"a" * 4_000_000 + b"." * 60, None),
    "blanks": (b"a = " + b" " * 4_000_000 + b"x", None),
    "line ends": (b"a = [" + b"\n" * 2_000_000, None),
    "curly quotes": (("a = " + "“" * 1_000_000).encode(), "curly-quote"),
}


@pytest.mark.parametrize("which", sorted(HOSTILE))
def test_hostile_documents_are_done_with_at_once(which: str) -> None:
    """`kind` is the id; "" means valid; None means refused in whatever words."""
    data, kind = HOSTILE[which]
    with with_an_end():
        mistake = parse("a.toml", data).mistake
    if kind == "":
        assert mistake is None
    else:
        assert mistake is not None
        assert kind in (None, mistake.id)


def test_dates_and_special_floats_parse(parser: str) -> None:
    table = parse("a.toml", b"a = 2026-03-01\nb = 10:30:00.5\nc = 2026-03-01T10:30:00\nd = -inf\ne = nan\n").table
    assert table is not None
    assert table["a"] == date(2026, 3, 1)
    assert table["b"] == clock(10, 30, 0, 500000)
    assert table["c"] == datetime(2026, 3, 1, 10, 30)
    assert table["d"] == -math.inf
    assert math.isnan(table["e"])


def found(text: str) -> str | None:
    mistake = parse("a.toml", text.encode()).mistake
    return mistake.id if mistake else None


def same(value: Any, expected: Any) -> bool:
    """Whether a value is what the suite's tagged JSON says."""
    if isinstance(expected, list):
        return isinstance(value, list) and len(value) == len(expected) and all(map(same, value, expected))
    if set(expected) == {"type", "value"} and isinstance(expected["value"], str):
        return _same_scalar(value, expected["type"], expected["value"])
    return (
        isinstance(value, dict) and value.keys() == expected.keys() and all(same(value[k], expected[k]) for k in value)
    )


def _same_scalar(value: Any, kind: str, text: str) -> bool:
    if kind == "string":
        return isinstance(value, str) and value == text
    if kind == "integer":
        return type(value) is int and value == int(text)
    if kind == "bool":
        return isinstance(value, bool) and value == (text == "true")
    if kind == "float":
        number = float(text)
        return isinstance(value, float) and (value == number or (math.isnan(value) and math.isnan(number)))
    iso = re.sub(r"(\.\d{1,6})\d*", r"\1", text.replace("Z", "+00:00").replace("z", "+00:00").replace(" ", "T"))
    if kind == "date-local":
        return type(value) is date and value == date.fromisoformat(iso)
    if kind == "time-local":
        return isinstance(value, clock) and value == clock.fromisoformat(iso)
    moment = datetime.fromisoformat(iso)
    return isinstance(value, datetime) and value.utcoffset() == moment.utcoffset() and value == moment
