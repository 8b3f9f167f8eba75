"""Headroom is the smallest of what output, input and converter leave; nominal against maximum (check value L16), by hand."""

import pytest

from tests.figures.lines_as_text import line


@pytest.mark.parametrize(
    ("gives", "takes", "room"),
    [
        ('level = "+4 dBu"; max_level = "+24 dBu"; ohms = 0.001', 'max_level = "+24 dBu"; ohms = 10000', 20.0),  # L16
        ('level = "+4 dBu"; max_level = "+10 dBu"; ohms = 100', 'max_level = "+24 dBu"; ohms = 10000', 6.0),
        ('level = "-10 dBV"; max_level = "+6 dBV"; ohms = 600', 'max_level = "+24 dBu"; ohms = 10000', 16.0),
        ('level = "+4 dBu"; ohms = 100', 'max_level = "+24 dBu"; full_scale = "+12 dBu"; ohms = 10000', 8.0864),
        ('level = "+4 dBu"; ohms = 100', 'max_level = "+24 dBu"; full_scale = "+12 dBu"', 8.0),
        ('level = "+4 dBu"; full_scale = "+18 dBu"; ohms = 100', 'max_level = "+24 dBu"; ohms = 10000', 14.0),  # L8
        (
            'level = "+4 dBu"; ohms = 100; balanced = true; drive = "symmetric"',
            'max_level = "+6 dBV"; ohms = 10000; balanced = false',
            8.2185 - (4 - 6.0206 - 0.0433),
        ),
    ],
)
def test_the_first_that_clips(gives: str, takes: str, room: float) -> None:
    hop = line(gives, takes)
    assert hop.headroom is not None
    assert hop.headroom.amount == pytest.approx(room, abs=0.001)
    assert not hop.headroom.default


def test_a_usual_maximum_does_not_hide_a_written_one() -> None:
    hop = line(
        'level = "+20 dBu"; ohms = 100', 'max_level = "+26 dBu"; ohms = 10000'
    )  # usual maximum of a line: +24 dBu
    assert hop.headroom is not None
    assert not hop.headroom.default
    assert hop.headroom.amount == pytest.approx(6.0864, abs=0.001)
