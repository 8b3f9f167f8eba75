"""Ranges as the language reference spells them out (routecode/pages/meaning.md, "Names and spreading")."""

import pytest

from .drafts import as_range
from .readings import RIGHT
from .spread import spread, spread_channels


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("mic 1..3", ["mic 1", "mic 2", "mic 3"]),
        ("mic 3..1", ["mic 3", "mic 2", "mic 1"]),
        ("mic 1..6 step 2", ["mic 1", "mic 3", "mic 5"]),
        ("mic 08..10", ["mic 08", "mic 09", "mic 10"]),
        ("L9..11", ["L9", "L10", "L11"]),
        ("a1 2..3", ["a1 2", "a1 3"]),
        ("plain", ["plain"]),
        (["top 1..2", "bottom 7"], ["top 1", "top 2", "bottom 7"]),
        (4, ["4"]),
    ],
)
def test_spread(text: object, names: list[str]) -> None:
    assert spread(text, RIGHT) == names


def test_channels_take_a_range() -> None:
    assert spread_channels("out 2 ch 2..1", RIGHT) == [("out 2", 2), ("out 2", 1)]
    assert spread_channels("out 1..2", RIGHT) == [("out 1", None), ("out 2", None)]


@pytest.mark.parametrize("names", [["x 1", "x 2"], ["x 5", "x 3", "x 1"], ["08", "09", "10"], ["9", "10"]])
def test_names_put_into_a_range_spread_to_themselves(names: list[str]) -> None:
    text = as_range(names)
    assert text is not None
    assert spread(text, RIGHT) == names
