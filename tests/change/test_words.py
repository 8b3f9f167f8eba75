"""Lists of names as phrases: ranges that hide no order and no gap."""

import pytest

from routecode.change.words import Label, in_order, label, many, several, shortened, sorted_pieces


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
