"""Lists of names as phrases: ranges that hide no order and no gap."""

from statistics import median

import pytest

from routecode.change.sentence import longest
from routecode.change.words import Label, in_order, label, many, several, shortened, sorted_pieces
from routecode.ground.reading import numbered
from routecode.rules import words as rules
from routecode.show import spoken
from tests.change.test_raw_sets import compare, pair_of_studios
from tests.change.wiring import PLAIN, changed, circuit, compared, sentences


def lines(*numbers: int) -> list[Label]:
    return [label("Hall", f"line {number}") for number in numbers]


@pytest.mark.parametrize(
    ("numbers", "text"),
    [
        ((1,), "Hall line 1"),
        ((1, 2), "Hall lines 1-2"),
        ((1, 2, 3, 7), "Hall lines 1-3 and 7"),
        ((2, 1), "Hall lines 2 and 1"),
        ((4, 3, 2, 1), "Hall lines 4 down to 1"),
        ((1, 2, 4, 3), "Hall lines 1-2, 4 and 3"),
        ((9, 10, 11), "Hall lines 9-11"),
    ],
)
def test_order_is_kept(numbers: tuple[int, ...], text: str) -> None:
    assert in_order(lines(*numbers)) == [text]


@pytest.mark.parametrize("numbers", [(1, 2, 3), (3, 1, 2), (8, 7, 6, 1), (5, 3, 4, 2, 9, 10)])
def test_a_phrase_counts_its_names(numbers: tuple[int, ...]) -> None:
    assert sum(piece.names for piece in in_order(lines(*numbers))) == len(numbers)


def test_padded_numbers_stand_alone() -> None:
    assert in_order([label("Wall", "01"), label("Wall", "02")]) == ["Wall 01", "Wall 02"]


def test_left_and_right() -> None:
    assert sorted_pieces([label("Desk", "main right"), label("Desk", "main left")]) == ["Desk main left and right"]


def test_several() -> None:
    assert [several(["a"]), several(["a", "b"]), several(["a", "b", "c"])] == ["a", "a and b", "a, b and c"]


def test_shortened_says_how_many_it_leaves_out() -> None:
    pieces = sorted_pieces([*lines(1, 2, 3), label("Booth", "1"), label("Gallery", "x")])
    assert shortened(pieces, 5, "place") == "Booth 1 and 4 more places"
    assert shortened(pieces[:2], 2, "place") == "Booth 1 and Gallery x"


def test_many() -> None:
    assert [many(1, "cord"), many(2, "cord"), many(1200, "path")] == ["1 cord", "2 cords", "1,200 paths"]


def test_right_and_left_as_they_come() -> None:
    assert in_order([label("Desk", "main right"), label("Desk", "main left")]) == ["Desk main right and left"]
    assert in_order([label("Return", "L"), label("Return", "R")]) == ["Return L and R"]


# -- one reading for what people read --------------------------------------------------------------------------------------


WIDE = """
[studio]
title = "Weir"
language = 1
[unit.box]
title = "Stage box"
[[unit.box.port]]
name = "aes 1..2"
direction = "out"
signal = "aes3"
[unit.rec]
title = "Recorder"
[[unit.rec.port]]
name = "line 1..4"
direction = "in"
signal = "aes3"
[[cable]]
from = "box/aes 1..2"
to = "rec/line 1..2"
"""


def test_rules_diff_and_lists_read_alike() -> None:
    """A channel is `ch 2`, and a range of lines is `lines 1-2`, whoever says it."""
    made = circuit(WIDE)
    plant = made.plant
    channel, node = plant.channel("rec/line 2 ch 2"), plant.node("rec/line 1")
    assert channel is not None
    assert node is not None
    of_rules, of_diff = rules.Words(plant), compared(WIDE, WIDE).words
    assert of_rules.channel(channel) == of_diff.channel(channel).text == "Recorder line 2 ch 2"
    assert spoken.place(plant, "rec/line 2 ch 2") == "Recorder line 2 ch 2"
    several_of = "Recorder lines 1-2"
    assert of_rules.nodes([node, node + 1]) == several_of
    assert in_order([of_diff.node(node), of_diff.node(node + 1)]) == [several_of]
    assert spoken.places(plant, ["rec/line 1", "rec/line 2"]) == several_of


