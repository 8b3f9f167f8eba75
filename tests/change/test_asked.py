"""Needs that only one side asks for: told in every form, mirrored, and never called mere text."""

from copy import deepcopy
from importlib.resources import files
from random import Random

import pytest

from routecode.change.difference import Difference
from routecode.history.entry import entry_of
from routecode.show.difference_document import difference_document
from routecode.show.difference_markdown import Named, difference_markdown
from routecode.show.difference_sections import ASKED, FAILING, UNASKED, Scope, sections
from routecode.show.draft import draft
from tests.change.wiring import PLAIN, asked, compared
from tests.reference.studios import random_studio
from tests.reference.toml_text import document
from tests.reference.written import united
from tests.review.pages import page_of
from tests.review.test_page import Read
from tests.show.studios import opened

BARE = PLAIN + '\n[setup.folk]\ntitle = "Folk"\n'
HEAD = "[[setup.folk.need]]\npath = "
ONE = HEAD + '["hall/line 1", "pre-a/mic 1", "conv/line 1"]\n'
EIGHT = HEAD + '["hall/line 1..8", "pre-a/mic 1..8", "conv/line 1..8"]\n'
FORBIDS = HEAD + '["booth/1", "conv/line 2"]\nnever = true\n'
ALONE = HEAD + '["hall/line 2", "conv/line 2"]\nonly = true\n'
UNMET = HEAD + '["booth/1", "conv/line 2"]\n'
MET = (
    (ONE, "asks that Hall line 1 reaches Converter line 1. Way: Preamp A mic 1."),
    (EIGHT, "asks that Hall lines 1-8 reach Converter lines 1-8. Way: Preamp A."),
    (FORBIDS, "forbids that Narration booth 1 reaches Converter line 2."),
    (ALONE, "asks that Hall line 2 alone reaches Converter line 2."),
)


def difference(before: str, after: str) -> Difference:
    return Difference(opened({"studio.toml": before}), opened({"studio.toml": after}))


def told(before: str, after: str) -> dict[str, list[str]]:
    """What is said under each heading."""
    found = sections(difference(before, after), Scope())
    return {section.heading: [item.text for item in section.items] for section in found}


@pytest.mark.parametrize(("need", "words"), MET, ids=["one", "eight", "never", "only"])
def test_a_need_that_is_new_and_one_that_is_gone_are_told(need: str, words: str) -> None:
    assert told(BARE, BARE + need) == {ASKED: [f"Folk now {words}"]}
    gone = words.replace("asks", "no longer asks").replace("forbids", "no longer forbids")
    assert told(BARE + need, BARE) == {UNASKED: [f"Folk {gone}"]}


def test_one_that_is_new_and_fails_is_told_once_and_one_that_goes_unmet_says_so() -> None:
    assert list(told(BARE, BARE + UNMET)) == [FAILING, "By setup", "New findings"]
    gone = told(BARE + UNMET, BARE)
    assert gone[UNASKED] == ["Folk no longer asks that Narration booth 1 reaches Converter line 2. It did not."]


def test_a_way_that_is_asked_for_otherwise_is_told_with_both_ways() -> None:
    other = HEAD + '["hall/line 1", "conv/line 1"]\n'
    found = told(BARE + ONE, BARE + other)
    assert found[UNASKED] == ["Folk no longer asks that Hall line 1 reaches Converter line 1. Way: Preamp A mic 1."]
    assert found[ASKED] == ["Folk now asks that Hall line 1 reaches Converter line 1."]


def test_it_is_no_wiring_and_no_mere_text() -> None:
    found = difference(BARE, BARE + ONE)
    assert found.result == "text-only"
    markdown = difference_markdown(found, Named("A", "B", "routecode diff"), Scope())
    for text in (markdown, *told(BARE, BARE + ONE)):
        assert "Only text" not in text
    assert f"### {ASKED}" in markdown
    assert "what setups ask for differs" in markdown
    assert draft(found.old, found.new).splitlines()[0] == "Folk now asks that Hall line 1 reaches Converter line 1"
    assert draft(found.new, found.old).splitlines()[0].startswith("Folk no longer asks that Hall line 1 reaches")


