"""Ranges: what spreads into which names, what is refused, and that folding is the way back."""

import re
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecode.ground.finding import Mistake
from routecode.ground.order import natural
from routecode.ground.place import At
from routecode.language.kinds import Names
from routecode.language.ranges import LIMIT, fold, read_range, spread, spread_whole
from tests.bounds import with_an_end

AT = At("bays/north.toml", ("bay", "north", "column", 3, "top"))


def names(*texts: str | int, down: bool = True) -> list[str]:
    mistakes: list[Mistake] = []
    made = spread(texts, AT, mistakes, down=down)
    assert mistakes == []
    return list(made)


def refused(*texts: str | int, down: bool = True) -> Mistake:
    mistakes: list[Mistake] = []
    assert spread(texts, AT, mistakes, down=down) == ()
    assert len(mistakes) == 1
    return mistakes[0]


def test_the_examples_of_the_language() -> None:
    assert names("mic 1..3") == ["mic 1", "mic 2", "mic 3"]
    assert names("mic 3..1") == ["mic 3", "mic 2", "mic 1"]
    assert names("mic 1..9 step 2") == ["mic 1", "mic 3", "mic 5", "mic 7", "mic 9"]
    assert names("01..12") == [f"{n:02}" for n in range(1, 13)]
    assert names("L101..103") == ["L101", "L102", "L103"]
    assert names("stage/out ch 1..2") == ["stage/out ch 1", "stage/out ch 2"]
    assert names("aux/7..8") == ["aux/7", "aux/8"]
    assert names("mic 1..2", "talk", "mic 9..8") == ["mic 1", "mic 2", "talk", "mic 9", "mic 8"]


@pytest.mark.parametrize(
    ("text", "made"),
    [
        ("1..1", ["1"]),
        ("9..11", ["9", "10", "11"]),
        ("11..9 step 2", ["11", "9"]),
        ("08..11", ["08", "09", "10", "11"]),
        ("10..08", ["10", "09", "08"]),
        ("0..2", ["0", "1", "2"]),
        ("1..8 step 3", ["1", "4", "7"]),
        ("1..8 step 99", ["1"]),
        ("v1.5..7", ["v1.5", "v1.6", "v1.7"]),
        ("a.b 1..2", ["a.b 1", "a.b 2"]),
        ("plain. text.", ["plain. text."]),
        ("mic 1 step 2", ["mic 1 step 2"]),
    ],
)
def test_further_ranges(text: str, made: list[str]) -> None:
    assert names(text) == made


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("L101..L108", "write `L101..108`"),
        ("pre-a/mic 1..pre-a/mic 8", "write `pre-a/mic 1..8`"),
        ("mic 1 .. 8", "write `mic 1..8`"),
        ("mic 1..4 ch 1..2", "one text holds one range"),
        ("mic 01..8", "differ in width"),
        ("mic 1..08", "differ in width"),
        ("mic 099..0100", "differ in width"),
        ("mic 1..8 step 0", "step of 0"),
        ("mic 1...8", "write `mic 1..8`"),
        ("a..b", "only between two numbers"),
        ("..", "only between two numbers"),
        ("1..", "only between two numbers"),
        ("..8", "only between two numbers"),
        ("1..8 out", "only between two numbers"),
        ("1..8 step", "only between two numbers"),
        ("1..8 step -1", "only between two numbers"),
        ("a..b 1..2", "only between two numbers"),
        ("mic ١..٨", "only between two numbers"),
        ("0" * 19 + ".." + "9" * 19, "at most 18 digits"),
        ("1" * 5000 + ".." + "1" * 5001, "at most 18 digits"),
        ("x" * 1000 + "1..2", "at most 1,000 characters"),
    ],
)
def test_dots_anywhere_else_are_a_mistake_that_says_why(text: str, hint: str) -> None:
    mistake = refused(text)
    assert mistake.id == "bad-range"
    assert hint in mistake.text
    assert mistake.place == AT


def test_counting_down_is_for_references_only() -> None:
    mistake = refused("mic 8..1", down=False)
    assert (mistake.id, mistake.do) == ("bad-range", "Write `mic 1..8`; count down where the names are used.")
    assert names("mic 1..2", down=False) == ["mic 1", "mic 2"]
    assert names("mic 1..1", down=False) == ["mic 1"]


def test_too_many_names_are_refused_before_any_is_made() -> None:
    assert len(names("1..10000")) == LIMIT
    with with_an_end():
        assert refused("1..10001").id == "too-many-names"
        assert refused("1..99999999999").id == "too-many-names"
        assert refused("999999999999999999..1").id == "too-many-names"
        assert refused(*[f"{letter} 1..5000" for letter in "abc"]).id == "too-many-names"
        assert refused(*[f"{number} 1..10000" for number in range(100_000)]).id == "too-many-names"
        assert refused(*[f"x{number}" for number in range(10_001)]).id == "too-many-names"
        assert len(names("1..100000 step 10")) == LIMIT


