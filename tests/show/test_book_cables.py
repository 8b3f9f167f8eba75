"""What the book and the schedule say of the types of cable and of looms, where the wiring says it in another key, or not at all."""

import pytest

from routecode.hands.cables import schedule
from routecode.hands.parts import bill_of
from routecode.show.book_cables import Cables
from routecode.show.book_gaps import gaps
from routecode.show.paper.table import Table
from routecode.show.schedule import looms_text
from tests.hands.studios import small

TEXT = """
[room.r]
[unit.a]
room = "r"
port = [{ name = "out 1..2", direction = "out", signal = "line" }]
[unit.b]
room = "r"
port = [{ name = "in 1..2", direction = "in", signal = "line" }]
[cable_type.x]
KEYS
[[cable]]
number = "K1"
from = "a/out 1"
to = "b/in 1"
type = "x"
metres = 3
loom = "Left"
"""
SECOND = '[[cable]]\nnumber = "K2"\nfrom = "a/out 2"\nto = "b/in 2"\ntype = "x"\nmetres = 3\nloom = "Left"\n'


@pytest.mark.parametrize(
    ("keys", "circuits", "ohms"),
    [
        ("awg = 24", "1", 84.2),
        ("mm2 = 0.22", "1", 1000 * 0.01724 / 0.22),
        ("awg = 24\nohms_per_km = 90\ncircuits = 4", "4", 90),
        ("", "1", None),
    ],
)
def test_a_type_of_cable_has_the_circuits_and_the_resistance_that_its_text_gives(
    keys: str, circuits: str, ohms: float | None
) -> None:
    """AWG 24 has 84.2 ohms a kilometre (wire tables after ASTM B258, from memory); copper has 0.01724 ohm mm2/m at 20 degrees (IEC 60028)."""
    plant = small(TEXT.replace("KEYS", keys))
    cables = schedule(plant)
    tables = [
        block for block in Cables(plant, cables).blocks() if isinstance(block, Table) and block.heads[0] == "type"
    ]
    (row,) = tables[0].rows
    cells = dict(zip(tables[0].heads, row, strict=True))
    assert cells["circuits"] == circuits
    if ohms is None:
        assert cells["ohms per km"] == "?"
    else:
        assert float(cells["ohms per km"]) == pytest.approx(ohms, rel=0.002)
    told = [row[0] for block in gaps(plant, cables, bill_of(plant)) if isinstance(block, Table) for row in block.rows]
    assert any("without a resistance" in str(what) for what in told) == (ohms is None)


def test_a_loom_of_one_cable_is_as_thick_as_the_cable_and_one_of_several_is_thicker_than_their_area() -> None:
    one, two = (small(text.replace("KEYS", "od_mm = 13")) for text in (TEXT, TEXT + SECOND))
    assert "1 cable, 13 mm thick" in looms_text(one, schedule(one), "now", 80)
    told = looms_text(two, schedule(two), "now", 80)
    thick = float(told.partition("2 cables, about ")[2].partition(" mm")[0])
    assert thick > 13 * 2**0.5
