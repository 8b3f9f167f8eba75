"""What is left of phantom power, as `trace` and `paths --figures` show it: legs that are open or grounded, inputs that are off, rounding.

48 V behind 6.8 kohm, +- 4 V, +- 10 % (IEC 61938 as summarised in print, check values P1 to P3); the rest is Ohm's law beside each case.
"""

from typing import Any

import pytest

from routecode.figures.figures import Figures
from routecode.figures.hops import hop_of
from routecode.physics.phantom import outward
from routecode.show.figured import hop_row, hop_words
from tests.show.studios import circuit_of, opened

TEXT = """
[studio]
language = 1
[unit.m]
[[unit.m.port]]
name = "a"
direction = "out"
signal = "mic"
phantom = "needs"
phantom_ma = {ma}
[unit.p]
phantom_on = "b 1"
[[unit.p.port]]
name = "b 1..2"
direction = "in"
signal = "mic"
phantom = "supply"
[unit.r]
{away}
[[unit.r.port]]
name = "c"
direction = "in"
signal = "mic"
{other}
[[cable]]
from = "m/a"
{to}
"""
CASES = [
    # both legs: 44 - 2 x 3.74 = 36.52, 52 - 2 x 3.06 = 45.88
    ('to = "p/b 1"', "", True, (36.52, 45.88), "phantom power 36 to 46 V"),
    # cold at ground: a centre tap is left nothing, a hot leg alone 52 - 2 x 6.12 = 39.76 at most
    ('to = "p/b 1"\ncold = "shield-at-to"', "", False, (0.0, 39.76), "phantom power on one leg only, 0 to 40 V"),
    ('to = "p/b 1"\ncold = "shield-at-from"', "", False, (0.0, 39.76), "phantom power on one leg only, 0 to 40 V"),
    ('to = [["p/b 1"], ["r/c"]]', "balanced = false", False, (0.0, 39.76), "phantom power on one leg only, 0 to 40 V"),
    # an input that does not say that it is unbalanced grounds nothing
    ('to = [["p/b 1"], ["r/c"]]', "", True, (36.52, 45.88), "phantom power 36 to 46 V"),
    # cold open: 44 - 2 x 7.48 = 29.04
    ('to = "p/b 1"\ncold = "open"', "", False, (29.04, 39.76), "phantom power on one leg only, 29 to 40 V"),
    # no way back
    ('to = "p/b 1"\nshield = "from"', "", False, None, "phantom power exposed, not supplied"),
    # check value P16 at the ends of the tolerances: (44 / 3.74 - 2) / (1 / 3.74 + 1 / 3.06) = 16.434
    ('to = [["p/b 1"], ["p/b 2"]]', "", True, (16.434, 45.88), "phantom power 16 to 46 V"),
]


def row_of(text: str, at: str = "p/b 1") -> tuple[list[str], Any]:
    circuit = circuit_of(opened({"studio.toml": text}))
    nodes = [circuit.plant.node(name) for name in ("m/a", at)]
    assert nodes[0] is not None
    assert nodes[1] is not None
    hop = hop_of(Figures(circuit).state(), nodes[0], nodes[1])
    assert hop is not None
    return hop_words(hop), hop_row(hop)


@pytest.mark.parametrize(("to", "other", "supplied", "volts", "words"), CASES)
def test_what_is_left_is_shown(
    to: str, other: str, supplied: bool, volts: tuple[float, float] | None, words: str
) -> None:
    said, row = row_of(TEXT.format(ma=2, to=to, other=other, away=""))
    assert words in said
    assert row is not None
    assert row["phantom_supplied"] == supplied
    if volts is None:
        assert row["phantom_volts"] is None
    else:
        assert row["phantom_volts"] == pytest.approx(volts, abs=0.0011)


def test_an_input_that_is_away_holds_nothing_down() -> None:
    """What is not there has no resistors on the line."""
    split = 'to = [["p/b 1"], ["r/c"]]'
    there = row_of(TEXT.format(ma=2, to=split, other='phantom = "supply"', away=""))
    away = row_of(TEXT.format(ma=2, to=split, other='phantom = "supply"', away='away = "At the workshop."'))
    assert "phantom power 16 to 46 V" in there[0]
    assert "phantom power 36 to 46 V" in away[0]


@pytest.mark.parametrize(
    ("ends", "digits", "shown"),
    [
        ((36.52, 45.88), 0, (36.0, 46.0)),
        ((36.99, 45.01), 0, (36.0, 46.0)),
        ((44.0, 52.0), 0, (44.0, 52.0)),
        ((44 - 1e-12, 52 + 1e-12), 0, (44.0, 52.0)),  # what binary fractions add is no width
        ((6.65, 21.41), 1, (6.6, 21.5)),
        ((-3.0, 0.2), 0, (0.0, 1.0)),
        ((-3.0, -1.0), 0, (0.0, 0.0)),
    ],
)
def test_a_range_is_never_shown_narrower_than_it_is(
    ends: tuple[float, float], digits: int, shown: tuple[float, float]
) -> None:
    assert outward(*ends, digits=digits) == shown
