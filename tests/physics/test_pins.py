"""Pins against published tables: AES59 in whole, the usual connectors, colour codes of IEC 60757."""

from itertools import product

import pytest

from routecode.physics.pins import (
    AES59,
    COLD,
    FAMILIES,
    HOT,
    IN_A_ROW,
    SHIELD,
    Joint,
    colour_code,
    colours_of,
    pin_table,
    straight_is_wrong,
)

PUBLISHED = {
    1: "8 +", 14: "8 -", 2: "8 gnd", 15: "7 +", 3: "7 -", 16: "7 gnd", 4: "6 +", 17: "6 -", 5: "6 gnd", 18: "5 +", 6: "5 -", 19: "5 gnd",
    7: "4 +", 20: "4 -", 8: "4 gnd", 21: "3 +", 9: "3 -", 22: "3 gnd", 10: "2 +", 23: "2 -", 11: "2 gnd", 24: "1 +", 12: "1 -", 25: "1 gnd",
}  # fmt: skip
"""The analogue column of AES59 as printed in an encyclopedia's table and a maker's manual (check values, section 3)."""


def test_aes59_is_the_published_table() -> None:
    ours = {}
    for circuit, pins in enumerate(AES59, 1):
        ours.update({pin: f"{circuit} {mark}" for pin, mark in zip(pins, ("+", "-", "gnd"), strict=True)})
    assert ours == PUBLISHED
    assert len(ours) == 24
    assert 13 not in ours


def test_the_rows_of_aes59() -> None:
    """Even circuits have hot and cold in opposite rows 13 apart, odd ones 12 apart with cold in the low row."""
    for circuit, (hot, cold, _) in enumerate(AES59, 1):
        assert abs(hot - cold) == (13 if circuit % 2 == 0 else 12)
        assert circuit % 2 == 0 or cold < hot


def test_the_other_layout_is_wrong_on_nearly_every_pin() -> None:
    assert [pins[0] for pins in IN_A_ROW] == list(range(1, 9))
    assert [pins[1] for pins in IN_A_ROW] == list(range(14, 22))
    wrong = straight_is_wrong("aes59", "in-a-row")
    assert len(wrong) >= 20
    assert straight_is_wrong("aes59", "aes59") == ()


@pytest.mark.parametrize(
    ("from_", "to", "options", "expected"),
    [
        ("xlr", "trs", {}, [("2", HOT, "tip"), ("3", COLD, "ring"), ("1", SHIELD, "sleeve")]),
        ("xlr", "xlr", {"reversed_": True}, [("2", HOT, "3"), ("3", COLD, "2"), ("1", SHIELD, "1")]),
        ("xlr", "ts", {}, [("2", HOT, "tip"), ("3", COLD, "sleeve"), ("1", SHIELD, "sleeve")]),
        ("xlr", "ts", {"cold": "open"}, [("2", HOT, "tip"), ("3", COLD, None), ("1", SHIELD, "sleeve")]),
        ("rca", "xlr", {"cold": "shield-at-from"}, [("pin", HOT, "2"), ("shell", COLD, "3"), ("shell", SHIELD, "1")]),
        ("rca", "ts", {}, [("pin", HOT, "tip"), ("shell", SHIELD, "sleeve")]),
        ("xlr", "trs", {"shield": "from"}, [("2", HOT, "tip"), ("3", COLD, "ring"), ("1", SHIELD, None)]),
    ],
)
def test_cables(
    from_: str, to: str, options: dict[str, object], expected: list[tuple[str | None, str, str | None]]
) -> None:
    assert pin_table(from_, to, **options) == tuple(Joint(*row) for row in expected)  # type: ignore[arg-type] # words and flags mixed


@pytest.mark.parametrize(
    ("from_", "to", "cold", "expected"),
    [
        ("xlr", "ts", "shield-at-from", Joint("3", COLD, None, "from")),
        ("ts", "xlr", "shield-at-to", Joint(None, COLD, "3", "to")),
        ("xlr", "ts", "shield-at-to", Joint("3", COLD, "sleeve")),
        ("xlr", "ts", "open", Joint("3", COLD, None)),
    ],
)
def test_cold_is_joined_to_the_shield_at_the_end_that_is_said(from_: str, to: str, cold: str, expected: Joint) -> None:
    """At the balanced end 3 is joined to 1, as the published pin-out of an unbalanced source has it (check value C2)."""
    assert pin_table(from_, to, cold=cold)[1] == expected


def test_polarity_cannot_be_turned_on_an_unbalanced_end() -> None:
    with pytest.raises(ValueError, match="balanced"):
        pin_table("xlr", "ts", reversed_=True)


@pytest.mark.parametrize(("from_", "to"), list(product(("xlr", "trs", "bantam", "ts", "rca", "bnc"), repeat=2)))
def test_a_cable_and_its_other_way_round_are_mirrored(from_: str, to: str) -> None:
    mirror = {"shield-at-from": "shield-at-to", "shield-at-to": "shield-at-from", "open": "open"}
    ends = {"both": "both", "from": "to", "to": "from"}
    for cold, shield in product(mirror, ends):
        there = pin_table(from_, to, cold=cold, shield=shield)
        back = pin_table(to, from_, cold=mirror[cold], shield=ends[shield])
        assert there == tuple(Joint(one.to_pin, one.carries, one.from_pin, ends.get(one.linked, "")) for one in back)
        assert [one.carries for one in there].count(HOT) == 1


def test_every_family_has_a_source_and_distinct_pins() -> None:
    for name, family in FAMILIES.items():
        pins = [pin for pin, _ in family.pins]
        assert len(pins) == len(set(pins)), name
        assert family.source


def test_colour_codes_of_iec_60757() -> None:
    assert colour_code("blue", "red") == "RDBU"  # 5.1 of the 2021 edition: red and blue are RDBU
    assert colour_code("black") == "BK"
    assert colours_of("GNWH") == ("green", "white")
    assert colours_of("WHGN") == ("green", "white")  # as DIN 47100 writes it, base colour first
    for bad in ("", "XX", "RDB"):
        with pytest.raises(ValueError, match="IEC 60757"):
            colours_of(bad)
    with pytest.raises(ValueError, match="IEC 60757"):
        colour_code("magenta")
