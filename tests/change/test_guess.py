"""Names that probably read otherwise: when they are taken for one thing, when they are not, and that a guess hides nothing."""

from random import Random
from typing import Any

import pytest

from routecode.change.difference import Difference
from routecode.change.identity import PROBABLE
from routecode.show.diagnostic import Page
from routecode.show.difference import Asked, difference_text
from routecode.show.difference_document import difference_document
from tests.reference.studios import random_studio
from tests.reference.toml_text import document
from tests.reference.written import united
from tests.show.studios import opened

STUDIO = """
[studio]
language = 1
[model.pre8]
[[model.pre8.port]]
name = "mic 1..8"
direction = "in"
signal = "mic"
[[model.pre8.port]]
name = "out 1..8"
direction = "out"
signal = "line"
[[model.pre8.inside]]
from = "mic 1..8"
to = "out 1..8"
[unit.hall]
[[unit.hall.port]]
name = "line 1..8"
direction = "either"
signal = "mic"
[unit.conv]
[[unit.conv.port]]
name = "in 1..8"
direction = "in"
signal = "line"
[unit.{name}]
title = "{title}"
model = "pre8"
[[cable]]
from = "hall/line {lines}"
to = "{name}/mic {lines}"
[[cable]]
from = "{name}/out 1..8"
to = "conv/in 1..8"
"""


def studio(name: str, title: str = "Preamp", lines: str = "1..8") -> str:
    return STUDIO.format(name=name, title=title, lines=lines)


def compared(before: str, after: str, *, guessing: bool = True) -> Difference:
    sides = opened({"studio.toml": before}), opened({"studio.toml": after})
    return Difference(*sides, guessing=guessing)


def how(difference: Difference) -> list[tuple[str, str, str]]:
    return [(one.before, one.after, one.how) for one in difference.renamed]


def text(difference: Difference) -> str:
    return difference_text(difference, Page(difference.new, 80), Asked("before", "after"))


def test_a_unit_renamed_with_one_cable_less_is_probably_the_same() -> None:
    found = compared(studio("pre-a"), studio("pre-west", lines="1..7"))
    assert how(found) == [("pre-a", "pre-west", "probable")]
    assert "- Probably renamed: pre-a is now called pre-west." in text(found), "titles alike say nothing; ids do"
    assert [pair[:2] for pair in found.states[0].lost] != []
    assert [pair for pair in found.states[0].gained if not pair.idle] == []
    document_ = difference_document(found)
    assert document_["renamed"] == [{"before": "pre-a", "after": "pre-west", "how": "probable"}]


def test_with_guessing_off_it_is_lost_and_gained() -> None:
    found = compared(studio("pre-a"), studio("pre-west", lines="1..7"), guessing=False)
    assert how(found) == []
    told = text(found)
    assert "Probably" not in told
    assert "Gone: Preamp, 16 ports." in told


def test_with_nothing_changed_it_is_proved_and_not_guessed() -> None:
    assert how(compared(studio("pre-a"), studio("pre-west"))) == [("pre-a", "pre-west", "proved")]


def test_too_little_in_common_is_no_guess() -> None:
    assert (
        how(
            compared(
                studio("pre-a"),
                studio("pre-west", lines="1..2")
                .replace('out 1..8"\nto', 'out 1"\nto')
                .replace('in 1..8"\n', 'in 1"\n', 2),
            )
        )
        == []
    )


def test_other_ports_are_no_guess() -> None:
    other = (
        studio("pre-west", lines="1..7")
        .replace('name = "mic 1..8"', 'name = "input 1..8"')
        .replace("/mic 1..7", "/input 1..7")
    )
    other = other.replace('from = "mic 1..8"', 'from = "input 1..8"').replace(
        'name = "out 1..8"', 'name = "output 1..8"'
    )
    other = other.replace('to = "out 1..8"', 'to = "output 1..8"').replace("pre-west/out 1..8", "pre-west/output 1..8")
    assert how(compared(studio("pre-a", lines="1..7"), other)) == []


def test_what_is_declared_stands_before_a_guess() -> None:
    declared = studio("pre-west", lines="1..7").replace('title = "Preamp"', 'title = "Preamp"\nwas = "pre-a"')
    assert how(compared(studio("pre-a"), declared)) == [("pre-a", "pre-west", "declared")]


def test_two_that_are_alike_are_not_told_apart() -> None:
    twice = """
[unit.{0}]
[[unit.{0}.port]]
name = ["in", "spare 1", "spare 2"]
direction = "in"
signal = "line"
[unit.{1}]
[[unit.{1}.port]]
name = ["in", "spare 1", "spare 2"]
direction = "in"
signal = "line"
[[cable]]
from = "conv2/out 1..3"
to = [["{0}/in", "{0}/spare 1", "{0}/spare 2"], ["{1}/in", "{1}/spare 1", "{1}/spare 2"]]
[unit.conv2]
[[unit.conv2.port]]
name = "out 1..3"
direction = "out"
signal = "line"
"""
    found = compared(studio("pre-a") + twice.format("left", "right"), studio("pre-a") + twice.format("one", "two"))
    assert how(found) == []


@pytest.mark.parametrize("seed", range(40))
def test_a_guess_is_the_same_backwards_and_hides_nothing(seed: int) -> None:
    rng = Random(seed)
    before = united(random_studio(seed))
    after = _renamed_and_one_cable_less(before, rng)
    sides = opened({"studio.toml": document(Random(0), before)}), opened({"studio.toml": document(Random(0), after)})
    if sides[1].circuit is None:
        return
    there, back = Difference(*sides), Difference(sides[1], sides[0])
    assert {(one.kind, one.before, one.after, one.how) for one in there.renamed} == {
        (one.kind, one.after, one.before, one.how) for one in back.renamed
    }
    for delta, mirror in zip(there.states, back.states, strict=True):
        assert len(delta.lost) == len(mirror.gained)
        assert delta.empty == mirror.empty
    for one in there.renamed:
        if one.how == PROBABLE and one.kind == "unit":
            assert one.before not in after.get("unit", {})
            assert one.after not in before.get("unit", {})


def _renamed_and_one_cable_less(whole: dict[str, Any], rng: Random) -> dict[str, Any]:
    """One unit under another name everywhere, and one cable gone."""
    name = rng.choice(sorted(whole["unit"]))
    after = _otherwise(whole, f"{name}/", "quite-new/")
    after["unit"]["quite-new"] = after["unit"].pop(name)
    if after.get("cable"):
        after["cable"] = after["cable"][1:]
    return after


def _otherwise(value: Any, old: str, new: str) -> Any:
    if isinstance(value, dict):
        return {key: _otherwise(inner, old, new) for key, inner in value.items()}
    if isinstance(value, list):
        return [_otherwise(inner, old, new) for inner in value]
    return new + value.removeprefix(old) if isinstance(value, str) and value.startswith(old) else value
