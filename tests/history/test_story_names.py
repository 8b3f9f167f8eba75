"""Places followed through renames, moves and renumbering, places that went and came back, and what stands about them; on a small
studio whose every revision is an edit made here by hand. What a place was called before is what was replaced here.
"""

import pytest

from routecode.ground.finding import Severity
from routecode.history.story import APPEARED, BROKEN, CHANGED, WENT, Story, story
from routecode.history.story_fails import FINDING, GONE, NEED, PATH
from routecode.show.starter import starter
from tests.history.story_truth import Texts, cold, line_of, replayed, through

Edit = tuple[str, str, str]
"""A file, what it said, what it says."""


def plain() -> dict[str, bytes]:
    return {name: text.encode() for name, text in starter("Small").items() if not name.startswith(".")}


def revisions(*edits: Edit | list[Edit]) -> list[Texts]:
    """The starter studio, then one revision for each edit or list of edits."""
    found: list[Texts] = [plain()]
    for each in edits:
        texts = dict(found[-1])
        for name, was, now in each if isinstance(each, list) else [each]:
            assert was.encode() in texts[name], was
            texts[name] = texts[name].replace(was.encode(), now.encode())
        found.append(texts)
    return found


def told(found: list[Texts], place: str, setup: str | None = None) -> Story:
    one = story(line_of(found), place, setup)
    assert isinstance(one, Story)
    return one


CUT = ("cables.toml", 'from = "live/line 1..8"\nto = "pre/mic 1..8"', 'from = "live/line 1..7"\nto = "pre/mic 1..7"')
RENUMBER = ("cables.toml", 'number = "L1..8"', 'number = "L1..7"')
BREAK = ("setups.toml", "[setup.voice]", "[setup.voice")


def unit_renamed(was: str) -> list[Edit]:
    return [
        ("equipment.toml", "[unit.pre]\n", f"[unit.west]\n{was}"),
        ("bays/main.toml", "pre/out", "west/out"),
        ("cables.toml", "pre/mic", "west/mic"),
        ("setups.toml", "pre/mic", "west/mic"),
    ]


# -- renames -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("was", "how"), [('was = "pre"\n', "declared"), ("", "proved")])
@pytest.mark.parametrize("asked", ["west/out 2", "pre/out 2"])
def test_a_unit_called_otherwise(was: str, how: str, asked: str) -> None:
    found = told(revisions([CUT, RENUMBER], unit_renamed(was)), asked)
    assert found.place.name == "west/out 2"
    assert [(one.kind, one.at, one.place.name, one.was and one.was.name, one.how) for one in found.moments] == [
        (CHANGED, 0, "west/out 2", "pre/out 2", how),
        (APPEARED, 2, "pre/out 2", None, ""),
    ]


def test_a_unit_probably_called_otherwise_is_said_to_be_so() -> None:
    edits = [
        *unit_renamed(""),
        ("bays/main.toml", 'west/out 1..8"', 'west/out 1..7"'),
        ("bays/main.toml", "line 1..8", "line 1..7"),
    ]
    edits += [
        ("bays/main.toml", 'at = "1..8"', 'at = "1..7"'),
        ("equipment.toml", 'title = "Preamp"', 'title = "West"'),
    ]
    found = told(revisions(edits), "west/out 2")
    (renamed,) = [one for one in found.moments if one.was is not None]
    assert (renamed.was and renamed.was.name, renamed.how) == ("pre/out 2", "probable")


def test_a_port_called_otherwise_and_its_loss_after_it() -> None:
    port = (
        "equipment.toml",
        'name = "line 1..8"\ndirection = "in"',
        'name = "input 1..8"\nwas = "line 1..8"\ndirection = "in"',
    )
    rest = [("bays/main.toml", "rec/line", "rec/input"), ("setups.toml", "rec/line", "rec/input")]
    found = told(revisions([port, *rest], [CUT, RENUMBER]), "rec/line 8")
    assert found.place.name == "rec/input 8"
    (since,) = found.since
    assert (since.kind, since.since, since.until) == (PATH, 0, 1)
    assert since.paths == (("live/line 8", "rec/input 8"),)
    assert [(one.at, one.was and one.was.name, one.how) for one in found.moments] == [
        (0, None, ""),
        (1, "rec/line 8", "declared"),
        (2, None, ""),
    ]


