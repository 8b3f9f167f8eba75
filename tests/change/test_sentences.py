"""Each kind of change on a small studio, made by one edit, with the sentence a person is told, and the edit read backwards.

The sentences are the project's own; whether what they say is so was worked out by hand from the wiring.
"""

import pytest

from routecode.change.claims import KINDS
from routecode.change.needs import need_sentences
from tests.change.wiring import PLAIN, changed, changes, compared, sentences

NO_BOTTOM = changed(PLAIN, ('bottom = "pre-a/mic 1..8"\n', ""))
LINE_3_LIFTED = changed(
    PLAIN,
    (
        'at = "1..8"\ntop = "hall/line 1..8"\nbottom = "pre-a/mic 1..8"',
        'at = "1..8"\ntop = "hall/line 1..8"\n[[bay.north.column]]\nat = ["1..2", "4..8"]\n'
        'bottom = ["pre-a/mic 1..2", "pre-a/mic 4..8"]',
    ),
)
TO_PRE_B = changed(PLAIN, ('bottom = "pre-a/mic 1..8"', 'bottom = "pre-b/mic 1..8"'))
BY_PRE_B = changed(
    TO_PRE_B,
    ('top = "pre-a/out 1..8"', 'top = "pre-b/out X"'),
    ('top = "pre-b/out 1..8"', 'top = "pre-a/out 1..8"'),
    ("pre-b/out X", "pre-b/out 1..8"),
)


def south(bottom: str) -> str:
    """Other lines of the converter behind the first eight bottom jacks."""
    return changed(PLAIN, ('bottom = "conv/line 1..8"', f"bottom = {bottom}"))


def cable(start: str, stop: str) -> str:
    """One more cable."""
    return f'{PLAIN}\n[[cable]]\nfrom = "{start}"\nto = "{stop}"\n'


