"""The cable schedule: what a cable is, its ends, how it is made, spare circuits, dead cables."""

from datetime import date

import pytest

from routecode.hands.cables import DEAD, MAKE, LaidCable, looms, schedule
from routecode.hands.cables_ends import mate
from tests.show.studios import millrace

from .studios import HOUSE, house, plant_of, small

CABLES = schedule(plant_of(HOUSE))
BY_NUMBER = {cable.number: cable for cable in CABLES}

PORTS = """
[unit.a]
[[unit.a.port]]
name = "out 1..8"
direction = "out"
signal = "line"
connector = "{a}"
[unit.b]
[[unit.b.port]]
name = "in 1..8"
direction = "in"
signal = "line"
connector = "{b}"
"""


def cables_of(text: str, a: str = "trs", b: str = "trs") -> tuple[LaidCable, ...]:
    return schedule(small(PORTS.format(a=a, b=b) + text))


def test_every_cable_is_there_once_in_the_order_of_numbers_those_without_last() -> None:
    numbers = [cable.number for cable in CABLES]
    assert numbers == [*(f"L{n}" for n in range(1, 11)), "L99", "M1", None, None]
    assert [cable.ends[0] for cable in CABLES[-2:]] == ["deck/out 1", "deck/out 2"]


def test_one_number_on_a_range_is_one_multipair_with_spare_circuits() -> None:
    multi = BY_NUMBER["M1"]
    assert [circuit.to.name for circuit in multi.circuits] == [f"south/top {n}" for n in range(1, 9)]
    assert (multi.used, multi.spare, multi.too_many) == (8, 4, 0)


def test_more_circuits_than_a_type_has_are_told() -> None:
    found = cables_of(
        '[cable_type.x]\ncircuits = 4\n[[cable]]\nnumber = "M1"\nfrom = "a/out 1..8"\nto = "b/in 1..8"\ntype = "x"'
    )
    assert [(cable.used, cable.spare, cable.too_many) for cable in found] == [(8, -4, 4)]


def test_circuits_without_numbers_fill_jackets() -> None:
    found = cables_of('[cable_type.x]\ncircuits = 3\n[[cable]]\nfrom = "a/out 1..8"\nto = "b/in 1..8"\ntype = "x"')
    assert [(cable.used, cable.spare) for cable in found] == [(3, 0), (3, 0), (2, 1)]


def test_the_legs_of_a_split_use_one_circuit() -> None:
    found = cables_of(
        '[cable_type.x]\ncircuits = 2\n[[cable]]\nnumber = "S1"\nfrom = "a/out 1"\nto = [["b/in 1"], ["b/in 2"]]\ntype = "x"'
    )
    assert [(cable.number, len(cable.circuits), cable.used, cable.spare, cable.splits) for cable in found] == [
        ("S1", 2, 1, 1, True)
    ]


@pytest.mark.parametrize(
    ("socket", "plug"),
    [
        # mating halves have the same shape and the other gender (IEC 61076-2-103; for the rest common practice, no source)
        ("xlr-f", ("xlr-m", "male")),
        ("xlr-m", ("xlr-f", "female")),
        ("trs", ("trs", "male")),
        ("rca", ("rca", "male")),
        ("db25", ("db25", "")),
        ("house-plug", ("house-plug", "")),
    ],
)
def test_the_plug_is_the_mate_of_the_socket(socket: str, plug: tuple[str, str]) -> None:
    assert mate(socket) == plug


def test_the_ends_say_what_is_on_the_cable() -> None:
    fitted = {
        number: (cable.circuits[0].from_.fitted, cable.circuits[0].to.fitted)
        for number, cable in BY_NUMBER.items()
        if cable.circuits
    }
    assert fitted["L1"] == ("soldered (xlr-f)", "rear connector (pin)")  # behind a wall box nothing is plugged
    assert fitted["L5"] == ("rear connector (pin)", "xlr-m male")
    assert fitted["M1"] == ("db25 (OUT, circuit 1)", "soldered (bantam)")
    assert fitted[None] == ("xlr-f female", "soldered (bantam)")


def test_a_bay_may_say_how_its_rears_are_made() -> None:
    text = HOUSE["bays.toml"].replace('contact = "pin"', 'contact = "pin"\nrear = "solder"')
    text = text.replace('contact = "bantam"', 'contact = "bantam"\nrear = "connectors"')
    found = {cable.number: cable for cable in schedule(plant_of(house(bays=text)))}
    assert found["L1"].circuits[0].to.fitted == "soldered (pin)"
    assert found["M1"].circuits[0].to.fitted == "rear connector (bantam)"


