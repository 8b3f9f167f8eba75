"""One wiring file in plain lines: what means the same reads the same, what means something else reads otherwise, nothing fails."""

from collections.abc import Iterator
from copy import deepcopy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecode.files.toml import parse
from routecode.ground.order import natural
from routecode.show.plain import plain_lines, plain_text
from tests.show.studios import MILLRACE

FILES = sorted(MILLRACE.rglob("*.toml"))


def plain(text: str) -> list[str]:
    return plain_text("x.toml", text.encode()).decode().splitlines()


def test_a_column_a_cable_and_a_port() -> None:
    text = """
# about the bay
[bay.north]
columns = 4
[[bay.north.column]]
at = "1..2"
top = "hall/line 1..2"
normal = "half"  # not "none"
[[cable]]
number = "L1..2"
from = "a/x 1..2"
to = "b/y 2..1"
metres = 3
[unit.u]
[[unit.u.port]]
name = ["in", "out 9..10"]
signal = "mic"
"""
    assert plain(text) == [
        "bay north: column 1: normal = half",
        "bay north: column 1: top = hall/line 1",
        "bay north: column 2: normal = half",
        "bay north: column 2: top = hall/line 2",
        "bay north: columns = 4",
        "cable L1: a/x 1 to b/y 2 (metres = 3)",
        "cable L2: a/x 2 to b/y 1 (metres = 3)",
        "unit u: port in (signal = mic)",
        "unit u: port out 9 (signal = mic)",
        "unit u: port out 10 (signal = mic)",
        "# about the bay",
        '# not "none"',
    ]


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ('[[cable]]\nfrom = "a/x 1..2"\nto = "b/y 1..2"', '[[cable]]\nto = ["b/y 1", "b/y 2"]\nfrom = "a/x 1..2"'),
        ('[unit.a]\ntitle = "A"\n[unit.b]\ntitle = "B"', '[unit.b]\ntitle = "B"\n[unit.a]\ntitle = "A"'),
        ('[unit]\na = {title = "A", room = "r"}', '[unit.a]\nroom = "r"\ntitle = "A"'),
        ('[[bay.b.column]]\nat = "1..2"\ntop = "x 1..2"', '[[bay.b.column]]\nat = 2\ntop = "x 2"\n[[bay.b.column]]\nat = 1\ntop = "x 1"'),
        ("[unit.a]\r\nx = 1\r\n", "[unit.a]\nx = 1\n"),
    ],
)  # fmt: skip
def test_what_means_the_same_reads_the_same(one: str, other: str) -> None:
    assert plain(one) == plain(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("x = 3", 'x = "3"'),
        ("x = true", 'x = "true"'),
        ("x = 2026-01-01", 'x = "2026-01-01"'),
        ("x = nan", 'x = "nan"'),
        ("x = 3", "x = 3.0"),
        ('x = ["a, b"]', 'x = ["a", "b"]'),
        ('x = [["a"], ["b"]]', 'x = [["a", "b"]]'),
        ('x = [["a"], "b"]', 'x = ["[a]", "b"]'),
        ('x = ["a"]\ny = 1', 'x = ["a", "y = 1"]'),
        ('x = ""', "x = []"),
        ('x = "a"', 'x = "a "'),
        ('x = "a\\nb"', 'x = "a\\\\nb"'),
        ('x = {a = "b"}', 'x = "{a = b}"'),
        ('[[cable]]\nfrom = "a to b"\nto = "c"', '[[cable]]\nfrom = "a"\nto = "b to c"'),
        ('[[cable]]\nfrom = "a"\nto = "b (x = 1)"', '[[cable]]\nfrom = "a"\nto = "b"\nx = 1'),
        ('[[cable]]\nfrom = "a"\nto = "b"\nnumber = "1"', '[[cable]]\nfrom = "1: a"\nto = "b"'),
        ('[[cable]]\nfrom = "a 1..99999"\nto = "b"', '[[cable]]\nfrom = "a 1..99998"\nto = "b"'),
        ('[[cable]]\nfrom = "a 1..2"\nto = ["b"]', '[[cable]]\nfrom = "a 1..2"\nto = [["b"]]'),
        ("x = 1 # one", "x = 1 # two"),
        ('"a b" = 1', "a_b = 1"),
        ("[unit.a]", "[unit]"),
    ],
)
def test_what_means_something_else_reads_otherwise(one: str, other: str) -> None:
    assert plain(one) != plain(other)


def _edits(value: Any) -> Iterator[Any]:
    """The value with one thing in it changed, in every way."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield {other: each for other, each in value.items() if other != key}
            yield from ({**value, key: edited} for edited in _edits(inner))
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            yield value[:number] + value[number + 1 :]
            yield from ([*value[:number], edited, *value[number + 1 :]] for edited in _edits(inner))
    elif isinstance(value, str):
        yield f"{value}x"
        yield [value, "more"]
        yield {"text": value}
    else:
        yield not value
        yield str(value).lower()


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_no_edit_of_the_example_goes_unseen(path: Any) -> None:
    """Every key, text, number and table of the example, changed or taken out alone, changes the lines."""
    table = parse(path.name, path.read_bytes()).table
    assert table is not None
    lines = sorted(plain_lines(deepcopy(table)))
    assert lines
    count = 0
    for edited in _edits(table):
        assert sorted(plain_lines(edited)) != lines, edited
        count += 1
    assert count >= 10


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_every_comment_of_the_example_is_kept(path: Any) -> None:
    text = path.read_text("utf-8")
    comments = [line.strip() for line in text.splitlines() if line.startswith("#")]
    assert [line for line in plain(text) if line.startswith("#")][: len(comments)] == comments


def test_a_sign_of_a_comment_within_a_text_is_none() -> None:
    text = 'a = \'#1\'\nb = "#2 \\" #3"\nc = \'\'\'\n# 4 \'\n\'\'\'\nd = """\n# 5 \\" #\n""""\n# 6\n'
    assert [line for line in plain(text) if line.startswith("#")] == ["# 6"]


@given(st.binary(max_size=60) | st.text(alphabet="[]=\"'#.ab1 \n\\,{}\x1b\x00\u202e").map(str.encode))
def test_any_bytes_give_lines_that_no_terminal_obeys(data: bytes) -> None:
    lines = plain_text("x.toml", data).decode()
    assert not set(lines) & set(map(chr, [*range(9), *range(11, 32), 127, 0x202E]))
    assert lines == "" or lines.endswith("\n")


def test_very_long_numbers_in_names_are_sorted_by_value() -> None:
    """Python makes no number of more than 4,300 digits (its manual, sys.set_int_max_str_digits)."""
    names = [f"x {'9' * count}" for count in (5000, 18, 19, 1)]
    assert sorted(names, key=natural) == sorted(names, key=len)
    assert sorted(["x 1" + "0" * 20, "x 0" + "9" * 20, "x 2"], key=natural)[0] == "x 2"
    assert plain(f'[unit.a]\ntitle = "{names[0]}"') == [f"unit a: title = {names[0]}"]
