"""What comes back if an edit is undone, against the text with that edit taken back, compiled by itself."""

import pytest

from routecode.change.difference import Difference
from routecode.change.undo import Undone, described, places, undone
from routecode.show.diagnostic import Page
from routecode.show.undo import undo_document, undo_text
from tests.change.any_edit import roughly_edited
from tests.change.wiring import PLAIN
from tests.show.studios import circuit_of, opened

Pairs = set[tuple[str, str, bool]]


def pairs(undone_: Undone, which: str) -> Pairs:
    name = undone_.names.matched.channel_name
    return {(name(a), name(b), idle) for a, b, idle in getattr(undone_.delta, which)}


def paths(text: str) -> Pairs:
    return {tuple(path) for path in circuit_of(opened({"studio.toml": text})).flow(None).paths()}  # type: ignore[misc] # three of each


TWO_CABLES = (
    PLAIN + '\n[[cable]]\nfrom = "booth/1"\nto = "pre-b/mic 1"\n[[cable]]\nfrom = "booth/2"\nto = "pre-b/mic 2"\n'
)


def test_one_of_two_edits_undone_is_the_text_without_it() -> None:
    one = PLAIN + '\n[[cable]]\nfrom = "booth/1"\nto = "pre-b/mic 1"\n'
    difference = Difference(opened({"studio.toml": TWO_CABLES}), opened({"studio.toml": PLAIN}))
    edits = difference.causes.edits
    assert len(edits) == 2
    gone = next(edit for edit in edits if "1 to" in described([edit], difference)[0])
    states = undone(difference, [gone], None, one=True)
    assert states is not None
    (state,) = states
    assert pairs(state, "gained") == paths(one) - paths(PLAIN)
    assert pairs(state, "lost") == paths(PLAIN) - paths(one)
    text = undo_text(difference, [gone], states, Page(difference.new, 80))
    assert text.startswith("If this edit is undone, and nothing else:\n- Gone: cable ")
    assert "Unpatched:" in text
    document = undo_document(difference, [gone], states)
    assert document["states"][0]["sentences"]
    assert document["edit"] == [
        {"side": "before", "place": {"file": "studio.toml", "line": PLAIN.count("\n") + 3, "column": 8}}
    ]


def test_an_edit_that_stands_alone_changes_no_path() -> None:
    before = PLAIN
    after = PLAIN + '\n[unit.spare]\n[[unit.spare.port]]\nname = "in"\ndirection = "in"\nsignal = "line"\n'
    difference = Difference(opened({"studio.toml": before}), opened({"studio.toml": after}))
    states = undone(difference, difference.causes.edits, None, one=False)
    assert states is not None
    assert [state.changes for state in states] == [()]
    assert "no path changes" in undo_text(difference, difference.causes.edits, states, Page(difference.new, 80))


@pytest.mark.parametrize("seed", range(40))
def test_all_edits_undone_are_the_before_side(seed: int) -> None:
    before, after = roughly_edited(seed)
    difference = Difference(opened(dict(before)), opened(dict(after)), guessing=False)
    if not difference.causes.edits or any(delta.presence != "both" for delta in difference.states):
        return
    for delta in difference.states:
        states = undone(difference, difference.causes.edits, delta.setup, one=True)
        if states is None:
            continue
        name = difference.matched.channel_name
        assert pairs(states[0], "gained") == {(name(a), name(b), idle) for a, b, idle in delta.lost}
        assert pairs(states[0], "lost") == {(name(a), name(b), idle) for a, b, idle in delta.gained}


def test_every_edit_has_a_place() -> None:
    difference = Difference(opened({"studio.toml": PLAIN}), opened({"studio.toml": TWO_CABLES}))
    assert all(places(edit) for edit in difference.causes.edits)
