"""What stands on a strip, where its columns are, how it is cut and shortened; flags for cables. Figures are worked out by hand."""

import math
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecode.circuit.plant import Plant
from routecode.ground.finding import Mistake
from routecode.hands.labels import Label, groups, labels
from routecode.hands.labels_flags import USUAL_OD, flags
from routecode.hands.labels_geometry import USUAL_HIGH, Geometry, Piece, gaps_after, geometry, pieces
from routecode.hands.labels_short import CUT, RULES, USUAL, forms
from routecode.show.labels_blocks import FLAG_HALF, FLAG_HIGH
from routecode.show.labels_fit import LARGEST, LEAST, SQUEEZE
from tests.hands.label_studios import bay, studio

BOX = """
[unit.box]
title = "Hall wall box"
room = "r"
port = [{ name = "line 1..8", direction = "out", signal = "line" }, { name = "talk", direction = "out", signal = "line" }]
[unit.tape]
title = "Tape"
room = "r"
port = [{ name = "out left", direction = "out", signal = "line" }, { name = "out right", direction = "out", signal = "line" },
  { name = "in L", direction = "in", signal = "line" }, { name = "in R", direction = "in", signal = "line" }]
"""


def said(plant: Plant, **more: bool) -> list[tuple[str, int, int, str]]:
    placed = plant.bays["b"]
    return [(one.row, one.first, one.last, one.whole) for one in labels(plant, placed, gaps_after(placed), **more)]


def test_neighbours_that_count_on_have_one_label_and_a_gap_ends_it() -> None:
    plant = studio(BOX, bay(gaps="{ after = 4, mm = 3 }"), '[[bay.b.column]]\nat = "1..8"\ntop = "box/line 1..8"\n')
    assert said(plant) == [("top", 1, 4, "Hall wall box line 1–4"), ("top", 5, 8, "Hall wall box line 5–8")]
    assert said(plant, each=True) == [("top", n, n, f"Hall wall box line {n}") for n in range(1, 9)]


def test_a_run_ends_where_the_numbers_do_not_go_on() -> None:
    column = '[[bay.b.column]]\nat = "1..4"\ntop = ["box/line 1", "box/line 2", "box/line 4", "box/talk"]\n'
    assert [text for *_, text in said(studio(BOX, bay(), column))] == [
        "Hall wall box line 1–2",
        "Hall wall box line 4",
        "Hall wall box talk",
    ]


def test_a_stereo_pair_has_one_label() -> None:
    column = """
[[bay.b.column]]
at = "1..2"
top = ["tape/out left", "tape/out right"]
bottom = ["tape/in L", "tape/in R"]
"""
    found = labels(plant := studio(BOX, bay(), column), plant.bays["b"])
    assert [(one.row, one.columns, one.whole, one.tails) for one in found] == [
        ("top", range(1, 3), "Tape out L/R", ("L", "R")),
        ("bottom", range(1, 3), "Tape in L/R", ("L", "R")),
    ]


def test_right_before_left_is_no_pair() -> None:
    column = '[[bay.b.column]]\nat = "1..2"\ntop = ["tape/out right", "tape/out left"]\n'
    assert [text for *_, text in said(studio(BOX, bay(), column))] == ["Tape out right", "Tape out left"]


def test_own_labels_win_and_equal_neighbours_share_one() -> None:
    column = """
[[bay.b.column]]
at = "1..4"
top = "box/line 1..4"
label_top = ["Choir", "Choir", "Solo 1", "Solo 2"]
"""
    assert said(studio(BOX, bay(), column)) == [("top", 1, 2, "Choir"), ("top", 3, 4, "Solo 1–2")]


def test_what_is_reserved_is_said_and_several_cables_are_all_named() -> None:
    more = """
[[bay.b.column]]
at = "1..2"
reserved = "second desk"
[[cable]]
from = "box/line 1"
to = [["b/top 3"], ["b/top 4"]]
[[cable]]
from = "box/talk"
to = "b/bottom 5"
"""
    assert said(studio(BOX, bay(), more)) == [
        ("top", 1, 2, "second desk"),
        ("top", 3, 3, "Hall wall box line 1"),
        ("top", 4, 4, "Hall wall box line 1"),
        ("bottom", 5, 5, "Hall wall box talk"),
    ]


def test_a_group_ends_a_label_and_has_its_own_title() -> None:
    column = """
[[bay.b.column]]
at = "1..8"
top = "box/line 1..8"
[[bay.b.column]]
at = "1..5"
group = "Hall"
"""
    plant = studio(BOX, bay(gaps=""), column)
    assert [(one.first, one.last, one.text) for one in groups(plant.bays["b"])] == [(1, 5, "Hall")]
    assert [one[1:3] for one in said(plant)] == [(1, 5), (6, 8)]


