"""What a job says beside its steps: walking and tests counted alike for both ways, labels to renew, patch sheets that change, ids with pages."""

import pytest

from routecode.hands.job_walk import walks
from routecode.hands.tests_rules import RESULT_RULES
from tests.hands.jobs import job_of
from tests.hands.test_job import BASE, BAY, cable

A, B, C = (("rack", "a"),), (("rack", "b"),), (("room", "c"),)


@pytest.mark.parametrize(
    ("visits", "count"),
    [
        ([], 0),
        ([A], 0),
        ([A, A], 0),
        ([A, B, A], 2),
        ([A + B], 1),
        ([A + B, A + B], 1),
        ([A, A + B, B], 1),
        ([A, (), A], 0),
        ([A + B + C, A], 2),
    ],
)
def test_walks_are_counted_from_place_to_place(visits: list[tuple[tuple[str, str], ...]], count: int) -> None:
    """Counted by hand; a step with several places visits each once, and may end in any but the one it began in."""
    assert walks([frozenset(places) for places in visits]) == count


def test_walking_and_tests_are_in_both_ways_and_follow_the_times() -> None:
    other = '[rack.right]\ntitle = "Right rack"\nroom = "control"\n'
    apart = (
        BASE.replace(
            'title = "Recorder"\nmodel = "recorder"\nrack = "left"',
            'title = "Recorder"\nmodel = "recorder"\nrack = "right"',
        )
        + other
    )
    one, two = (
        job_of(apart + times, apart + times + cable("A1", "deck/out 1", "rec/in 1"))
        for times in ("[times]\nwalk = 1\ncontinuity = 1\ntest = 2\n", "[times]\nwalk = 11\ncontinuity = 4\ntest = 7\n")
    )
    assert one.testing == 1 + 2
    assert two.testing == 4 + 7
    assert one.walking[0] >= 1
    assert two.walking == (11 * one.walking[0], 11 * one.walking[1])
    more = (two.testing - one.testing) + (two.walking[0] - one.walking[0])
    assert two.down.minutes - one.down.minutes == more
    assert two.unplanned.minutes - one.unplanned.minutes == (two.testing - one.testing) + (
        two.walking[1] - one.walking[1]
    )


def test_what_stays_in_a_multipin_connector_is_neither_powered_down_for_nor_tested_again() -> None:
    many = """
[unit.box]
title = "Box"
rack = "left"
[[unit.box.port]]
name = "out 1..2"
direction = "out"
signal = "line"
[[unit.box.multipin]]
name = "out 1-2"
connector = "db25"
layout = "aes59"
carries = "out 1..2"
"""
    stays = cable("M1", "box/out 1", "rec/in 1")
    moved = [stays + cable("M2", "box/out 2", f"rec/in {number}") for number in (2, 3)]
    made = job_of(BASE + many + moved[0], BASE + many + moved[1])
    assert made.retest == ()
    assert "power off" not in {step.kind for step in made.ordered.steps if not step.ending}


def test_jacks_that_read_otherwise_are_labels_to_renew() -> None:
    wired = BASE + BAY + cable("A1", "deck/out 1", "north/top 5")
    made = job_of(BASE + BAY, wired)
    (strip,) = [told for told in made.bench if told.kind == "strip"]
    assert strip.text == "Label strip of North bay: column 5 reads otherwise."
    assert strip.lines == ('Top 5: "Deck out 1"',)
    assert "no pitch_mm" in strip.mind[0]
    scaled = [text.replace("columns = 24", "columns = 24\npitch_mm = 18") for text in (BASE + BAY, wired)]
    (printed,) = [told for told in job_of(*scaled).bench if told.kind == "strip"]
    assert "routecode labels" in printed.mind[0]
    (gone,) = [told for told in job_of(wired, BASE + BAY).bench if told.kind == "strip"]
    assert gone.lines == ("Top 5: blank",)


def test_a_label_and_a_group_alone_are_something_for_the_hands() -> None:
    own = BAY + '[[bay.north.column]]\nat = "1..2"\nlabel_top = ["Left", "Right"]\ngroup = "Deck"\n'
    made = job_of(BASE + BAY, BASE + own)
    assert (made.idle, made.empty, made.racks) == (True, False, ())
    (strip,) = made.bench
    assert strip.lines[0] == 'Group over columns 1-2: "Deck"'