CASES = {
    "feedback": (
        PLAIN,
        cable("pre-b/out 3", "pre-b/mic 3"),
        ["feedback new: Preamp B out 3 now comes back to its own input (feedback)."],
        ["feedback gone: Preamp B out 3 no longer comes back to its own input. That feedback is gone."],
    ),
    "tied": (
        PLAIN,
        cable("booth/1", "pre-a/mic 3"),
        [
            "tied new: Preamp A mic 3 now gets two signals on one wire: Hall line 3 and Narration booth 1. "
            "Before: only Hall line 3."
        ],
        [
            "tied gone: Preamp A mic 3 no longer gets two signals on one wire. Now: only Hall line 3. "
            "Before: Hall line 3 and Narration booth 1."
        ],
    ),
    "exchanged": (
        PLAIN,
        south('["conv/line 2", "conv/line 1", "conv/line 3..8"]'),
        [
            "exchanged -: Hall line 1 and Hall line 2 are exchanged. "
            "Hall line 1 now reaches Converter line 2, Hall line 2 reaches Converter line 1."
        ],
        [
            "exchanged -: Hall line 1 and Hall line 2 are exchanged. "
            "Hall line 1 now reaches Converter line 1, Hall line 2 reaches Converter line 2."
        ],
    ),
    "exchanged in a ring": (
        PLAIN,
        south('["conv/line 2..8", "conv/line 1"]'),
        ["exchanged -: Hall lines 1-8 have changed places. They now reach Converter lines 2-8 and 1, in this order."],
        ["exchanged -: Hall lines 1-8 have changed places. They now reach Converter lines 1-8, in this order."],
    ),
    "exchanged end for end": (
        PLAIN,
        south('"conv/line 8..1"'),
        ["exchanged -: Hall lines 1-8 have changed places. They now reach Converter lines 8 down to 1, in this order."],
        ["exchanged -: Hall lines 1-8 have changed places. They now reach Converter lines 1-8, in this order."],
    ),
    "redirected": (
        cable("booth/1", "pre-b/mic 1"),
        cable("booth/1", "pre-b/mic 2"),
        ["redirected -: Narration booth 1 now reaches Converter line 10 instead of Converter line 9."],
        ["redirected -: Narration booth 1 now reaches Converter line 9 instead of Converter line 10."],
    ),
    "redirected together": (
        PLAIN,
        TO_PRE_B,
        ["redirected -: Hall lines 1-8 now reach Converter lines 9-16 instead of Converter lines 1-8."],
        ["redirected -: Hall lines 1-8 now reach Converter lines 1-8 instead of Converter lines 9-16."],
    ),
    "redirected end for end": (
        PLAIN,
        changed(PLAIN, ('bottom = "pre-a/mic 1..8"', 'bottom = "pre-b/mic 8..1"')),
        ["redirected -: Hall lines 1-8 now reach Converter lines 16 down to 9 instead of Converter lines 1-8."],
        ["redirected -: Hall lines 1-8 now reach Converter lines 1-8 instead of Converter lines 16 down to 9."],
    ),
    "redirected out of order": (
        PLAIN,
        changed(
            PLAIN,
            (
                'bottom = "pre-a/mic 1..8"',
                'bottom = ["pre-b/mic 1..2", "pre-b/mic 4", "pre-b/mic 3", "pre-b/mic 5..8"]',
            ),
        ),
        [
            "redirected -: Hall lines 1-8 now reach Converter lines 9-10, 12, 11 and 13-16 "
            "instead of Converter lines 1-8."
        ],
        [
            "redirected -: Hall lines 1-8 now reach Converter lines 1-8 "
            "instead of Converter lines 9-10, 12, 11 and 13-16."
        ],
    ),
    "split": (
        PLAIN,
        cable("hall/line 1..2", "pre-b/mic 1..2"),
        ["split new: Hall lines 1-2 now also reach Converter lines 9-10."],
        ["split gone: Hall lines 1-2 no longer reach Converter lines 9-10. They still feed Preamp A mics 1-2."],
    ),
    "lost": (
        PLAIN,
        LINE_3_LIFTED,
        [
            "lost gone: Hall line 3 no longer reaches Converter line 3. "
            "It stops at North bay bottom 3: nothing is wired there any more."
        ],
        ["gained new: Hall line 3 now reaches Converter line 3. A cable joins North bay bottom 3 to Preamp A mic 3."],
    ),
    "a trunk lost": (
        PLAIN,
        NO_BOTTOM,
        [
            "lost gone: Hall lines 1-8 no longer reach Converter lines 1-8. "
            "They stop at North bay bottom 1-8: nothing is wired there any more."
        ],
        [
            "gained new: Hall lines 1-8 now reach Converter lines 1-8. "
            "Cables join North bay bottom 1-8 to Preamp A mics 1-8."
        ],
    ),
    "lost by a normal": (
        PLAIN,
        changed(PLAIN, ('bottom = "pre-a/mic 1..8"', 'bottom = "pre-a/mic 1..8"\nnormal = "none"')),
        [
            "lost gone: Hall lines 1-8 no longer reach Converter lines 1-8. "
            "They stop at North bay top 1-8: their normals are taken out."
        ],
        [
            "gained new: Hall lines 1-8 now reach Converter lines 1-8. "
            "North bay top 1-8 are normalled to North bay bottom 1-8."
        ],
    ),
    "lost inside": (
        PLAIN,
        changed(PLAIN, ('from = "mic 1..8"\nto = "out 1..8"', 'from = "mic 1..7"\nto = "out 1..7"')),
        [
            "lost gone: Hall line 8 no longer reaches Converter line 8. "
            "It stops at Preamp A mic 8: Preamp A does not pass mic 8 to out 8 any more."
        ],
        ["gained new: Hall line 8 now reaches Converter line 8. Preamp A passes mic 8 to out 8."],
    ),
    "lost to the workshop": (
        PLAIN,
        changed(PLAIN, ('title = "Preamp A"', 'title = "Preamp A"\naway = "in repair"')),
        [
            "lost gone: Hall lines 1-8 no longer reach Converter lines 1-8. "
            "They stop at Preamp A mics 1-8: Preamp A is away (in repair)."
        ],
        ["gained new: Hall lines 1-8 now reach Converter lines 1-8. Before, Preamp A was away (in repair)."],
    ),
    "rerouted": (
        PLAIN,
        BY_PRE_B,
        ["rerouted -: Hall lines 1-8 still reach Converter lines 1-8. They now pass Preamp B, not Preamp A."],
        ["rerouted -: Hall lines 1-8 still reach Converter lines 1-8. They now pass Preamp A, not Preamp B."],
    ),
    "turned over": (
        cable("booth/1", "pre-b/mic 1"),
        cable("booth/1", "pre-b/mic 1") + 'polarity = "reversed"\n',
        [
            "rerouted -: Narration booth 1 still reaches Converter line 9, now with hot and cold exchanged. "
            "Before: the right way round."
        ],
        [
            "rerouted -: Narration booth 1 still reaches Converter line 9, now the right way round. "
            "Before: with hot and cold exchanged."
        ],
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_a_change_is_told(name: str) -> None:
    before, after, forward, _ = CASES[name]
    assert [text for text in sentences(before, after) if not _follows(text)] == forward


@pytest.mark.parametrize("name", CASES)
def test_it_is_told_backwards(name: str) -> None:
    before, after, _, backward = CASES[name]
    assert [text for text in sentences(after, before) if not _follows(text)] == backward


def _follows(text: str) -> bool:
    """Told beside the feedback it follows from: the way of the idle preamplifier."""
    return text.startswith("rerouted -: Preamp B out 3 still reaches")


@pytest.mark.parametrize("name", CASES)
def test_every_change_has_a_place_in_the_text_and_a_name_that_stays(name: str) -> None:
    before, after, *_ = CASES[name]
    unrelated = '\n[unit.kettle]\ntitle = "Kettle timer"\n[[unit.kettle.port]]\nname = "bell"\ndirection = "out"\nsignal = "line"\n'
    found = changes(before, after)
    assert all(change.cause for change in found)
    assert [change.id for change in found] == [change.id for change in changes(before + unrelated, after + unrelated)]
    assert len({change.id for change in found}) == len(found)


SETUP = PLAIN + '\n[setup.folk]\ntitle = "Folk"\n[[setup.folk.need]]\npath = ["hall/line 1", "conv/line 1"]\n'


@pytest.mark.parametrize(
    ("more", "told"),
    [
        (
            '[[setup.folk.cord]]\nfrom = "north/top 9"\nto = "north/bottom 1"\n',
            "redirected -: Converter line 1 now gets Hall line 9 instead of Hall line 1.",
        ),
        (
            '[[setup.folk.cord]]\nfrom = "north/top 1"\nto = "pre-b/mic 1"\n',
            "split new: Hall line 1 now also reaches Converter line 9.",
        ),
        (
            '[[setup.folk.plug]]\nat = "north/bottom 1..2"\nset = "broken"\n',
            "lost gone: Hall lines 1-2 no longer reach Converter lines 1-2. They stop at North bay top 1-2: "
            "dummy plugs in North bay bottom 1-2 break the normals.",
        ),
    ],
)
def test_what_a_setup_changes_is_told_in_that_setup_only(more: str, told: str) -> None:
    assert sentences(SETUP, SETUP + more, "folk") == [told]
    assert sentences(SETUP, SETUP + more) == []


def test_needs_that_fail_and_are_met_again() -> None:
    cut = SETUP + '[[setup.folk.plug]]\nat = "north/bottom 1"\nset = "broken"\n'
    (failed,), (met,) = compared(SETUP, cut).needs, compared(cut, SETUP).needs
    assert (failed.fails, failed.mended, failed.setup) == (True, False, "folk")
    assert (met.fails, met.mended) == (False, True)
    assert compared(SETUP, SETUP.replace("Folk", "Folk session")).needs == []


NEEDS = (
    SETUP
    + """[[setup.folk.need]]
path = ["hall/line 2", "conv/line 2"]
[[setup.folk.need]]
path = ["hall/line 3", "conv/line 3"]
only = true
[[setup.folk.need]]
path = ["hall/line 9", "conv/line 3"]
never = true
"""
)
PATCHED = """[[setup.folk.plug]]
at = "north/bottom 1..2"
set = "broken"
[[setup.folk.cord]]
from = "north/top 9"
to = "pre-b/mic 1"
[[setup.folk.cord]]
from = "south/top 9"
to = "south/bottom 3"
"""


def test_needs_in_words() -> None:
    """Three needs: that a path exists, that it is the only one, that there is none."""
    there, back = compared(NEEDS, NEEDS + PATCHED), compared(NEEDS + PATCHED, NEEDS)
    assert need_sentences(there.needs, there.words) == [
        "Folk: Hall lines 1-2 must reach Converter lines 1-2. They no longer do.",
        "Folk: Hall line 3 alone must reach Converter line 3. It no longer does.",
        "Folk: Hall line 9 must not reach Converter line 3. It does now.",
    ]
    assert need_sentences(back.needs, back.words) == [
        "Folk: Hall lines 1-2 must reach Converter lines 1-2. Those needs are met again.",
        "Folk: Hall line 3 alone must reach Converter line 3. That need is met again.",
        "Folk: Hall line 9 must not reach Converter line 3. That need is met again.",
    ]


def test_a_need_that_is_met_another_way_names_the_way_it_asks_for() -> None:
    """The line still reaches the converter, but not through the preamplifier that the need names."""
    need = '\n[setup.folk]\ntitle = "Folk"\n[[setup.folk.need]]\npath = ["hall/line 1", "pre-a/mic 1", "conv/line 1"]\n'
    found = compared(PLAIN + need, BY_PRE_B + need)
    assert need_sentences(found.needs, found.words) == [
        "Folk: Hall line 1 must reach Converter line 1 through Preamp A. It no longer does."
    ]


def test_needs_that_are_not_in_step_are_told_one_by_one() -> None:
    """Two lines to three inputs: a pair of ranges would hide which goes where."""
    paths = (("1", "1"), ("1", "2"), ("2", "3"))
    needs = "".join(f'[[setup.folk.need]]\npath = ["hall/line {a}", "conv/line {b}"]\nnever = true\n' for a, b in paths)
    found = compared(PLAIN + "\n[setup.folk]\n", PLAIN + "\n[setup.folk]\n" + needs)
    assert need_sentences(found.needs, found.words) == [
        "folk: Hall line 1 must not reach Converter line 1. That need is new and not met."
    ]
    south_moved = changed(PLAIN, ('bottom = "conv/line 1..8"', 'bottom = ["conv/line 4..8", "conv/line 1..3"]'))
    musts = needs.replace("never = true\n", "")
    found = compared(south_moved + "\n[setup.folk]\n", south_moved + "\n[setup.folk]\n" + musts)
    assert need_sentences(found.needs, found.words) == [
        "folk: Hall line 1 must reach Converter line 1. That need is new and not met.",
        "folk: Hall line 1 must reach Converter line 2. That need is new and not met.",
        "folk: Hall line 2 must reach Converter line 3. That need is new and not met.",
    ]


def test_a_need_that_is_new_says_nothing_of_before() -> None:
    """That line 1 reaches the converter is not new; that it must not is."""
    more = SETUP + '[[setup.folk.need]]\npath = ["hall/line 1", "conv/line 1"]\nnever = true\n'
    found = compared(SETUP, more)
    assert need_sentences(found.needs, found.words) == [
        "Folk: Hall line 1 must not reach Converter line 1. That need is new and not met."
    ]


def test_a_need_that_is_new_and_not_met_is_told() -> None:
    more = SETUP + '[[setup.folk.need]]\npath = ["booth/1", "conv/line 2"]\n'
    (need,) = compared(SETUP, more).needs
    assert (need.before, need.after, need.fails) == (None, False, True)


def test_a_setup_that_is_new_is_one_change_and_all_it_has_is_gained() -> None:
    found = compared(PLAIN, SETUP)
    (change,) = found.changes["folk"]
    assert change.sentence == "Setup Folk is new: no cord, 1 needed path."
    assert [delta.presence for delta in found.states] == ["both", "added"]
    assert len(found.states[1].gained) == len(change.gained) == 16
    assert [delta.presence for delta in compared(SETUP, PLAIN).states] == ["both", "removed"]
    assert sentences(SETUP, PLAIN, "folk") == ["setup gone: Setup Folk is gone: no cord, 1 needed path."]


NEVER = '[[setup.folk.need]]\npath = ["hall/line 1", "conv/line 2"]\nnever = true\n'


@pytest.mark.parametrize(
    ("more", "count"),
    [
        (NEVER, "no cord, 1 needed path, 1 forbidden path."),
        (
            '[[setup.folk.cord]]\nfrom = "south/top 5"\nto = ["south/bottom 6", "south/bottom 7"]\n',
            "1 cord, 1 needed path.",
        ),
        ('[[setup.folk.cord]]\nfrom = "south/top 5..6"\nto = "south/bottom 6..7"\n', "2 cords, 1 needed path."),
    ],
)
def test_what_a_setup_forbids_is_not_needed_and_a_y_cord_is_one_cord(more: str, count: str) -> None:
    assert sentences(PLAIN, SETUP + more, "folk") == [f"setup new: Setup Folk is new: {count}"]
    assert sentences(SETUP + more, PLAIN, "folk") == [f"setup gone: Setup Folk is gone: {count}"]


def test_a_setup_that_only_forbids() -> None:
    alone = PLAIN + "\n[setup.folk]\n" + NEVER
    assert sentences(PLAIN, alone, "folk") == ["setup new: Setup folk is new: no cord, 1 forbidden path."]


def test_a_y_cord_in_a_setup_of_both_sides_is_told_as_one() -> None:
    """It joins free jacks, so it is no change of a path."""
    cord = '[[setup.folk.cord]]\nfrom = "north/top 13"\nto = ["north/bottom 15", "north/bottom 14"]\n'
    line = "Y-cord North bay top 13 to North bay bottom 14-15 (in setup Folk)."
    assert compared(SETUP, SETUP + cord).besides() == [f"New: {line}"]
    assert compared(SETUP + cord, SETUP).besides() == [f"Gone: {line}"]
    two = '[[setup.folk.cord]]\nfrom = "north/top 13..14"\nto = "north/bottom 15..16"\n'
    (told,) = compared(SETUP, SETUP + two).besides()
    assert told.startswith("New: cords North bay top 13 to North bay bottom 15 and North bay top 14 to")


def test_every_kind_that_a_state_can_have_is_told_here() -> None:
    """`setup` is told above, `moved` in `test_names`, `altered` and `phantom` in `test_figured`."""
    told = {change.kind for before, after, *_ in CASES.values() for change in changes(before, after)}
    told |= {change.kind for before, after, *_ in CASES.values() for change in changes(after, before)}
    assert told == {*KINDS} - {"setup", "moved", "altered", "phantom"}


@pytest.mark.parametrize("name", CASES)
def test_sentences_have_25_words_at_most(name: str) -> None:
    before, after, *_ = CASES[name]
    for change in (*changes(before, after), *changes(after, before)):
        assert max(len(part.split()) for part in change.sentence.split(". ")) <= 25


def test_results() -> None:
    assert compared(PLAIN, PLAIN).result == "identical"
    assert compared(PLAIN, PLAIN + "\n# a note\n").result == "text-only"
    assert compared(PLAIN, PLAIN.replace("Preamp A", "Preamp West")).result == "text-only"
    assert (
        compared(cable("booth/1", "pre-b/mic 1"), cable("booth/1", "pre-b/mic 1") + 'polarity = "reversed"\n').result
        == "same-ends"
    )
    assert compared(PLAIN, LINE_3_LIFTED).result == "ends-changed"


def test_a_point_that_changed_is_never_called_text_only() -> None:
    """A line wired behind a jack where nothing goes on: no path has it, the jack does."""
    more = changed(
        PLAIN, ('top = "hall/line 9..12"', 'top = ["hall/line 9..12", "booth/1"]'), ('at = "9..12"', 'at = "9..13"')
    )
    found = compared(PLAIN, more)
    assert found.result == "same-ends"
    assert [row[:3] for row in found.jacks] == [("North bay top 13", "nothing", "Narration booth 1")]


def test_changes_stand_in_order_of_harm() -> None:
    after = changed(cable("booth/1", "pre-b/mic 1"), ('bottom = "pre-a/mic 1..8"\n', ""))
    assert [change.harm for change in changes(PLAIN, after)] == ["loss", "gain"]
