"""The nearest word: what a person would have meant, at a bounded cost."""

import random

import pytest

from routecode.ground.nearest import did_you_mean, nearest


@pytest.mark.parametrize(
    ("word", "choices", "meant"),
    [
        ("metre", ["metres", "title", "number"], "metres"),
        ("form", ["from", "to", "loom"], "from"),
        ("Pre-A", ["pre-b", "pre-a", "Pre-B"], "pre-a"),
        ("mic1", ["mic 1", "mic 2", "mic 11"], "mic 1"),
        ("colums", ["column", "columns"], "columns"),
        ("letf", ["left", "right"], "left"),
        ("zzz", ["metres", "title"], None),
        ("a", [], None),
        ("north", ["north"], None),
        ("x" * 1000, ["x" * 999], None),
        ("pitch", ["pitch_mm", "title"], "pitch_mm"),
        ("strip", ["strip_mm", "strip_length_mm"], None),
    ],
)
def test_nearest(word: str, choices: list[str], meant: str | None) -> None:
    assert nearest(word, choices) == meant


def test_case_alone_wins_over_everything_nearer_in_letters() -> None:
    assert nearest("CONV", ["CONB", "conv"]) == "conv"


def test_the_order_of_the_choices_does_not_matter() -> None:
    choices = [f"pre-{letter}/mic {number}" for letter in "abcdef" for number in range(60)]
    mixed = choices[:]
    random.Random(1).shuffle(mixed)
    for word in ("pre-a/mci 7", "prea/mic 33", "pre-x/mic 5"):
        assert nearest(word, choices) == nearest(word, mixed)


def test_tens_of_thousands_of_choices_are_no_matter() -> None:
    choices = [f"pre-{letter}/mic {number}" for letter in "abcdefghij" for number in range(3000)]
    assert nearest("pre-a/mci 30", choices) == "pre-a/mic 30"


def test_the_question_is_a_sentence() -> None:
    assert did_you_mean("metre", ["metres"]) == "Did you mean `metres`?"
    assert did_you_mean("zzz", ["metres"]) == ""