# -- shortening ---------------------------------------------------------------------------------------------------------


def ladder(head: str, stem: str, *tails: str, group: str = "", own: bool = False) -> list[tuple[str, str]]:
    label = Label("top", 1, len(tails), head, stem, tails, own)
    return [(form.rule, form.text(label.span)) for form in forms(label, group)]


def test_the_ladder_of_forms() -> None:
    assert ladder("Preamplifier West", "output", "3") == [
        ("whole", "Preamplifier West output 3"),
        ("usual", "Pre West Out 3"),
        ("three", "Pre Wes Out 3"),
        ("initials", "PW Out 3"),
        ("close", "PWOut3"),
        ("port", "Out3"),
        ("number", "3"),
    ]
    assert ladder("Narration booth", "headset", "")[1] == ("vowels", "Nrtn bth hdst")


def test_what_the_title_of_the_group_says_is_not_repeated() -> None:
    assert ladder("Hall wall box", "line", "3", group="Hall")[0] == ("whole", "wall box line 3")
    assert ladder("Hall", "line", "3", group="Hall")[0] == ("whole", "line 3")
    assert ladder("Hall", "", "3", group="Hall")[0] == ("whole", "Hall 3")
    assert ladder("Hall", "", "left", group="Hall")[0] == ("whole", "left")
    assert ladder("Hallway", "", "3", group="Hall")[0] == ("whole", "Hallway 3")
    assert ladder("", "Hall mics", "3", group="Hall", own=True)[0] == ("whole", "Hall mics 3"), "own words are kept"


def test_three_letters_keep_their_marks_and_numbers_stay_whole() -> None:
    assert dict(ladder("שָׁלוֹם גדול", "in", ""))["three"].split()[0] == "שָׁלוֹ"
    assert "1234" in dict(ladder("Booth 1234", "in", "1"))["three"]


@given(st.text(max_size=30), st.text(max_size=20), st.sampled_from(["", "3", "L"]))
def test_every_form_has_a_rule_that_is_told_and_keeps_the_tail(head: str, stem: str, tail: str) -> None:
    for rule, text in ladder(head, stem, tail):
        assert rule == "whole" or rule in RULES
        assert text.endswith(tail)
    assert CUT in RULES


# -- geometry -----------------------------------------------------------------------------------------------------------


def shape() -> Geometry:
    found = geometry(studio(bay()).bays["b"])
    assert isinstance(found, Geometry)
    return found


def test_cells_stand_at_pitch_start_and_gaps() -> None:
    found = shape()  # 24 columns, 8.89 mm apart, the first at 12 mm, 3.2 mm more after column 8
    assert found.cell(1) == pytest.approx((12 - 4.445, 12 + 4.445))
    assert found.cell(8) == pytest.approx((12 + 7 * 8.89 - 4.445, 12 + 7 * 8.89 + 4.445))
    assert found.cell(9) == pytest.approx((12 + 8 * 8.89 + 3.2 - 4.445, 12 + 8 * 8.89 + 3.2 + 4.445))
    assert found.long == pytest.approx(12 + 23 * 8.89 + 3.2 + 12)
    assert found.over(8, 9) == pytest.approx((found.cell(8)[0], found.cell(9)[1]))


def test_from_behind_it_is_mirrored() -> None:
    front = shape()
    rear = front.behind
    for column in range(1, 25):
        assert rear.cell(column) == pytest.approx(
            (front.long - front.cell(column)[1], front.long - front.cell(column)[0])
        )
    assert rear.behind.lefts == pytest.approx(front.lefts)


@pytest.mark.parametrize(
    ("more", "id_"),
    [
        ("pitch", "no-pitch"),
        ("strip_length_mm = 100", "strip-too-short"),
        ("strip_mm = 500", "strip-too-large"),
        ("pitch_mm = 9999", "strip-too-large"),
    ],
)
def test_a_strip_that_cannot_be_is_a_mistake_that_says_what_to_do(more: str, id_: str) -> None:
    text = bay(more="" if more.startswith("pitch") else more)
    text = (
        text.replace("pitch_mm = 8.89\n", "" if more == "pitch" else f"{more}\n") if more.startswith("pitch") else text
    )
    found = geometry(studio(text).bays["b"])
    assert isinstance(found, Mistake)
    assert (found.id, bool(found.do)) == (id_, True)


