"""What a diff says of cords: what a change took and gave, with cords instead of soldering. Sentences on small studios."""

import json
import re
from random import Random

import pytest

from routecode.change.difference import Compared, Difference
from routecode.change.patching import CAUTION, MOST_TOGETHER, Patched, StatePatching, patching_lines
from routecode.show.diagnostic import Page
from routecode.show.difference import Asked, difference_text
from routecode.show.difference_document import difference_document
from tests.change.test_report import history
from tests.change.wiring import PLAIN, changed, circuit, compared
from tests.reference.edits import mutate
from tests.reference.studios import random_studio
from tests.show.studios import opened

PATCHED = changed(PLAIN, ('bottom = "pre-a/mic 1..8"\n', 'bottom = "pre-a/mic 1..8"\nnormal = "none"\n'))


def lines(before: str, after: str) -> list[str]:
    found = compared(before, after)
    return patching_lines(found.patching, {}, found.words)


def only(found: Compared, setup: str | None = None) -> StatePatching:
    return next(state for state in found.patching if state.setup == setup)


# -- sentences -----------------------------------------------------------------------------------------------------------


def test_lost_paths_that_cords_still_make() -> None:
    assert lines(PLAIN, PATCHED) == [
        "Unpatched: loses 8 paths.",
        "Hall lines 1-8 to Converter lines 1-8 can still be had with 8 cords, no soldering. "
        "Cords: North bay top 1-8 to North bay bottom 1-8.",
        CAUTION,
    ]


def test_gained_paths_that_cords_make_today() -> None:
    assert lines(PATCHED, PLAIN) == [
        "Unpatched: gains 8 paths.",
        "Hall lines 1-8 to Converter lines 1-8 can be had today with 8 cords, no soldering. "
        "Cords: North bay top 1-8 to North bay bottom 1-8.",
        CAUTION,
    ]


AWAY_A = ('[unit.pre-a]\nmodel = "pre"\n', '[unit.pre-a]\nmodel = "pre"\naway = "in repair"\n')
AWAY_B = ('[unit.pre-b]\nmodel = "pre"\n', '[unit.pre-b]\nmodel = "pre"\naway = "in repair"\n')
MOVED = (
    ('top = "hall/line 1..8"', 'top = ["hall/line 12", "hall/line 2..8"]'),
    ('top = "hall/line 9..12"', 'top = ["hall/line 9..11", "hall/line 1"]'),
)
"""Lines 1 and 12 in each other's place; nothing is behind the other half of column 12."""


def test_what_no_cord_makes() -> None:
    """Without a preamplifier; a microphone is not proposed into a line input, though both are analogue."""
    assert lines(PLAIN, changed(PLAIN, AWAY_A, AWAY_B)) == [
        "Unpatched: loses 8 paths.",
        "Hall lines 1-8 to Converter lines 1-8 cannot be had with cords, up to 2 for each path.",
    ]


def test_cords_of_the_setup_are_not_moved_and_that_is_said() -> None:
    """Of the unpatched state nothing of the kind is said."""
    setup = '\n[setup.talk]\n[[setup.talk.cord]]\nfrom = "booth/1"\nto = "north/bottom 1"\n'
    away = changed(PLAIN, AWAY_A, AWAY_B)
    said = lines(PLAIN + setup, away + setup)
    none = [line for line in said if "cannot be had" in line]
    own = [
        line for line in none if line.endswith("for each path. The cords of the setup were left where they are. (talk)")
    ]
    assert own == [line for line in none if line.endswith("(talk)")]
    assert 0 < len(own) < len(none)


def test_into_a_socket_that_has_no_jack() -> None:
    wired = changed(PLAIN, ('top = "hall/line 9..12"\n', 'top = "hall/line 9..12"\nbottom = "pre-b/mic 1..4"\n'))
    assert lines(PLAIN, wired) == [
        "Unpatched: gains 4 paths.",
        "Hall lines 9-12 to Converter lines 9-12 can be had today with 4 cords, no soldering. "
        "Cords: North bay top 9-12 to Preamp B mics 1-4.",
        CAUTION,
    ]