def test_a_repeat_names_both_places() -> None:
    mistake = refused("mic 1..4", "talk", "mic 3")
    assert mistake.id == "repeated-name"
    assert mistake.text == "`mic 3` is named twice here: by `mic 1..4` and again by `mic 3`."
    assert mistake.place == At(AT.file, (*AT.path, 2))
    assert [at for _, at in mistake.also] == [At(AT.file, (*AT.path, 0))]


def test_every_bad_text_of_a_list_is_told_at_its_own_place() -> None:
    mistakes: list[Mistake] = []
    assert spread(("a..b", "mic 1", "1..8 x"), AT, mistakes) == ()
    assert [mistake.place for mistake in mistakes] == [At(AT.file, (*AT.path, 0)), At(AT.file, (*AT.path, 2))]


def whole(*texts: str | int) -> tuple[tuple[int, ...], list[str]]:
    mistakes: list[Mistake] = []
    return spread_whole(texts, AT, mistakes), [mistake.id for mistake in mistakes]


@pytest.mark.parametrize(
    ("texts", "made"),
    [
        ((7,), (7,)),
        (("7",), (7,)),
        (("1..8",), tuple(range(1, 9))),
        (("1..9 step 2",), (1, 3, 5, 7, 9)),
        (("3..1",), (3, 2, 1)),
        ((1, 3, "5..7"), (1, 3, 5, 6, 7)),
        (("01..03",), (1, 2, 3)),
    ],
)
def test_columns(texts: Names, made: tuple[int, ...]) -> None:
    assert whole(*texts) == (made, [])


@pytest.mark.parametrize(
    ("texts", "fault"),
    [
        (("x",), "bad-range"),
        (("top 1..8",), "bad-range"),
        (("1..",), "bad-range"),
        (("1,2",), "bad-range"),
        (("1" * 19,), "bad-range"),
        (("²",), "bad-range"),
        ((1, -2), "bad-range"),
        ((3, "1..4"), "repeated-name"),
        ((3, "03"), "repeated-name"),
        (("1..10001",), "too-many-names"),
    ],
)
def test_what_is_no_column(texts: Names, fault: str) -> None:
    assert whole(*texts) == ((), [fault])


def test_fold_reads_like_a_person_would_write() -> None:
    assert fold(f"mic {n}" for n in (8, 1, 2, 3, 5, 7, 4)) == ["mic 1..5", "mic 7..8"]
    assert fold(["01", "02", "10", "9", "08", "09"]) == ["01..02", "08..09", "9..10"]
    assert fold(["b", "a", "b"]) == ["a", "b"]
    assert fold([f"x{n}" for n in range(98, 103)]) == ["x98..102"]
    assert fold([f"x{n:03}" for n in range(98, 103)]) == ["x098..102"]
    assert fold(["north/top 1", "north/bottom 2", "north/top 2"]) == ["north/bottom 2", "north/top 1..2"]
    assert fold([]) == []


STEMS = st.text(st.sampled_from("ab .0/ü"), max_size=4)
NAMES = st.builds(
    lambda stem, number: f"{stem}{number}",
    STEMS,
    st.sampled_from([*map(str, range(13)), "00", "01", "09", "010", "099", "100", ""]),
)
GOOD_NAMES = st.lists(NAMES.filter(lambda name: ".." not in name), unique=True, max_size=40)


@given(GOOD_NAMES)
def test_spreading_what_was_folded_gives_the_names_in_natural_order(some: list[str]) -> None:
    folded = fold(some)
    assert names(*folded) == sorted(some, key=natural)
    assert fold(names(*folded)) == folded
    assert folded == fold(reversed(some))


@given(st.integers(0, 3000), st.integers(0, 3000), st.integers(1, 40), st.integers(1, 5))
def test_a_range_is_what_counting_gives(first: int, last: int, step: int, width: int) -> None:
    one, other = f"{first:0{width}}", f"{last:0{width}}"
    if len(one) != len(other) and (re.match("0.", one) or re.match("0.", other)):
        assert refused(f"x {one}..{other} step {step}").id == "bad-range"
        return
    made = names(f"x {one}..{other} step {step}")
    numbers = [int(name.removeprefix("x ")) for name in made]
    assert numbers[0] == first
    assert {abs(after - before) for before, after in pairwise(numbers)} <= {step}
    assert abs(last - numbers[-1]) < step
    assert min(first, last) <= min(numbers) <= max(numbers) <= max(first, last)
    if len(one) == len(other):
        assert {len(name) for name in made} == {len(one) + 2}


@given(st.text(st.sampled_from("a1. 0step-"), max_size=14))
def test_any_text_is_a_name_a_range_or_a_reason(text: str) -> None:
    found = read_range(text)
    if found is None:
        assert ".." not in text
    elif not isinstance(found, str):
        again = f"{found.stem}{found.first:0{found.width}}..{found.last:0{found.width}}"
        assert text.startswith(again)
        assert ".." not in found.stem
        assert found.size == len(found.numbers) >= 1
