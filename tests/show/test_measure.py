"""Widths by Unicode Standard Annex #11 (East Asian width), and lines that never get too long."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecode.show.measure import padded, width, wrapped


@pytest.mark.parametrize(
    ("text", "columns"),
    [
        ("mic 1", 5),
        ("é", 1),
        ("e\u0301", 1),  # combining acute: no column of its own
        ("漢字", 4),  # UAX #11: wide
        ("ﾊﾟ", 2),  # UAX #11: halfwidth katakana
        ("Ａ", 2),  # UAX #11: fullwidth
        ("±", 1),  # UAX #11: ambiguous; narrow outside East Asian terminals
    ],
)
def test_width(text: str, columns: int) -> None:
    assert width(text) == columns


@given(st.text(alphabet="ab 漢é\u0301", max_size=60), st.integers(4, 30))
def test_wrapping_keeps_to_the_columns_and_loses_nothing_but_spaces(text: str, columns: int) -> None:
    lines = wrapped(text, columns)
    assert all(width(line) <= columns for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_padding_counts_columns_not_characters() -> None:
    assert width(padded("漢", 6)) == 6