def test_what_it_costs_is_said() -> None:
    """With one preamplifier alone, the input of another line must be taken."""
    before = changed(PLAIN, AWAY_B)
    assert lines(before, changed(before, *MOVED)) == [
        "Unpatched: gains 1 path and loses 1 path.",
        "Hall line 1 to Converter line 1 can still be had with 1 cord, no soldering. "
        "Cord: North bay top 12 to North bay bottom 1. That costs 1 path: Hall line 12 to Converter line 1.",
        "Hall line 12 to Converter line 1 can be had today with 1 cord, no soldering. "
        "Cord: North bay top 12 to North bay bottom 1. That costs 1 path: Hall line 1 to Converter line 1.",
        CAUTION,
    ]


def test_link_plugs_come_out_first() -> None:
    plugs = (
        'title = "North bay"\ncolumns = 16\nnormal = "half"\n',
        'title = "North bay"\ncolumns = 16\nnormalling = "plugs"\nnormal = "bottom"\n',
    )
    before = changed(PLAIN, plugs, AWAY_B)
    said = lines(before, changed(before, *MOVED))
    assert "Take the link plug out of North bay bottom 1 first." in said[1]


# -- states --------------------------------------------------------------------------------------------------------------

SETUPS = """
[setup.drums]
title = "Drum takes"
[[setup.drums.cord]]
from = "north/top 1"
to = "pre-b/mic 1"
[setup.talk]
title = "Talk"
"""


def test_states_of_which_the_same_is_true_are_told_together() -> None:
    """The cord of the setup brings line 1 to the other preamplifier: there another cord does."""
    assert lines(PLAIN + SETUPS, PATCHED + SETUPS) == [
        "Unpatched, Drum takes and Talk: lose 8 paths.",
        "Hall lines 1-8 to Converter lines 1-8 can still be had with 8 cords, no soldering. "
        "Cords: North bay top 1-8 to North bay bottom 1-8. (unpatched and Talk)",
        "Hall line 1 to Converter line 1 can still be had with 1 cord, no soldering. "
        "Cord: South bay top 9 to South bay bottom 1. (Drum takes)",
        "Hall lines 2-8 to Converter lines 2-8 can still be had with 7 cords, no soldering. "
        "Cords: North bay top 2-8 to North bay bottom 2-8. (Drum takes)",
        CAUTION,
    ]


def test_a_cord_of_the_setup_is_not_taken_away() -> None:
    found = compared(PLAIN + SETUPS, PATCHED + SETUPS)
    taken = {found.matched.after.node("north/top 1"), found.matched.after.node("pre-b/mic 1")}
    answers = only(found, "drums").answers
    assert answers
    for answer in answers:
        assert all(not taken & set(cord) for cord in answer.cords or ())


def test_failing_needs_are_counted() -> None:
    found = compared(PLAIN, PATCHED)
    assert patching_lines(found.patching, {None: 1}, found.words)[0] == "Unpatched: loses 8 paths. 1 need now fails."
    assert patching_lines(found.patching, {None: 2}, found.words)[0] == "Unpatched: loses 8 paths. 2 needs now fail."


def test_a_setup_of_one_side_is_not_asked_about() -> None:
    assert [state.setup for state in compared(PLAIN, PLAIN + SETUPS).patching] == [None]


def test_an_end_that_is_new_is_said() -> None:
    more = (
        changed(PLAIN, ('name = "line 1..12"', 'name = "line 1..13"'))
        + '[[cable]]\nfrom = "hall/line 13"\nto = "pre-b/mic 1"\n'
    )
    assert lines(PLAIN, more) == [
        "Unpatched: gains 1 path. 1 of the gained paths starts or ends where nothing is today."
    ]


# -- bounds --------------------------------------------------------------------------------------------------------------


def test_what_was_not_asked_is_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("routecode.change.patching.MOST_ASKED", 4)
    found = compared(PLAIN, PATCHED)
    assert (only(found).answers, only(found).unasked) == ((), 8)
    assert patching_lines(found.patching, {}, found.words) == [
        "Unpatched: loses 8 paths. For 8 paths cords were not looked for."
    ]


def test_a_search_cut_short_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("routecode.change.patching.MOST_COMPILED", 0)
    assert lines(PLAIN, PATCHED)[1] == (
        "Hall lines 1-8 to Converter lines 1-8: no cords were found, but not every way was tried."
    )


