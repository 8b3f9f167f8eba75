"""Pin tables of the cables of a studio: from their connectors, how cold and shield are made, and polarity."""

import pytest

from routecode.circuit.circuit import Circuit
from routecode.figures.soldering import soldering
from routecode.ground.place import At
from routecode.show.trace import trace_text
from routecode.show.tracing import Trace
from tests.show.studios import circuit_of, opened

STUDIO = """
[studio]
language = 1
[unit.desk]
[[unit.desk.port]]
name = "out"
direction = "out"
signal = "line"
connector = "xlr-m"
[unit.rec]
[[unit.rec.port]]
name = "in"
direction = "in"
signal = "line"
connector = "{connector}"
[[cable]]
number = "7"
from = "{from_}"
to = "{to}"
{more}
"""


def circuit(connector: str, more: str = "", *, back: bool = False) -> Circuit:
    from_, to = ("rec/in", "desk/out") if back else ("desk/out", "rec/in")
    return circuit_of(opened({"studio.toml": STUDIO.format(connector=connector, more=more, from_=from_, to=to)}))


def pins(found: Circuit) -> list[str]:
    made = soldering(found.plant, found.plant.wires[0])
    assert made is not None
    return [f"{one.from_pin} {one.carries} {one.to_pin}" for one in made.joints]


@pytest.mark.parametrize(
    ("connector", "more", "expected"),
    [
        ("trs", "", ["2 hot tip", "3 cold ring", "1 shield sleeve"]),  # pins: check values C1 and C4
        ("ts", "", ["2 hot tip", "3 cold sleeve", "1 shield sleeve"]),
        ("rca", 'cold = "open"', ["2 hot pin", "3 cold None", "1 shield shell"]),
        ("xlr-f", 'polarity = "reversed"', ["2 hot 3", "3 cold 2", "1 shield 1"]),
        ("xlr-f", 'shield = "to"', ["2 hot 2", "3 cold 3", "None shield 1"]),
    ],
)
def test_a_cable(connector: str, more: str, expected: list[str]) -> None:
    assert pins(circuit(connector, more)) == expected


def test_the_other_way_round_it_is_the_same_cable() -> None:
    assert pins(circuit("ts", 'shield = "from"', back=True)) == ["tip hot 2", "sleeve cold 3", "sleeve shield None"]


def test_a_map_of_its_own_stands_before_the_published_pins() -> None:
    more = 'pins = ["hot 3 tip", "cold 2 -", "shield 1 sleeve"]'
    assert pins(circuit("trs", more)) == ["3 hot tip", "2 cold None", "1 shield sleeve"]
    back = 'pins = ["hot tip 3", "cold - 2", "shield sleeve 1"]'
    assert pins(circuit("trs", back, back=True)) == ["tip hot 3", "None cold 2", "sleeve shield 1"]


@pytest.mark.parametrize(
    ("more", "fault"),
    [('pins = ["hot 2"]', "bad-pins"), ('[cable_type.x]\nhot_colour = "QQ"', "bad-colour")],
)
def test_what_cannot_be_read_is_said(more: str, fault: str) -> None:
    text = STUDIO.format(connector="trs", more=more, from_="desk/out", to="rec/in")
    assert [mistake.id for mistake in opened({"studio.toml": text}).mistakes] == [fault]


@pytest.mark.parametrize(
    ("connector", "row", "said", "do"),
    [
        # contacts: check values C1, C4 and C7; 25 of them: DIN 41652, from memory
        ("trs", "hot 9 tip", "There is no contact `9` at desk/out.", "An xlr-m plug has 1, 2, 3; - for nothing."),
        ("trs", "cold 3 4", "There is no contact `4` at rec/in.", "A trs plug has tip, ring, sleeve; - for nothing."),
        ("ts", "cold 3 ring", "There is no contact `ring` at rec/in.", "A ts plug has tip, sleeve; - for nothing."),
        ("db25-f", "hot 2 26", "There is no contact `26` at rec/in.", "A db25-f plug has 1 to 25; - for nothing."),
    ],
)
def test_a_contact_that_a_connector_has_not_is_a_mistake_at_its_row(
    connector: str, row: str, said: str, do: str
) -> None:
    text = STUDIO.format(connector=connector, more=f'pins = ["shield 1 -", "{row}"]', from_="desk/out", to="rec/in")
    (mistake,) = opened({"studio.toml": text}).mistakes
    assert (mistake.id, mistake.text, mistake.do) == ("bad-pins", said, do)
    assert isinstance(mistake.place, At)
    assert mistake.place.path[-2:] == ("pins", 1)


@pytest.mark.parametrize("connector", ["quite-special", "db25-f"])
def test_contacts_that_are_not_published_are_whatever_is_written(connector: str) -> None:
    text = STUDIO.format(connector=connector, more='pins = ["hot 2 25", "cold 3 -"]', from_="desk/out", to="rec/in")
    assert opened({"studio.toml": text}).mistakes == ()


def test_colours_are_shown_and_tell_nothing_of_polarity() -> None:
    more = 'type = "pair"\n[cable_type.pair]\nhot_colour = "BU"\ncold_colour = "WH"'
    text = trace_text(Trace(circuit("trs", more), None, "rec/in"))
    assert "hot (BU) 2 to tip, cold (WH) 3" in " ".join(text.split())


def test_unknown_connectors_have_no_pins() -> None:
    found = circuit("quite-special")
    assert soldering(found.plant, found.plant.wires[0]) is None


def test_a_trace_shows_them() -> None:
    text = trace_text(Trace(circuit("trs"), None, "rec/in"))
    assert "Cable 7: desk/out (xlr-m) to rec/in (trs): hot 2 to tip, cold 3 to ring, shield\n1 to sleeve." in text
