"""What changed is told by a word, a dash pattern and a colour; what did not is quiet; ranges are folded without hiding anything."""

import itertools

import pytest

from routecode.show.drawing import around, look
from routecode.show.drawing.compare import Mark, compared
from routecode.show.drawing.drawing import Plan
from routecode.show.drawing.paint import View
from tests.drawing.studios import AFTER, BEFORE, asked, circuit, made, planned, shapes

OKABE_ITO = {"#0072B2", "#D55E00"}
"""Two of the eight colours of Okabe and Ito, Color Universal Design (2008), from memory."""


def changed(setup: str | None = None) -> Plan:
    return planned(asked(circuit(AFTER), circuit(BEFORE), setup))


def test_new_and_gone_lines_carry_word_dash_and_colour() -> None:
    laid = changed()
    found = shapes(made(laid, View.CHANGE), "change-")
    for mark in (Mark.NEW, Mark.GONE):
        lines = [line for line in laid.picture.lines if line.mark is mark]
        assert lines
        for line in lines:
            seen = look.line_look(line.kind, line.count, mark, True)
            assert mark.value in found[f"{line.id}-label"].texts[0].split()
            assert set(found[line.id].strokes) == {seen.colour.lower()}
            assert found[line.id].dashes == (" ".join(f"{part:g}" for part in seen.dash),)
            assert found[line.id].title.endswith(mark.value)


def test_unchanged_lines_carry_none_of_it() -> None:
    laid = changed()
    found = shapes(made(laid, View.CHANGE), "change-")
    marked = {look.colour(mark, "").lower() for mark in (Mark.NEW, Mark.GONE, Mark.CHANGED)}
    same = [line for line in laid.picture.lines if line.mark is Mark.SAME]
    assert len(same) > 3
    for line in same:
        assert not marked & set(found[line.id].strokes)
        assert set(found[line.id].dashes) == {""}


def test_the_looks_of_all_marks_differ_in_colour_and_dash() -> None:
    for kind in ("cable", "cord"):
        looks = [look.line_look(kind, 1, mark, True) for mark in Mark]
        for one, other in itertools.combinations(looks, 2):
            assert one.colour != other.colour
            assert one.dash != other.dash or one.wide != other.wide
    assert {look.colour(Mark.NEW, ""), look.colour(Mark.GONE, "")} == OKABE_ITO


def contrast(colour: str) -> float:
    """Contrast with white, by the formula of WCAG 2.1 (relative luminance), from memory."""
    parts = [int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5)]
    red, green, blue = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 1.05 / (0.2126 * red + 0.7152 * green + 0.0722 * blue + 0.05)


def test_texts_and_lines_keep_their_contrast() -> None:
    assert contrast("#000000") > 20.9
    assert contrast(look.INK) > 7
    assert contrast(look.QUIET) > 4.5
    assert all(contrast(look.colour(mark, "")) > 3 for mark in (Mark.NEW, Mark.GONE, Mark.CHANGED))


def test_each_view_shows_its_own_side() -> None:
    laid = changed()
    gone = {line.id for line in laid.picture.lines if line.mark is Mark.GONE}
    new = {line.id for line in laid.picture.lines if line.mark is Mark.NEW}
    before = shapes(made(laid, View.BEFORE), "before-").keys()
    after = shapes(made(laid, View.AFTER), "after-").keys()
    assert gone <= before
    assert not gone & after
    assert new <= after
    assert not new & before


def test_a_new_unit_and_a_changed_normal_are_told() -> None:
    laid = changed()
    texts = [text for shape in shapes(made(laid, View.CHANGE), "change-").values() for text in shape.texts]
    unit = next(block for block in laid.picture.blocks if block.of == "eq")
    assert unit.mark is Mark.NEW
    assert [word.text for word in unit.words] == ["new", "Equaliser"]
    assert "changed" in texts
    assert "Equaliser" not in [
        text for shape in shapes(made(laid, View.BEFORE), "before-").values() for text in shape.texts
    ]


def test_a_crossed_pair_is_never_folded_away() -> None:
    laid = changed()
    crossed = [line for line in laid.picture.lines if line.mark is Mark.NEW and line.b.edge == "n" and line.count == 1]
    said = sorted(line.said for line in crossed)
    assert "Cable from Wall box line 1 to North bay top 2, new" in said
    assert "Cable from Wall box line 2 to North bay top 1, new" in said


def test_lines_that_go_alike_are_one_with_a_count() -> None:
    laid = planned(asked(circuit(BEFORE)))
    counts = {line.said: line.count for line in laid.picture.lines}
    assert counts["Cable from Wall box line 1–8 to North bay top 1–8, 8 in order".replace("Cable", "Cables")] == 8
    assert sum(counts.values()) == len(circuit(BEFORE).plant.wires)


