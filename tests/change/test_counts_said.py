"""What a sentence counts: "more" is never none or fewer, and what is left out is what was not named."""

import re
from random import Random
from typing import Any

import pytest

from routecode.change.difference import Difference
from routecode.show.diagnostic import Page
from routecode.show.difference import Asked, difference_text
from routecode.show.starter import starter
from tests.change.any_edit import Files, roughly_edited, spots
from tests.change.wiring import PLAIN, changed
from tests.reference.compiler import circuit_of
from tests.reference.studios import random_studio
from tests.reference.toml_text import document
from tests.reference.written import united
from tests.seeds import some
from tests.show.studios import opened

NONE_MORE = re.compile(r"(?:-[0-9,]+|\b0) more\b")
RANGE = re.compile(r"(?P<stem>.*?)(?P<first>[0-9]+)\.\.(?P<last>[0-9]+)")
SEEDS = some(range(60), 30)
STARTER: Files = {name: text for name, text in starter("Weir").items() if name.endswith(".toml")}


def turned(files: Files, rng: Random) -> Files:
    """About half of the ranges of cables and columns counted down, or with two names of them exchanged."""
    whole = united(files)
    for table, key, path in list(spots(whole)):
        found = RANGE.fullmatch(table[key]) if isinstance(table[key], str) else None
        if found is not None and {"from", "to", "top", "bottom"} & set(path) and rng.random() < 0.5:
            table[key] = _otherwise(found, rng)
    return {"studio.toml": document(Random(0), whole)}


def _otherwise(found: re.Match[str], rng: Random) -> Any:
    stem, first, last = found["stem"], found["first"], found["last"]
    numbers = [f"{number:0{len(first)}}" for number in range(int(first), int(last) + 1)]
    if rng.random() < 0.5 or len(numbers) < 2:
        return f"{stem}{last}..{first}"
    one, other = rng.sample(range(len(numbers)), 2)
    numbers[one], numbers[other] = numbers[other], numbers[one]
    return [f"{stem}{number}" for number in numbers]


def told(before: Files, after: Files) -> str:
    difference = Difference(opened(dict(before)), opened(dict(after)))
    return " ".join(difference_text(difference, Page(difference.new, 80), Asked("before", "after")).split())


@pytest.mark.parametrize("seed", SEEDS)
def test_nothing_is_said_to_be_none_more_or_fewer(seed: int) -> None:
    """Random studios, the starter and a small one, with ranges counted down or names exchanged; read backwards too."""
    for number, files in enumerate((random_studio(seed), STARTER, {"studio.toml": PLAIN})):
        after = turned(files, Random(100 * seed + number))
        if circuit_of(after)[0] is None:
            continue
        for text in (told(files, after), told(after, files)):
            assert not NONE_MORE.search(text), text


@pytest.mark.parametrize("seed", SEEDS)
def test_nothing_is_said_to_be_none_more_of_rough_edits(seed: int) -> None:
    text = told(*roughly_edited(seed))
    assert not NONE_MORE.search(text), text


def of_starter(*swaps: tuple[str, str, str]) -> str:
    """The starter against itself with pieces (file, old, new) replaced, told."""
    after = dict(STARTER)
    for file, old, new in swaps:
        after[file] = changed(after[file], (old, new))
    return told(STARTER, after)


BACKWARDS = (
    ("cables.toml", '"pre/mic 1..8"', '"pre/mic 8..1"'),
    ("bays/main.toml", '"rec/line 1..8"', '"rec/line 8..1"'),
)


def test_jacks_on_the_way_are_counted_one_by_one() -> None:
    """Eight lines turned round: 16 jacks on each way, eight of them named."""
    text = of_starter(*BACKWARDS)
    assert (
        "They now go by Main bay top 8 down to 1 and 8 more jacks, not Main bay top 1-8 and 8 more jacks. (unpatched)"
        in text
    )
    assert "They now go by Main bay top 7 down to 2 and 6 more jacks, not Main bay top 2-7 and 6 more jacks." in text


def test_two_lines_exchanged_name_each_jack_once() -> None:
    text = of_starter(
        ("cables.toml", '"pre/mic 1..8"', '["pre/mic 2", "pre/mic 1", "pre/mic 3..8"]'),
        ("bays/main.toml", '"rec/line 1..8"', '["rec/line 2", "rec/line 1", "rec/line 3..8"]'),
    )
    assert "They now go by Main bay top 2 and 1 and 2 more jacks, not Main bay top 1-2 and 2 more jacks." in text


def test_what_a_list_of_cables_leaves_out_is_counted_in_names() -> None:
    """Four ranges of numbers: three are said, and the fourth is five numbers."""
    text = of_starter(
        ("cables.toml", '"L1..8"', '["A1", "C1", "E1", "G1..5"]'), ("cables.toml", '"pre/mic 1..8"', '"pre/mic 8..1"')
    )
    assert "New: A1, C1, E1 and 5 more, Live room box lines 1-8 to Preamp mics 8 down to 1 (pair, 12 m)." in text


# -- numbers of cables -----------------------------------------------------------------------------------------------------


def renumbered(numbers: str) -> list[str]:
    text = of_starter(("cables.toml", 'number = "L1..8"', numbers))
    return [
        f"Changed: {line}"
        for line in text.partition(" Cabling - ")[2].partition(" Only text")[0].split("Changed: ")[1:]
    ]


@pytest.mark.parametrize(
    ("numbers", "told"),
    [
        ("S1..8", ["Changed: S1-8, Live room box lines 1-8 to Preamp mics 1-8 (numbers S1-8, before L1-8)."]),
        ("", ["Changed: Live room box lines 1-8 to Preamp mics 1-8 (numbers not given, before L1-8)."]),
        (
            ["S1..4", "S7..10"],
            [
                "Changed: S1-4, Live room box lines 1-4 to Preamp mics 1-4 (numbers S1-4, before L1-4).",
                "Changed: S7-10, Live room box lines 5-8 to Preamp mics 5-8 (numbers S7-10, before L5-8).",
            ],
        ),
        (
            ["L2", "L1", "L3..8"],
            [
                "Changed: L1, Live room box line 2 to Preamp mic 2 (number L1, before L2).",
                "Changed: L2, Live room box line 1 to Preamp mic 1 (number L2, before L1).",
            ],
        ),
    ],
)
def test_cables_that_count_up_are_renumbered_in_one_line(numbers: str | list[str], told: list[str]) -> None:
    """Each number, old and new, in step with the ends, or by itself."""
    written = f'"{numbers}"' if isinstance(numbers, str) else str(numbers)
    lines = renumbered(f"number = {written}" if numbers else "")
    assert [line.rstrip(" -") for line in lines] == told