@given(
    st.integers(1, 96),
    st.floats(3, 20),
    st.floats(0, 60),
    st.floats(60, 400),
    st.booleans(),
    st.dictionaries(st.integers(1, 96), st.floats(0.1, 15), max_size=5),
)
def test_pieces_are_the_strip_cut_between_columns(
    columns: int, pitch: float, start: float, room: float, rear: bool, wider: dict[int, float]
) -> None:
    gaps = ", ".join(f"{{ after = {after}, mm = {mm:.3f} }}" for after, mm in sorted(wider.items()) if after < columns)
    placed = studio(bay(columns, round(pitch, 3), round(start, 3), gaps)).bays["b"]
    found = geometry(placed)
    assert isinstance(found, Geometry)
    found = found.behind if rear else found
    made = pieces(placed, found, room)
    if isinstance(made, Mistake):
        assert made.id == "piece-too-long"
        assert start + pitch > room or max(wider.values(), default=0) + pitch > room
        return
    assert (made[0].left, made[-1].right) == (0.0, found.long)
    assert [one.right for one in made[:-1]] == [one.left for one in made[1:]]
    assert sorted(column for one in made for column in range(one.first, one.last + 1)) == list(range(1, columns + 1))
    for one in made:
        assert 0 < one.right - one.left <= room + 1e-6
        for column in range(one.first, one.last + 1):
            left, right = found.cell(column)
            assert one.left - 1e-6 <= left < right <= one.right + 1e-6, "no cell is cut"


def test_pieces_are_the_fewest_and_even() -> None:
    placed = studio(bay(48, 8.89, 4.445, "")).bays["b"]
    found = geometry(placed)
    assert isinstance(found, Geometry)
    made = pieces(placed, found, 273)
    assert not isinstance(made, Mistake)
    assert [(one.first, one.last) for one in made] == [(1, 24), (25, 48)]
    assert isinstance(made[0], Piece)


# -- flags --------------------------------------------------------------------------------------------------------------

CABLES = """
[cable_type.pair]
od_mm = 3.5
[[cable]]
number = "L1..2"
from = "box/line 1..2"
to = "b/top 1..2"
type = "pair"
[[cable]]
number = "M1"
from = "box/line 3..8"
to = "b/top 3..8"
[[cable]]
from = "box/talk"
to = "b/top 9"
[[cable]]
number = "X9"
from = "old desk"
to = "under the floor"
status = "dead"
"""


def test_flags_are_two_for_each_numbered_cable_and_a_multipair_is_one_cable() -> None:
    found = flags(studio(BOX, bay(), CABLES))
    assert found.unnumbered == 1
    assert [(flag.number, flag.here, flag.there, flag.dead) for flag in found.flags] == [
        ("L1", "Hall wall box line 1", "Bay top 1", False),
        ("L1", "Bay top 1", "Hall wall box line 1", False),
        ("L2", "Hall wall box line 2", "Bay top 2", False),
        ("L2", "Bay top 2", "Hall wall box line 2", False),
        ("M1", "Hall wall box lines 3-8", "Bay top 3-8", False),
        ("M1", "Bay top 3-8", "Hall wall box lines 3-8", False),
        ("X9", "old desk", "under the floor", True),
        ("X9", "under the floor", "old desk", True),
    ]


def test_a_flag_wraps_once_around() -> None:
    found = {flag.number: flag for flag in flags(studio(BOX, bay(), CABLES)).flags}
    assert found["L1"].wrap_mm == pytest.approx(math.pi * 3.5)
    assert found["M1"].od_mm is None
    assert found["M1"].wrap_mm == pytest.approx(math.pi * USUAL_OD)


# -- the page -----------------------------------------------------------------------------------------------------------

PAGE = (Path(__file__).resolve().parents[2] / "routecode" / "pages" / "labels.md").read_text(encoding="utf-8")


def test_the_page_tells_every_rule_in_order_and_every_short_form() -> None:
    told = re.findall(r"^\| \d+ \| `(\w+)` \| ([^|]*) \|", PAGE, re.MULTILINE)
    assert told == list(RULES.items())
    forms_told = PAGE.split("The usual short forms (common practice, no source): ")[1].split(".\n")[0]
    assert " ".join(forms_told.split()) == ", ".join(f"{word} {short}" for word, short in sorted(USUAL.items()))


def test_the_page_tells_the_figures_that_hold() -> None:
    page = " ".join(PAGE.split())
    assert f"`strip_mm` | the height of the strip | {USUAL_HIGH:g} (common practice" in page
    assert f"up to {LARGEST:g} points" in page
    assert f"smallest size is {LEAST:g} points" in page
    assert f"narrowed to {SQUEEZE * 100:g} %" in page
    assert f"{FLAG_HIGH:g} mm high: a half of {FLAG_HALF:g} mm" in page
    assert f"cable of {USUAL_OD:g} mm" in page