def test_every_cord_is_a_line_between_bands_or_a_lane_within_one() -> None:
    laid = planned(asked(circuit(BEFORE), setup="take"))
    cords = [stroke for block in laid.picture.blocks for stroke in block.strokes if stroke.kind == "cord"]
    lines = [line for line in laid.picture.lines if line.kind == "cord"]
    assert len(lines) == 2
    assert len(cords) == 4, "each goes from band to band, with a piece in either"
    one = planned(asked(circuit(BEFORE.replace('to = "south/bottom 3"', 'to = "south/bottom 9"')), setup="take"))
    assert sum(stroke.kind == "cord" for block in one.picture.blocks for stroke in block.strokes) == 3
    assert sum(line.kind == "cord" for line in one.picture.lines) == 1
    found = shapes(made(laid, View.ONE))
    dash = " ".join(f"{part:g}" for part in look.line_look("cord", 1, Mark.SAME, False).dash)
    assert all(found[line.id].dashes == (dash,) for line in lines)


def test_a_cord_that_breaks_a_normal_opens_its_stroke() -> None:
    def reach(setup: str | None) -> set[bool]:
        laid = planned(asked(circuit(BEFORE), setup=setup))
        band, port = next(
            (block, slot)
            for block in laid.picture.blocks
            for slot in block.slots
            if block.of == "south" and slot.label in ("3", "3–4")
        )
        inside = [s for s in band.strokes if s.kind == "normal" and port.left < s.points[0][0] < port.left + port.wide]
        low, high = band.gap
        return {stroke.points[0][1] == low and stroke.points[-1][1] == high for stroke in inside}

    assert reach(None) == {True, False}, "a stroke from row to row, and the bar on it"
    assert reach("take") == {False}


def test_a_renamed_unit_is_one_block_with_both_names() -> None:
    after = (
        BEFORE.replace("[unit.pre]", '[unit.amp]\nwas = "pre"')
        .replace('"Preamp"', '"Amplifier"')
        .replace("pre/", "amp/")
    )
    laid = planned(asked(circuit(after), circuit(BEFORE)))
    assert {line.mark for line in laid.picture.lines} == {Mark.SAME}
    unit = next(block for block in laid.picture.blocks if block.of == "amp")
    assert unit.mark is Mark.CHANGED
    shown = {
        view: [t for s in shapes(made(laid, view), f"{view.value}-").values() for t in s.texts] for view in laid.views
    }
    assert "Preamp" in shown[View.BEFORE]
    assert "Amplifier" not in shown[View.BEFORE]
    assert "Amplifier" in shown[View.AFTER]


def test_a_unit_that_moved_stands_in_no_room() -> None:
    after = BEFORE.replace('title = "Compressor"\nroom = "control"', 'title = "Compressor"\nroom = "hall"')
    laid = planned(asked(circuit(after), circuit(BEFORE)))
    unit = next(block for block in laid.picture.blocks if block.of == "comp")
    assert (unit.room, unit.mark) == ("", Mark.CHANGED)


def test_a_large_studio_is_drawn_around_its_change() -> None:
    def large(last: str) -> str:
        units = "".join(
            f'[unit.a{n}]\nport = [{{ name = "out", direction = "out", signal = "line" }}]\n'
            f'[unit.b{n}]\nport = [{{ name = "in", direction = "in", signal = "line" }}]\n'
            for n in range(150)
        )
        cables = "".join(f'[[cable]]\nfrom = "a{n}/out"\nto = "b{n}/in"\n' for n in range(149))
        return (
            f'[studio]\ntitle = "Large"\nlanguage = 1\n{units}{cables}[[cable]]\nfrom = "a149/out"\nto = "{last}/in"\n'
        )

    one, other = circuit(large("b149")), circuit(large("b0"))
    near = planned(asked(other, one))
    assert {block.of for block in near.picture.blocks} == {"a149", "b149", "b0", "a0"}
    assert "a part: 4 of 300" in near.foot(View.CHANGE)
    assert len(planned(asked(other, one, whole=True)).picture.blocks) == 300
    assert {block.of for block in planned(asked(one, place="b7/in")).picture.blocks} == {"a7", "b7"}


@pytest.mark.parametrize("steps", range(4))
@pytest.mark.parametrize("setup", [None, "take"])
def test_no_change_is_drawn_by_half(setup: str | None, steps: int) -> None:
    """Where one end of a new or gone cable is drawn, the other is too, however far around a place or a change is drawn."""
    both = compared(circuit(BEFORE), circuit(AFTER), setup)
    differing = [joint for joint in both.joints if joint.mark is not Mark.SAME]
    ends = {around.step(end) for joint in differing for end in (joint.a, joint.b)}
    for start in sorted(ends | {("comp", ""), ("pre", "")}):
        part = around.nearby(both, {start}, steps)
        kept = {(unit, "") for unit in part.units} | part.columns
        for joint in differing:
            assert (around.step(joint.a) in kept) == (around.step(joint.b) in kept), (start, joint)