def test_a_cable_at_the_face_of_a_wall_box_has_a_plug_there() -> None:
    found = schedule(
        plant_of(house(more='[[cable]]\nnumber = "F1"\nfrom = "hall/line 1"\nto = "pre-a/mic 8"\nfront = true'))
    )
    ends = next(cable for cable in found if cable.number == "F1").circuits[0]
    assert (ends.from_.fitted, ends.to.fitted) == ("xlr-m male", "xlr-m male")


def test_pins_are_those_of_the_published_layout() -> None:
    """AES59: circuit 1 has hot on 24, cold on 12, shield on 25; circuit 8 on 1, 14, 2."""
    first, last = BY_NUMBER["M1"].circuits[0], BY_NUMBER["M1"].circuits[7]
    assert [(pin.carries, pin.from_pin, pin.to_pin) for pin in first.pins] == [
        ("hot", "24", "tip"),
        ("cold", "12", "ring"),
        ("shield", "25", "sleeve"),
    ]
    assert [pin.from_pin for pin in last.pins] == ["1", "14", "2"]


def test_colours_are_those_of_the_circuit_else_of_the_type() -> None:
    multi, pair = BY_NUMBER["M1"].circuits, BY_NUMBER["L9"].circuits
    assert [[pin.colour for pin in circuit.pins] for circuit in multi[:3]] == [
        ["RD", "BK", ""],
        ["WH", "BK", ""],
        ["GN", "BK", ""],
    ]
    assert [pin.colour for pin in pair[0].pins] == ["WH", "BU", ""]


def pins_of(cable: LaidCable, circuit: int = 0) -> list[tuple[str, str | None, str | None, str]]:
    return [(pin.carries, pin.from_pin, pin.to_pin, pin.colour) for pin in cable.circuits[circuit].pins]


def test_where_one_end_is_not_published_the_other_end_and_the_colours_are_told_all_the_same() -> None:
    """Pin 2 hot, 3 cold, 1 shield (IEC 60268-12); nothing is published of a contact that is called `pin`."""
    line, feed = BY_NUMBER["L1"], BY_NUMBER["L5"]
    assert pins_of(line) == [("hot", "2", "?", "WH"), ("cold", "3", "?", "BU"), ("shield", "1", "?", "")]
    assert pins_of(feed) == [("hot", "?", "2", "WH"), ("cold", "?", "3", "BU"), ("shield", "?", "1", "")]
    assert (feed.circuits[0].to.cold, feed.circuits[0].to.shield) == ("on 3", "on 1")
    assert (feed.circuits[0].from_.cold, feed.circuits[0].from_.shield) == ("", "")


@pytest.mark.parametrize(
    ("keys", "expected"),
    [
        ('polarity = "reversed"', [("hot", "?", "3", "WH"), ("cold", "?", "2", "BU"), ("shield", "?", "1", "")]),
        ('shield = "from"', [("hot", "?", "2", "WH"), ("cold", "?", "3", "BU"), ("shield", "?", None, "")]),
    ],
)
def test_what_a_cable_says_of_itself_holds_at_the_end_that_is_known(
    keys: str, expected: list[tuple[str, str | None, str | None, str]]
) -> None:
    kind = '[cable_type.pair]\nhot_colour = "WH"\ncold_colour = "BU"\n'
    (found,) = cables_of(
        f'{kind}[[cable]]\nfrom = "a/out 1"\nto = "b/in 1"\ntype = "pair"\n{keys}', a="house-plug", b="xlr-f"
    )
    assert pins_of(found) == expected


def test_colours_are_told_where_nothing_is_published() -> None:
    kind = '[cable_type.pair]\ncircuits = 2\ncolours = ["RD BK", "WH BK"]\n'
    (found,) = cables_of(
        f'{kind}[[cable]]\nfrom = "a/out 1..2"\nto = "b/in 1..2"\ntype = "pair"', a="house-plug", b="other-plug"
    )
    assert [pins_of(found, circuit) for circuit in (0, 1)] == [
        [("hot", "?", "?", colour), ("cold", "?", "?", "BK")] for colour in ("RD", "WH")
    ]
    (bare,) = cables_of('[[cable]]\nfrom = "a/out 1"\nto = "b/in 1"', a="house-plug", b="other-plug")
    assert bare.circuits[0].pins == ()


