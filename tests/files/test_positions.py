"""Line and column of everything: counted by hand, against the standard library, and engine against engine."""

import tomllib
from collections.abc import Iterator
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from routecode.files.positions import Positions, Spotless, is_one_line_each
from routecode.files.toml import parse
from tests.files import suite
from tests.files.documents import document

Path = tuple[str | int, ...]

BY_HAND = """\
title = "é"  # root
[unit.pre-a]
title = "Preamp A"
é.x = 1
[[bay.north.column]]
at = [1, "2..8"]
[[bay.north.column]]
at = 9
  [bay.north.column.note]
  text = { by = "x", when = [10, 20] }
[ bay . "south é" ]
columns=48
""".replace("é.x", '"é".x')


@pytest.mark.parametrize("exact", [True, False])
@pytest.mark.parametrize(
    ("path", "key", "value"),
    [
        ((), (1, 1, 0), (1, 1, 0)),
        (("title",), (1, 1, 5), (1, 9, 3)),
        (("unit",), (2, 2, 4), (2, 2, 4)),
        (("unit", "pre-a"), (2, 7, 5), (2, 7, 5)),
        (("unit", "pre-a", "title"), (3, 1, 5), (3, 9, 10)),
        (("unit", "pre-a", "é"), (4, 1, 3), (4, 1, 3)),
        (("unit", "pre-a", "é", "x"), (4, 5, 1), (4, 9, 1)),
        (("bay",), (5, 3, 3), (5, 3, 3)),
        (("bay", "north"), (5, 7, 5), (5, 7, 5)),
        (("bay", "north", "column"), (5, 13, 6), (5, 13, 6)),
        (("bay", "north", "column", 0), (5, 13, 6), (5, 13, 6)),
        (("bay", "north", "column", 0, "at"), (6, 1, 2), (6, 6, 11)),
        (("bay", "north", "column", 0, "at", 1), (6, 10, 6), (6, 10, 6)),
        (("bay", "north", "column", 1), (7, 13, 6), (7, 13, 6)),
        (("bay", "north", "column", 1, "at"), (8, 1, 2), (8, 6, 1)),
        (("bay", "north", "column", 1, "note"), (9, 21, 4), (9, 21, 4)),
        (("bay", "north", "column", 1, "note", "text"), (10, 3, 4), (10, 10, 29)),
        (("bay", "north", "column", 1, "note", "text", "when", 1), (10, 34, 2), (10, 34, 2)),
        (("bay", "south é"), (11, 9, 9), (11, 9, 9)),
        (("bay", "south é", "columns"), (12, 1, 7), (12, 9, 2)),
    ],
)
def test_places_counted_by_hand(path: Path, key: Spotless, value: Spotless, exact: bool) -> None:
    positions = Positions(BY_HAND, exact=exact)
    assert positions.key(path) == key
    assert positions.value(path) == value


@pytest.mark.parametrize("exact", [True, False])
@pytest.mark.parametrize(
    "path", [("x",), ("title", "x"), ("bay", "north", "column", 2), ("unit", 0), (0,), ("bay", "x", "y")]
)
def test_what_is_not_there_has_no_place(path: Path, exact: bool) -> None:
    positions = Positions(BY_HAND, exact=exact)
    assert positions.key(path) is None
    assert positions.value(path) is None


def test_every_path_of_the_public_suite() -> None:
    if not suite.IS_THERE:
        suite.say_absent("test_positions")
        return
    checked = quick = 0
    for case in suite.cases():
        parsed = parse(case.name, case.data)
        if parsed.table is not None:
            checked += check(parsed.text)
            quick += is_one_line_each(parsed.text)
    assert checked > 1200
    assert quick > 100


@settings(max_examples=150, deadline=None)
@given(st.integers(0, 2**32), st.booleans())
def test_every_path_of_random_documents(seed: int, is_line: bool) -> None:
    text = document(Random(seed), is_one_line_each=is_line)
    check(text)


def test_random_documents_reach_both_engines() -> None:
    texts = [document(Random(seed), is_one_line_each=seed % 2 == 0) for seed in range(100)]
    quick = [is_one_line_each(text) for text in texts]
    assert quick.count(True) >= 40
    assert quick.count(False) >= 20
    assert sum(check(text) for text in texts) > 500


@pytest.mark.parametrize(
    "text",
    [
        "a = [\n1]",
        "a = [1,\n2]",
        "a = [ # ]\n]",
        'a = """\n"""',
        "a = '''x'''",
        "a = [[1],\n[2]]",
        "b = {a = [1,\n2]}",
        "a = ['\"',\n1]",
    ],
)
def test_the_quick_engine_is_not_used_where_a_statement_goes_over_lines(text: str) -> None:
    assert not is_one_line_each(text)


@pytest.mark.parametrize(
    "text", ["a = [1, 2]", "a = [[1], ['[']]", "a = ['=[']\n[b]", "a = 1\n[[b]]\nc = {d = [1]}", "a = '=[]'"]
)
def test_the_quick_engine_is_used_where_each_statement_is_a_line(text: str) -> None:
    assert is_one_line_each(text)


def test_a_finding_in_each_of_many_files_is_placed() -> None:
    for number in range(50):
        text = wiring(number)
        found = Positions(text).value(("bay", f"north-{number}", "column", 40, "top"))
        assert found is not None
        assert text.split("\n")[found.line - 1].startswith("top = ")


def check(text: str) -> int:
    """Each path: the engines agree, and what stands at its place reads as what the standard library read there."""
    exact, quick = Positions(text, exact=True), Positions(text)
    count = 0
    for path, expected in paths(tomllib.loads(text), ()):
        count += 1
        assert exact.value(path) == quick.value(path), path
        assert exact.key(path) == quick.key(path), path
        value, key = exact.value(path), exact.key(path)
        assert value is not None, path
        assert key is not None, path
        names = [step for step in path if isinstance(step, str)]
        if isinstance(path[-1], str):
            assert list(tomllib.loads(f"{at(text, key)} = 1")) == [path[-1]]
        standing = at(text, value)
        is_named_only = isinstance(expected, dict | list) and standing[:1] not in ("{", "[")
        if is_named_only:
            assert list(tomllib.loads(f"{standing} = 1")) == [names[-1]]
        else:
            assert repr(tomllib.loads(f"v = {standing}")["v"]) == repr(expected)
    return count


def paths(value: Any, path: Path) -> Iterator[tuple[Path, Any]]:
    if path:
        yield path, value
    steps = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, below in steps:
        yield from paths(below, (*path, step))


def at(text: str, spot: Spotless) -> str:
    lines = text.split("\n")
    start = sum(len(line) + 1 for line in lines[: spot.line - 1]) + spot.column - 1
    return text[start : start + spot.length]


def wiring(number: int) -> str:
    """A file of about 10 kB as studios have them."""
    parts = [f'[bay.north-{number}]\ntitle = "North bay"\ncolumns = 48\nnormalling = "switched"\n']
    for column in range(1, 61):
        parts.append(
            f'[[bay.north-{number}.column]]\nat = {column}\ntop = "hall/line {column}"  # from the hall\n'
            f'bottom = ["pre-a/mic {column}"]\n'
        )
    for cable in range(45):
        parts.append(
            f'[[cable]]\nnumber = "L{cable}"\nfrom = "pre-a/out {cable}"\nto = "conv/line {cable}"\nmetres = 3.5\n'
        )
    return "\n".join(parts)