def test_a_trunk_is_asked_where_it_breaks_off() -> None:
    desk = """
[unit.desk]
title = "Desk"
[[unit.desk.port]]
name = "in 1..20"
direction = "in"
signal = "line"
[[unit.desk.port]]
name = "main"
direction = "out"
signal = "line"
[[unit.desk.inside]]
from = "in 1..20"
to = "main"
pairing = "all-to-all"
[unit.tape]
title = "Tape"
[[unit.tape.port]]
name = "out 1..20"
direction = "out"
signal = "line"
[[cable]]
from = "tape/out 1..20"
to = "desk/in 1..20"
[unit.rec]
title = "Recorder"
[[unit.rec.port]]
name = "in"
direction = "in"
signal = "line"
[bay.east]
title = "East bay"
columns = 2
[[bay.east.column]]
at = 1
top = "desk/main"
bottom = "rec/in"
normal = "half"
"""
    assert MOST_TOGETHER < 20
    said = lines(PLAIN + desk, PLAIN + changed(desk, ('normal = "half"', 'normal = "none"')))
    assert said[:2] == [
        "Unpatched: loses 20 paths.",
        "Tape out 1-20 to Recorder can still be had with 1 cord, no soldering. Cord: East bay top 1 to East bay bottom 1.",
    ]


# -- in the report and the document --------------------------------------------------------------------------------------


def difference(before: str, after: str) -> Difference:
    return Difference(opened({"studio.toml": before}), opened({"studio.toml": after}))


def test_the_section_is_in_the_text() -> None:
    found = difference(PLAIN, PATCHED)
    text = difference_text(found, Page(found.new), Asked("one", "other"))
    assert "\nBy setup\n- Unpatched: loses 8 paths.\n- Hall lines 1-8 to" in text
    assert "local codes come first." in " ".join(text.split())


def test_the_document_has_the_answers() -> None:
    (state,) = difference_document(difference(PLAIN, PATCHED))["states"]
    (row,) = state["cords"]
    assert (row["side"], row["loses"], row["link_plugs"], state["unasked"]) == ("after", [], [], 0)
    assert row["cords"][0] == {"from": "north/top 1", "to": "north/bottom 1"}
    assert row["paths"][7] == {"from": "hall/line 8", "to": "conv/line 8"}


def test_nothing_is_asked_of_equal_texts() -> None:
    (state,) = difference_document(difference(PLAIN, PLAIN))["states"]
    assert (state["cords"], state["unasked"]) == ([], 0)


def test_sentences_of_the_examples_history_are_short() -> None:
    said = [text for _, found in history() for text in patching_lines(found.patching, {}, found.words)]
    counts = [len(part.split()) for text in said for part in re.split(r"\. |: ", text)]
    assert len(said) > 12
    assert max(counts) <= 25, [text for text in said if max(len(p.split()) for p in re.split(r"\. |: ", text)) > 25]


@pytest.mark.parametrize("seed", range(20))
def test_answers_hold_when_they_are_compiled(seed: int) -> None:
    """Every answer, written into the text of its side and compiled as a whole, makes its paths."""
    before = random_studio(seed)
    after = mutate(before, Random(seed))
    found = Difference(opened(dict(before)), opened(dict(after)))
    for state in found.patching:
        for answer in state.answers:
            _holds(found, state, answer, {"before": before, "after": after}[answer.side])


def _holds(found: Difference, state: StatePatching, answer: Patched, files: dict[str, str]) -> None:
    if not answer.cords:
        return
    plant = found.matched.plant(answer.side)

    def node(number: int) -> str:
        return plant.name(found.matched.own_node(answer.side, number))

    def channel(number: int) -> str:
        return plant.channel_name(found.matched.own_channel(answer.side, number))

    names = {new: old for old, new in found.identity.setups.items()}
    setup = names.get(state.setup or "", state.setup) if answer.side == "before" else state.setup
    include = f'include = ["{setup}"]\n' if setup is not None else ""
    table = f"[setup.with-cords]\n{include}" + "".join(
        f"[[setup.with-cords.cord]]\nfrom = {_quoted(node(a))}\nto = {_quoted(node(b))}\n" for a, b in answer.cords
    )
    made = circuit(*files.values(), table)
    for source, target in answer.paths:
        a, b = made.plant.channel(channel(source)), made.plant.channel(channel(target))
        assert a is not None
        assert b is not None
        assert _reached(made.flow("with-cords").down, 2 * a + 1, 2 * b)


def _quoted(name: str) -> str:
    return json.dumps(name, ensure_ascii=False)


def _reached(down: dict[int, list[int]], start: int, stop: int) -> bool:
    seen, queue = {start}, [start]
    for vertex in queue:
        for other in down.get(vertex, ()):
            if other not in seen:
                seen.add(other)
                queue.append(other)
    return stop in seen
