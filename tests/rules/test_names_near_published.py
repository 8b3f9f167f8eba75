"""Layouts and parts whose words are nearly known ones: what is told, and what is left to the studio."""

import pytest

from routecode.figures.soldering import soldering
from routecode.hands.cables import schedule
from tests.hands.studios import opened, small
from tests.rules.studios import judged

HEAD = '[studio]\nlanguage = 1\n[room.control]\n[rack.left]\nroom = "control"\n'
BOX = """
[unit.{unit}]
room = "control"
[[unit.{unit}.port]]
name = "line 1..9"
direction = "either"
signal = "line"
[[unit.{unit}.multipin]]
name = "D"
connector = "db25"
layout = "{layout}"
carries = "line 1..{count}"
"""
JOINED = '[[cable]]\nfrom = "a/line 1..8"\nto = "b/line 1..8"\n'


def rules_at(text: str) -> list[tuple[str, str]]:
    return [
        (finding.rule, finding.do)
        for finding in judged(text.replace("[room.control]", "")).findings
        if finding.rule in ("layout-unknown", "multipin-layouts", "part-fits-nothing")
    ]


def boxes(one: str, other: str) -> str:
    return BOX.format(unit="a", layout=one, count=8) + BOX.format(unit="b", layout=other, count=8) + JOINED


@pytest.mark.parametrize("layout", ["aes59", "AES59", "Aes59"])
def test_a_published_layout_is_the_same_however_it_is_written(layout: str) -> None:
    """AES59: circuit 1 on 24, 12, 25."""
    text = boxes(layout, "aes59")
    assert rules_at(text) == []
    plant = small(text + "[room.control]\n")
    made = soldering(plant, plant.wires[0])
    assert made is not None
    assert [joint.from_pin for joint in made.joints] == ["24", "12", "25"]
    (joint, *_) = schedule(plant)[0].circuits[0].pins
    assert (joint.from_pin, joint.to_pin) == ("24", "24")


def test_a_layout_that_is_nearly_a_published_one_is_told_with_the_near_name() -> None:
    assert rules_at(boxes("aes 59", "aes 59")) == [("layout-unknown", "Did you mean `aes59`?")] * 2
    assert rules_at(boxes("in a row", "In-A-Row"))[-1] == ("layout-unknown", "Did you mean `in-a-row`?")


def test_a_layout_of_ones_own_is_left_alone() -> None:
    assert rules_at(boxes("mill", "mill")) == []
    assert [rule for rule, _ in rules_at(boxes("mill", "aes59"))] == ["multipin-layouts"]


def test_more_ports_than_a_published_layout_has_circuits_are_a_mistake() -> None:
    text = HEAD + BOX.format(unit="a", layout="AES59", count=9)
    with pytest.raises(AssertionError, match="`carries` names 9 ports, and the layout AES59 has 8 circuits"):
        opened({"studio.toml": text})
    opened({"studio.toml": HEAD + BOX.format(unit="a", layout="mill", count=9)})


SOCKET = """
[unit.a]
room = "control"
[[unit.a.port]]
name = "line 1"
direction = "either"
signal = "line"
connector = "xlr-f"
[bay.main]
room = "control"
columns = 2
contact = "bantam"
"""


@pytest.mark.parametrize(
    ("part", "expected"),
    [
        ('fits = "xlrf"', [("part-fits-nothing", "Did you mean `xlr-f`?")]),
        ('fits = ["xlr-f", "xrl-f"]', [("part-fits-nothing", "Did you mean `xlr-f`?")]),
        ('kind = "dummy-plug"\nfits = "bantem"', [("part-fits-nothing", "Did you mean `bantam`?")]),
        ('fits = "xlr-f"', []),
        ('fits = "xlr-m"', []),  # a usual word: stock that waits
        ('fits = "quite-special"', []),
    ],
)
def test_a_part_whose_word_is_nearly_that_of_a_connector(part: str, expected: list[tuple[str, str]]) -> None:
    assert rules_at(f"{SOCKET}[part.one]\n{part}\n") == expected
