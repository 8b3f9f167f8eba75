"""The mark stands under the right characters, and the line fits."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecode.show.excerpt import excerpt
from routecode.show.measure import width


@pytest.mark.parametrize(
    ("line", "column", "length", "shown", "mark"),
    [
        ('top = "a/out"', 7, 7, 'top = "a/out"', "      ======="),
        ('    top = "a"', 11, 3, 'top = "a"', "      ==="),
        ("\ttop = 漢 # x", 8, 1, "top = 漢 # x", "      =="),
        ("a\tb = 1", 3, 1, "a   b = 1", "    ="),
        ("x = e\u0301e", 5, 2, "x = e\u0301e", "    ="),
        ("x = \x1b[0m", 5, 1, "x = \\x1b[0m", "    ===="),
        ("key = ", 7, 0, "key = ", "      ="),
    ],
)
def test_mark_under_what_is_meant(line: str, column: int, length: int, shown: str, mark: str) -> None:
    found = excerpt(line, column, length, 60)
    assert found is not None
    assert (found.text, " " * found.start + "=" * found.length) == (shown, mark)


def test_nothing_is_shown_of_an_empty_line() -> None:
    assert excerpt("   ", 1, 1, 60) is None


@given(st.integers(0, 3000), st.integers(1, 40), st.integers(24, 70))
def test_a_long_line_is_cut_around_the_mark(before: int, length: int, columns: int) -> None:
    line = "x" * before + "M" * length + "y" * 3000
    found = excerpt(line, before + 1, length, columns)
    assert found is not None
    assert width(found.text) <= columns
    marked = found.text[found.start : found.start + found.length]
    assert set(marked) == {"M"}
    assert found.text.count("M") == found.length
    assert found.start + found.length <= columns


@given(st.text(alphabet="ab漢\t\x1b\u202ee\u0301 =", min_size=1, max_size=300), st.data())
def test_any_line_and_any_place_fit(line: str, data: st.DataObject) -> None:
    column = data.draw(st.integers(1, len(line) + 1))
    found = excerpt(line, column, data.draw(st.integers(0, 40)), 50)
    if found is not None:
        assert width(found.text) <= 50
        assert "\x1b" not in found.text