def test_another_loom_and_flags_of_moved_cables_are_told() -> None:
    one, other = (cable("A1", "deck/out 1", "rec/in 1", loom=loom) for loom in ("Hall", "Stage"))
    (loom,) = job_of(BASE + one, BASE + other).bench
    assert (loom.kind, loom.text) == ("loom", "A1 belongs to loom Stage now.")
    moved = job_of(BASE + cable("A1", "deck/out 1", "rec/in 1"), BASE + cable("A1", "deck/out 1", "rec/in 2"))
    assert [told.text for told in moved.bench] == ["Renew the flags of A1: same number, other ends."]


SETUP = '[setup.one]\ntitle = "Speech"\n[[setup.one.cord]]\nfrom = "north/top 1"\nto = "north/bottom {}"\n'


def test_a_cord_that_moves_in_a_setup_is_a_patch_sheet_that_changes() -> None:
    before, after = (BASE + BAY + SETUP.format(number) for number in (3, 4))
    made = job_of(before, after)
    assert made.idle
    assert not made.empty
    (patch,) = made.patches
    assert (patch.title, patch.presence) == ("Speech", "other")
    assert patch.lines == ("Cord from North bay top 1: to North bay bottom 4, not to North bay bottom 3.",)
    (back,) = job_of(after, before).patches
    assert back.lines == ("Cord from North bay top 1: to North bay bottom 3, not to North bay bottom 4.",)
    assert [each.presence for each in job_of(BASE + BAY, after).patches] == ["new"]
    assert [each.presence for each in job_of(after, BASE + BAY).patches] == ["gone"]
    assert job_of(after, after).patches == ()


def forked(*stops: str) -> str:
    return f'[setup.one]\ntitle = "Speech"\n[[setup.one.cord]]\nfrom = "north/top 1"\nto = {list(stops)}\n'


def test_a_y_cord_is_one_line_of_a_patch_sheet() -> None:
    """Two lines would be two plugs in one jack."""
    jacks = [f"north/bottom {number}" for number in (2, 3, 4)]
    two, other = forked(*jacks[:2]), forked(jacks[0], jacks[2])
    (new,) = job_of(BASE + BAY, BASE + BAY + two).patches
    assert new.lines == ("Y-cord from North bay top 1 to North bay bottom 2 and North bay bottom 3.",)
    (moved,) = job_of(BASE + BAY + two, BASE + BAY + other).patches
    assert moved.lines == (
        "Y-cord from North bay top 1: to North bay bottom 2 and North bay bottom 4, "
        "not to North bay bottom 2 and North bay bottom 3.",
    )
    (plain,) = job_of(BASE + BAY + two, BASE + BAY + SETUP.format(3)).patches
    assert plain.lines == (
        "Y-cord from North bay top 1 to North bay bottom 2 and North bay bottom 3: no longer.",
        "Cord from North bay top 1 to North bay bottom 3: new.",
    )
    again = forked(jacks[1], jacks[0])
    assert job_of(BASE + BAY + two, BASE + BAY + again).patches == ()


def test_every_id_of_a_result_has_a_page_that_begins_with_it() -> None:
    for rule in RESULT_RULES:
        assert rule.page.startswith(f"{rule.id}: ")
        assert "What it says:" in rule.page
        assert max(map(len, rule.page.splitlines())) <= 140


def test_a_line_that_is_turned_round_says_so_at_the_step() -> None:
    straight, turned = (cable("A1", "deck/out 1", "rec/in 1", **keys) for keys in ({}, {"polarity": "reversed"}))
    for before, after, said in (
        (straight, turned, "Hot and cold are exchanged"),
        (turned, straight, "Hot goes to hot"),
    ):
        (lay,) = [told for told in job_of(BASE + before, BASE + after).racks if told.kind == "lay"]
        assert any(line.startswith(said) for line in lay.mind)


def test_a_cable_that_is_used_on_says_which_connector_it_needs() -> None:
    late = '[unit.late]\ntitle = "Late"\nrack = "left"\n[[unit.late.port]]\nname = "in 1"\ndirection = "in"\nsignal = "line"\nconnector = "trs"\n'
    before = BASE + late
    made = job_of(before + cable("A1", "deck/out 1", "rec/in 1"), before + cable("A1", "deck/out 1", "late/in 1"))
    (lay,) = [told for told in made.racks if told.kind == "lay"]
    assert any(line.startswith("Fit to it first: trs") for line in lay.mind)