def test_a_path_lost_before_its_source_was_called_otherwise_and_made_again_is_not_missed() -> None:
    live = [
        ("equipment.toml", "unit.live", "unit.hall"),
        ("equipment.toml", "[unit.hall]", '[unit.hall]\nwas = "live"'),
        ("cables.toml", "live/", "hall/"),
        ("setups.toml", "live/", "hall/"),
    ]
    back = [(name, now.replace("live/", "hall/"), was.replace("live/", "hall/")) for name, was, now in (CUT, RENUMBER)]
    found = told(revisions([CUT, RENUMBER], live, back), "rec/line 8")
    assert found.since == ()
    assert [one.at for one in found.moments] == [0, 2, 3]


def test_a_column_that_moved_with_all_that_is_wired_there() -> None:
    found = told(revisions(("bays/main.toml", "at = 17", "at = 20")), "main/top 20", None)
    assert [(one.at, one.place.name, one.was and one.was.name, one.how) for one in found.moments] == [
        (0, "main/top 20", "main/top 17", "proved"),
        (1, "main/top 17", None, ""),
    ]


def test_a_cable_with_another_number() -> None:
    for asked in ("X3", "L3", "cable X3"):
        found = told(revisions(("cables.toml", "L1..8", "X1..8")), asked)
        assert [(one.at, one.place.name, one.was and one.was.name) for one in found.moments] == [
            (0, "X3", "L3"),
            (1, "L3", None),
        ]


def test_a_setup_called_otherwise() -> None:
    edits = revisions(
        ("setups.toml", "setup.voice", "setup.talk"), ("setups.toml", 'to = "main/bottom 17"', 'to = "main/bottom 18"')
    )
    edits[1] = {
        **edits[1],
        "setups.toml": edits[1]["setups.toml"].replace(b"[setup.talk]", b'[setup.talk]\nwas = "voice"'),
    }
    edits[2] = {
        **edits[2],
        "setups.toml": edits[2]["setups.toml"].replace(b"[setup.talk]", b'[setup.talk]\nwas = "voice"'),
    }
    found = told(edits, "comp/out", "talk")
    (lost,) = [one for one in found.since if one.kind == PATH]
    assert (lost.setup, lost.since, lost.until) == ("talk", 0, 1)
    assert lost.paths == (("live/line 1", "rec/line 1"),)
    assert [one.at for one in found.moments] == [0, 2]


# -- gone, and back ------------------------------------------------------------------------------------------------------

NO_COMP = [
    ("equipment.toml", '[unit.comp]\nmodel = "compressor"\ntitle = "Compressor"\nrack = "left"\n', ""),
    ("bays/main.toml", '[[bay.main.column]]\nat = 17\ntop = "comp/out"\nbottom = "comp/in"\nnormal = "none"\n', ""),
    (
        "setups.toml",
        'path = ["live/line 1", "pre/mic 1", "comp/in", "rec/line 1"]',
        'path = ["live/line 1", "pre/mic 1", "rec/line 1"]',
    ),
]
COMP_AGAIN = [(name, now, was) for name, was, now in NO_COMP if now]
OTHER = ("cables.toml", 'title = "Installation pair"', 'title = "Pair"')


def test_a_place_that_is_gone_has_a_story() -> None:
    found = told(revisions(OTHER, NO_COMP, ("cables.toml", '"Pair"', '"Two wires"')), "comp/out", "voice")
    assert not found.stands
    assert (found.last, found.place.name) == (2, "comp/out")
    assert [(one.kind, one.at, one.before) for one in found.moments] == [(WENT, 1, 2), (APPEARED, 3, None)]
    (since,) = found.since
    assert (since.kind, since.since, since.until) == (GONE, 1, 2)
    assert any(mark.side == "before" and mark.text == "[unit.comp]" for mark in since.marks)
    assert found.moments[0].states[0].lost == (("live/line 1", "rec/line 1"),)


def test_a_place_that_went_and_came_back() -> None:
    first = plain()
    without = revisions(NO_COMP)[1]
    found = told(
        [first, without, {**without, "x.toml": b"# nothing\n"}, first, {**first, "x.toml": b"# more\n"}],
        "comp/out",
        "voice",
    )
    assert found.stands
    assert [(one.kind, one.at, one.before) for one in found.moments] == [
        (APPEARED, 1, 2),
        (WENT, 3, 4),
        (APPEARED, 4, None),
    ]
    assert found.since == ()