@pytest.mark.parametrize(
    ("folded", "read"),
    [
        ("line 1..8", "lines 1-8"),
        ("out 1..8", "out 1-8"),
        ("desk bus 1..2", "desk buses 1-2"),
        ("aes in 3 ch 1..2", "aes in 3 ch 1-2"),
        ("1..4", "1-4"),
        ("talkback", "talkback"),
        ("Eingang 1..4", "Eingang 1-4"),
    ],
)
def test_a_range_is_read(folded: str, read: str) -> None:
    assert numbered(folded) == read


# -- named groups ----------------------------------------------------------------------------------------------------------

GROUPED = changed(
    PLAIN, ('at = "1..8"\ntop = "hall/line 1..8"', 'at = "1..8"\ngroup = "Strings"\ntop = "hall/line 1..8"')
)


def test_a_group_is_named_where_a_change_covers_exactly_it() -> None:
    cut = changed(GROUPED, ('bottom = "pre-a/mic 1..8"\n', ""))
    assert sentences(GROUPED, cut) == [
        "lost gone: Hall lines 1-8 no longer reach Converter lines 1-8. "
        "They stop at North bay bottom 1-8 (Strings): nothing is wired there any more."
    ]
    assert compared(GROUPED, cut).jacks[0].jacks == "North bay bottom 1-8 (Strings)"
    part = changed(
        GROUPED,
        (
            'bottom = "pre-a/mic 1..8"\n',
            'bottom = "pre-a/mic 1..8"\n[[bay.north.column]]\nat = "1..7"\nnormal = "none"\n',
        ),
    )
    assert "Strings" not in str(sentences(GROUPED, part)), "seven of eight are not the group"


def test_a_group_that_moved_is_named() -> None:
    after = changed(GROUPED, ('at = "1..8"\ngroup', 'at = "5..12"\ngroup'), ('at = "9..12"', 'at = "13..16"'))
    assert sentences(GROUPED, after) == [
        "moved -: North bay columns 1-12 are now columns 5-16, with all that is wired there. No path changed."
    ]
    alone = changed(PLAIN, ('[[bay.north.column]]\nat = "9..12"\ntop = "hall/line 9..12"\n', ""))
    alone = changed(alone, ('at = "1..8"\ntop = "hall', 'at = "1..8"\ngroup = "Strings"\ntop = "hall'))
    assert sentences(alone, changed(alone, ('at = "1..8"\ngroup', 'at = "5..12"\ngroup'))) == [
        "moved -: North bay columns 1-8 (Strings) are now columns 5-12, with all that is wired there. No path changed."
    ]


# -- how long a sentence is ------------------------------------------------------------------------------------------------


def test_half_of_all_sentences_have_sixteen_words_or_fewer() -> None:
    """Of a hundred random studios, edited; the limit of 25 is held in `test_raw_sets`, the example's history in `test_report`."""
    counts = [
        longest(change.sentence)
        for seed in range(100)
        for changes in compare(*pair_of_studios(seed)).changes.values()
        for change in changes
    ]
    assert len(counts) > 100
    assert median(counts) <= 16


def test_a_pair_is_said_as_a_pair_in_a_change() -> None:
    desk = """
[unit.desk]
title = "Desk"
[[unit.desk.port]]
name = ["main left", "main right"]
direction = "out"
signal = "line"
[unit.deck]
title = "Deck"
[[unit.deck.port]]
name = ["in left", "in right"]
direction = "in"
signal = "line"
"""
    cables = '[[cable]]\nfrom = ["desk/main left", "desk/main right"]\nto = ["deck/in left", "deck/in right"]\n'
    assert sentences(PLAIN + desk, PLAIN + desk + cables) == [
        "gained new: Desk main left and right now reach Deck in left and right. "
        "Cables join Desk main left and right to Deck in left and right."
    ]