def test_the_page_of_a_review_shows_it_with_its_line_on_the_side_that_asks() -> None:
    page = page_of(opened({"studio.toml": BARE + FORBIDS}), opened({"studio.toml": BARE + ONE}))
    read = " ".join(Read(page).words)
    line = len(BARE.splitlines()) + 2
    said = " ".join(read.split())
    for heading, side in ((UNASKED, "before"), (ASKED, "after")):
        part = said.partition(f"{heading} ")[2][:300]
        assert f"studio.toml:{line}:8 ({side})" in part


def test_an_entry_of_the_history_tells_it() -> None:
    entry = entry_of(opened({"studio.toml": BARE + FORBIDS}), opened({"studio.toml": BARE + ONE}))
    assert (entry.only_text, entry.loses, entry.setups) == (False, False, ("folk",))
    assert entry.meaning == "No path changed; 1 need new, 1 need gone."
    assert len(entry.said) == 2
    comment = entry_of(opened({"studio.toml": BARE + ONE}), opened({"studio.toml": BARE + ONE + "# more\n"}))
    assert comment.only_text


def test_the_document_has_all_of_them_with_their_places() -> None:
    after = BARE + UNMET + ONE
    found = difference_document(difference(BARE + FORBIDS, after))["asked"]
    assert [(row["path"], row["met"]) for row in found["new"]] == [
        (["booth/1", "conv/line 2"], False),
        (["hall/line 1", "pre-a/mic 1", "conv/line 1"], True),
    ]
    (gone,) = found["gone"]
    assert (gone["setup"], gone["never"], gone["only"], gone["met"]) == ("folk", True, False, True)
    for row, text in ((found["new"][1], after), (gone, BARE + FORBIDS)):
        assert text.splitlines()[row["place"]["line"] - 1].startswith(f'path = ["{row["path"][0]}"')


def test_a_setup_that_is_new_or_gone_is_told_as_a_whole() -> None:
    assert compared(PLAIN, BARE + ONE).asked == compared(BARE + ONE, PLAIN).asked == []


def test_a_need_stays_the_same_under_another_name_of_its_setup_and_its_places() -> None:
    after = BARE.replace("[setup.folk]", '[setup.songs]\nwas = "folk"').replace("pre-a", "pre-w") + ONE.replace(
        "pre-a", "pre-w"
    ).replace("setup.folk", "setup.songs")
    assert compared(BARE + ONE, after).asked == []
    (gone,) = compared(BARE + ONE, after.replace(ONE.replace("pre-a", "pre-w").replace("folk", "songs"), "")).asked
    assert (gone.setup, gone.gone) == ("songs", True)


def test_the_sentences_of_the_page_are_said() -> None:
    page = files("routecode").joinpath("pages", "changes.md").read_text(encoding="utf-8")
    quoted = " ".join(page.replace("\n> ", " ").split())
    found = told(BARE.replace('"Folk"', '"Folk takes"') + FORBIDS, BARE.replace('"Folk"', '"Folk takes"') + ONE)
    for heading in (ASKED, UNASKED):
        assert found[heading][0] in quoted


@pytest.mark.parametrize("seed", range(60))
def test_a_need_taken_out_of_any_studio_is_told_and_read_backwards_it_is_new(seed: int) -> None:
    before, rng = random_studio(seed), Random(seed)
    whole = deepcopy(united(before))
    setups = [name for name, setup in whole.get("setup", {}).items() if setup.get("need")]
    if not setups:
        whole.setdefault("setup", {}).setdefault("more", {})
        assert Difference(opened(dict(before)), opened({"studio.toml": document(rng, whole)})).asked == []
        return
    name = rng.choice(setups)
    needs = whole["setup"][name]["need"]
    gone = needs.pop(rng.randrange(len(needs)))
    after = {"studio.toml": document(rng, whole)}
    forward = Difference(opened(dict(before)), opened(after))
    backward = Difference(opened(after), opened(dict(before)))
    kept = [(each["path"], each.get("never", False), each.get("only", False)) for each in needs]
    if (gone["path"], gone.get("never", False), gone.get("only", False)) not in kept:
        assert {one.setup for one in forward.asked} == {name}
        assert {one.never for one in forward.asked} == {gone.get("never", False)}
    assert all(one.gone for one in forward.asked)
    assert asked(forward, back=False) == asked(backward, back=True)
    assert (forward.result, forward.needs) == ("text-only", [])