def test_cold_and_shield_are_told_at_each_end() -> None:
    """Unbalanced at the deck: cold joined to the shell there, the shield connected at the other end only, as the cable says."""
    one = BY_NUMBER["L9"].circuits[0]
    assert (one.from_.cold, one.from_.shield) == ("on ring", "on sleeve")
    assert (one.to.cold, one.to.shield) == ("on shell", "open")
    assert [(pin.carries, pin.from_pin, pin.to_pin) for pin in one.pins][1:] == [
        ("cold", "ring", "shell"),
        ("shield", "sleeve", None),
    ]


@pytest.mark.parametrize(
    ("key", "at_from", "at_to"),
    [
        ('cold = "open"', ("open", "on sleeve"), ("on 3", "on 1")),
        ('cold = "shield-at-from"', ("to sleeve, with the shield", "on sleeve"), ("on 3", "on 1")),
        ('cold = "shield-at-to"', ("open", "on sleeve"), ("on 3, linked to the shield", "on 1")),
        ('shield = "to"', ("on sleeve", "open"), ("on 3", "on 1")),  # the cold leg alone is on the sleeve then
        ('shield = "from"', ("to sleeve, with the shield", "on sleeve"), ("on 3", "open")),
    ],
)
def test_an_unbalanced_output_into_a_balanced_input(key: str, at_from: tuple[str, str], at_to: tuple[str, str]) -> None:
    """What each key of a cable means at each of its ends; unless said, cold is joined to the shield at the unbalanced end."""
    one = cables_of(f'[[cable]]\nfrom = "a/out 1"\nto = "b/in 1"\n{key}', a="ts", b="xlr-f")[0].circuits[0]
    assert ((one.from_.cold, one.from_.shield), (one.to.cold, one.to.shield)) == (at_from, at_to)


def test_a_cable_is_told_from_where_its_signal_comes() -> None:
    straight = cables_of('[[cable]]\nfrom = "a/out 1"\nto = "b/in 1"', a="ts", b="xlr-f")
    turned = cables_of('[[cable]]\nfrom = "b/in 1"\nto = "a/out 1"', a="ts", b="xlr-f")
    for found in (straight, turned):
        assert [end.name for end in (found[0].circuits[0].from_, found[0].circuits[0].to)] == ["a/out 1", "b/in 1"]
    by_pin = {pin.carries: (pin.from_pin, pin.to_pin) for pin in turned[0].circuits[0].pins}
    assert by_pin["hot"] == ("tip", "2")


def test_status_and_test_day() -> None:
    assert [number for number, cable in BY_NUMBER.items() if cable.status == MAKE] == ["L9", "L10"]
    assert BY_NUMBER["L1"].tested == date(2026, 3, 1)
    assert BY_NUMBER["L5"].tested is None


def test_a_multipair_is_tested_when_all_of_it_is() -> None:
    text = """[[cable]]
number = "M1"
from = "a/out 1..2"
to = "b/in 1..2"
[[cable]]
from = "a/out 1"
to = "b/in 1"
tested = 2026-03-01
"""
    assert [cable.tested for cable in cables_of(text)] == [None]
    both = text + '[[cable]]\nfrom = "a/out 2"\nto = "b/in 2"\ntested = 2026-02-01\n'
    assert [cable.tested for cable in cables_of(both)] == [date(2026, 2, 1)]


def test_a_dead_cable_joins_nothing_and_says_where_it_lies() -> None:
    dead = BY_NUMBER["L99"]
    assert (dead.status, dead.circuits, dead.lies) == (DEAD, (), ("the old hall box", "under the north bay"))
    plant = small(PORTS.format(a="trs", b="trs") + '[[cable]]\nfrom = "a/out 1..2"\nto = "b/in 1..2"\nstatus = "dead"')
    assert plant.wires == []
    assert len(schedule(plant)) == 2


def test_looms_hold_their_cables_dead_ones_too() -> None:
    assert {name: [cable.number for cable in laced] for name, laced in looms(CABLES).items()} == {
        "Hall": ["L1", "L2", "L3", "L4", "L99"],
        "Rack": ["M1"],
    }


def test_the_check_counts_cables_as_the_schedule_does() -> None:
    """Those that say too little of themselves, of all: multipairs are one."""
    example = millrace()
    assert example.circuit is not None
    cables = schedule(example.circuit.plant)
    bare = [cable for cable in cables if cable.type is None or cable.metres is None]
    (note,) = [each for each in example.report.findings if each.rule == "cables-undocumented"]
    assert note.text == f"{len(bare)} cables of {len(cables)} say no type or no length."
    assert len(cables) < len(example.circuit.plant.wires)