def test_another_thing_of_the_name_is_another_story() -> None:
    """What was called pre is called west since; the new pre is not it."""
    renamed = revisions(unit_renamed('was = "pre"\n'))
    again = dict(renamed[1])
    again["equipment.toml"] += b'\n[unit.pre]\nmodel = "compressor"\ntitle = "Another"\nrack = "left"\n'
    found = told([*renamed, again], "pre")
    assert [(one.kind, one.at) for one in found.moments] == [(APPEARED, 0)]


# -- what stands ---------------------------------------------------------------------------------------------------------


def test_a_finding_is_followed_to_where_it_began() -> None:
    twice = ("cables.toml", "# Cables that", '[[cable]]\nfrom = "rec/mix 1"\nto = "near/in 2"\n# Cables that')
    found = told(revisions(OTHER, twice, ("cables.toml", '"Pair"', '"Two wires"')), "near/in 2")
    findings = [one for one in found.since if one.kind == FINDING]
    assert findings
    assert all(one.finding is not None and one.finding.severity is not Severity.NOTE for one in findings)
    assert {(one.since, one.until) for one in findings} == {(1, 2)}
    assert any("rec/mix 1" in mark.text or "near/in 2" in mark.text for one in findings for mark in one.marks)


def test_a_need_that_was_never_met_says_so() -> None:
    need = (
        "setups.toml",
        '"comp/in", "rec/line 1"]',
        '"comp/in", "rec/line 1"]\n[[setup.voice.need]]\npath = ["live/line 2", "rec/line 5"]',
    )
    found = told(revisions(need, OTHER), "rec/line 5", "voice")
    (since,) = [one for one in found.since if one.kind == NEED]
    assert (since.since, since.until) == (1, None)
    assert since.need is not None
    assert since.need.steps == ("live/line 2", "rec/line 5")
    assert [mark.text for mark in since.marks] == ['path = ["live/line 2", "rec/line 5"]']


def test_a_need_broken_and_followed_over_revisions_that_do_not_compile() -> None:
    lines = revisions(
        OTHER,
        BREAK,
        [("setups.toml", "[setup.voice\n", "[setup.voice]\n"), CUT_ONE],
        ("cables.toml", '"Pair"', '"Two wires"'),
    )
    found = told(lines, "pre/mic 1", "voice")
    assert {(one.kind, one.since, one.until, one.unsure) for one in found.since} == {(NEED, 1, 3, 1), (PATH, 1, 3, 1)}
    assert [(one.kind, one.at, one.until) for one in found.moments if one.kind == BROKEN] == [(BROKEN, 2, 2)]


CUT_ONE = (
    "cables.toml",
    'number = "L1..8"\nfrom = "live/line 1..8"\nto = "pre/mic 1..8"',
    'number = "L2..8"\nfrom = "live/line 2..8"\nto = "pre/mic 2..8"',
)


def test_the_newest_revisions_do_not_compile() -> None:
    found = told(revisions(CUT_ONE, BREAK, OTHER), "pre/mic 1")
    assert found.newest == 2
    assert [(one.kind, one.at, one.until) for one in found.moments] == [
        (BROKEN, 0, 1),
        (CHANGED, 2, 0),
        (APPEARED, 3, 0),
    ]
    assert {one.since for one in found.since} == {2}


def test_the_line_that_did_it_is_the_line_that_was_edited() -> None:
    found = told(revisions(("bays/main.toml", 'normal = "half"', 'normal = "none"')), "rec/line 3")
    (since,) = found.since
    assert [(mark.side, mark.spot.file, mark.text) for mark in since.marks] == [
        ("after", "bays/main.toml", 'normal = "none"')
    ]
    away = told(
        revisions(("equipment.toml", '[unit.pre]\nmodel = "pre8"', '[unit.pre]\nmodel = "pre8"\naway = "in repair"')),
        "rec/line 3",
    )
    assert [mark.text for one in away.since for mark in one.marks] == ['away = "in repair"']


def test_lost_and_made_again_is_told_and_not_missed() -> None:
    lines = revisions(CUT_ONE, OTHER)
    lines.append({**lines[-1], "cables.toml": plain()["cables.toml"]})
    found = told(lines, "rec/line 1")
    assert found.since == ()
    assert [(one.at, [(each.lost, each.gained) for each in one.states]) for one in found.moments[:2]] == [
        (0, [((), (("live/line 1", "rec/line 1"),))]),
        (2, [((("live/line 1", "rec/line 1"),), ())]),
    ]
    assert replayed(found, len(lines)) == [through(cold(one), "rec/line 1") for one in reversed(lines)]
