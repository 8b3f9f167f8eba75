"""Edits with known effect: a few of each kind here, a thousand in the page, which must say that nothing was missing or false."""

import re
from collections.abc import Iterator

import pytest

from routecode.change.difference import Compared
from tests.change.edit_kinds import Effect
from tests.change.known_edits import HEADS, KINDS, PAGE, known_edit, page_with, verdict_of
from tests.change.test_raw_sets import compare, pair_of_studios
from tests.change.truth import Verdict, judge
from tests.change.wiring import PLAIN, changed, circuit

SEEDS = (1, 2, 8)
"""The third is of the example, where that has what the edit needs."""


@pytest.mark.parametrize("kind", KINDS)
def test_the_diff_says_what_the_edit_did(kind: str) -> None:
    for seed in SEEDS if kind.startswith(("cable", "cord", "two", "unit r", "bay e")) else SEEDS[:2]:
        assert verdict_of(known_edit(kind, seed)).wrong == []


@pytest.mark.parametrize("seed", range(0, 60, 3))
def test_the_diff_says_what_random_edits_did(seed: int) -> None:
    """Up to four edits of any kind at once, of which only the texts are known."""
    before, after = pair_of_studios(seed)
    assert judge(before, after, Effect(), compare(before, after)).wrong == []


# -- the judge can tell --------------------------------------------------------------------------------------------------

CUT = changed(PLAIN, ('bottom = "pre-a/mic 1..8"\n', ""))


def judged(before: str, after: str, said: Compared, effect: Effect | None = None) -> Verdict:
    return judge({"studio.toml": before}, {"studio.toml": after}, effect or Effect(), said)


def test_what_a_diff_does_not_say_is_missing() -> None:
    same = Compared(circuit(PLAIN), circuit(PLAIN))
    wrong = judged(PLAIN, CUT, same).wrong
    assert sum(text.startswith("missing: path lost") for text in wrong) == 8
    assert "false: result text-only" in wrong


def test_what_a_diff_makes_up_is_false() -> None:
    wrong = judged(PLAIN, PLAIN, Compared(circuit(PLAIN), circuit(CUT))).wrong
    assert {text.partition(" (")[0] for text in wrong} == {
        "false: path lost", "false: path gained", "false: told as lost", "false: result ends-changed",
    }  # fmt: skip


def test_a_wrong_name_is_counted() -> None:
    west = PLAIN.replace("pre-a", "pre-west")
    effect = Effect(quiet=True, renamed=[("unit", "pre-a", "pre-west", "declared")])
    wrong = judged(PLAIN, west, Compared(circuit(PLAIN), circuit(west)), effect).wrong
    assert [text[:10] for text in wrong] == ["name: ('un"] * 2, "proved, where declared was said"


def test_an_edit_that_was_to_change_nothing_and_does_is_no_edit() -> None:
    with pytest.raises(AssertionError, match="was to change no path"):
        judged(PLAIN, CUT, Compared(circuit(PLAIN), circuit(CUT)), Effect(quiet=True))


# -- the page ------------------------------------------------------------------------------------------------------------


def rows() -> Iterator[dict[str, str]]:
    page = PAGE.read_text(encoding="utf-8")
    lines = page[page.index("| edit | edits |") :].splitlines()
    for line in lines[2:]:
        if not line.startswith("|"):
            return
        yield dict(zip(HEADS, re.split(r" \| ", line.strip("| ")), strict=True))


def test_the_page_has_every_kind_and_nothing_wrong() -> None:
    found = list(rows())
    assert [row["edit"] for row in found] == [*KINDS, "all"]
    assert [row[head] for row in found for head in ("missing", "false", "names wrong")] == ["0"] * 3 * len(found)
    assert all(int(row["edits"]) >= 1000 // len(KINDS) for row in found[:-1])
    assert int(found[-1]["edits"].replace(",", "")) >= 1000
    number = {row["edit"]: {head: int(row[head].replace(",", "")) for head in HEADS[1:]} for row in found}
    assert all(one["paths changed"] == one["told once"] + one["silent"] for one in number.values())


def test_another_table_replaces_only_the_table() -> None:
    page = PAGE.read_text(encoding="utf-8")
    other = page_with("| edit | edits |\n| --- | --- |\n")
    assert other.partition("| edit | edits |")[0] == page.partition("| edit | edits |")[0]
    assert other.endswith(page[page.index("\nAn input is looked at") :])
