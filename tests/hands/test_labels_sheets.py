"""Sheets of labels read back by an outside reader of PDF: true scale over the whole strip, nothing clipped, every glyph there."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Sequence
from itertools import pairwise
from typing import Any

import pytest

from routecode.circuit.plant import Plant
from routecode.hands.labels_flags import Flag
from routecode.show.labels import Earlier, Sheets, Wanted, labels_of
from routecode.show.labels_blocks import FLAG_HALF, FLAG_HIGH
from routecode.show.labels_fit import LARGEST, LEAST
from routecode.show.labels_paint import pdf, svg
from routecode.show.labels_shapes import Text
from routecode.show.paper import fonts, script
from routecode.show.paper.sheets import Head
from tests.hands.label_studios import NAMES, bay, named, studio
from tests.hands.test_labels import BOX, CABLES
from tests.show.paper_reading import MM, pages, squeezed

HEAD = Head("Small", "Label strips", "the files as they are now", "worktree")
NEAR = 0.05
"""How far an edge may be from where it should be, in millimetres: what the issue asks for."""


def made(plant: Plant, earlier: Earlier | None = None, **wanted: Any) -> Sheets:
    found = labels_of(plant, Wanted(**wanted), HEAD, earlier)
    assert isinstance(found, Sheets), found
    return found


def upright(line: Any) -> bool:
    return bool(abs(line["x1"] - line["x0"]) < 0.001)


def read_strips(data: bytes, scale: float, high: float) -> list[tuple[float, list[float], list[Any], list[Any]]]:
    """Of each piece in the order of the sheets: its length, the ticks above it, its inner upright lines, its signs."""
    found = []
    for page in pages(data):
        lines = [line for line in page.lines if upright(line)]
        tall = [line for line in lines if abs((line["bottom"] - line["top"]) / MM - high * scale) < 0.01]
        for top in sorted({round(line["top"], 2) for line in tall}):
            ends = [line["x0"] for line in tall if abs(line["top"] - top) < 0.02]
            left, right = min(ends), max(ends)
            ticks = sorted(
                (line["x0"] - left) / MM / scale
                for line in lines
                if abs(line["bottom"] - (top - 0.6 * scale * MM)) < 0.02 and (line["bottom"] - line["top"]) / MM < 2
            )
            inner = [
                line for line in lines if line["top"] > top - 0.02 and line["bottom"] < top + high * scale * MM + 0.02
            ]
            chars = [c for c in page.chars if top - 5 < (c["top"] + c["bottom"]) / 2 < top + high * scale * MM + 5]
            chars = [c for c in chars if (c["top"] + c["bottom"]) / 2 > top - 0.5]
            found.append(((right - left) / MM / scale, ticks, inner, chars))
    return found


def wanted_edges(columns: int, pitch: float, start: float, gaps: dict[int, float], rear: bool) -> list[float]:
    """The edges of all cells along the whole strip, worked out from the keys alone."""
    middles = [
        start + (n - 1) * pitch + sum(mm for after, mm in gaps.items() if after < n) for n in range(1, columns + 1)
    ]
    long = middles[-1] + max(start, pitch / 2)
    if rear:
        middles = [long - middle for middle in middles]
    return once([edge for middle in middles for edge in (middle - pitch / 2, middle + pitch / 2)])


def once(edges: Sequence[float]) -> list[float]:
    """Edges from the left, each once: neighbours share one."""
    found = sorted(edges)
    return [found[0], *(b for a, b in pairwise(found) if b - a > 0.01)]


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("rear", [False, True])
@pytest.mark.parametrize("measured", [100.0, 99.4, 101.7])
def test_every_cell_is_within_a_twentieth_of_a_millimetre_over_the_whole_strip(
    paper: str, rear: bool, measured: float
) -> None:
    plant = studio(bay(40, more="strip_mm = 12"), named())
    scale = 100 / measured
    data = pdf(made(plant, paper=paper, rear=rear, measured=measured).pages, "t", "").data
    strips = read_strips(data, scale, 12)
    assert len(strips) == 2, "longer than the paper: two pieces"
    joined, start = [], 0.0
    for long, ticks, _, _ in strips:
        joined += [start + tick for tick in ticks]
        start += long
    expected = wanted_edges(40, 8.89, 12.0, {8: 3.2}, rear)
    assert max(abs(a - b) for a, b in zip(once(joined), expected, strict=True)) < NEAR
    assert start == pytest.approx(12 + 39 * 8.89 + 3.2 + 12, abs=NEAR)


def test_the_ruler_measures_100_mm_after_the_correction() -> None:
    plant = studio(bay(24, more="strip_mm = 12"), BOX)
    for measured in (100.0, 99.4):
        for page in pages(pdf(made(plant, measured=measured).pages, "t", "").data):
            low = [line for line in page.lines if not upright(line) and line["top"] / MM > 195]
            (ruler,) = [line for line in low if abs((line["x1"] - line["x0"]) / MM - 100) < 5]
            printed = (ruler["x1"] - ruler["x0"]) / MM * measured / 100  # a printer that makes 100 mm `measured` long
            assert printed == pytest.approx(100, abs=0.01)


def crossed(char: Any, lines: Sequence[Any]) -> bool:
    """Whether a line goes through the box of a sign."""
    for line in lines:
        if upright(line):
            inside = char["x0"] + 0.01 < line["x0"] < char["x1"] - 0.01
            if inside and line["top"] < char["bottom"] - 0.01 and line["bottom"] > char["top"] + 0.01:
                return True
    return False


@pytest.mark.parametrize("rear", [False, True])
@pytest.mark.parametrize("each", [False, True])
@pytest.mark.parametrize("high", [6.0, 10.0, 16.0])
def test_no_sign_is_clipped_or_missing_in_five_scripts(rear: bool, each: bool, high: float) -> None:
    plant = studio(bay(40, more=f"strip_mm = {high}"), named())
    sheets = made(plant, rear=rear, each=each)
    drawn = pdf(sheets.pages, "t", "")
    assert drawn.lacking == ()
    strips = read_strips(drawn.data, 1, high)
    expected = sum(
        len(squeezed(script.drawn(script.cleaned(word.text))))
        for strip in sheets.strips
        for band in strip.bands
        for cell in band.cells
        for word in cell.words
    )
    assert sum(len(squeezed("".join(c["text"] for c in chars))) for _, _, _, chars in strips) == expected > 0
    for _, _, inner, chars in strips:
        left, right = (pick(line["x0"] for line in inner) for pick in (min, max))
        top, bottom = min(line["top"] for line in inner), max(line["bottom"] for line in inner)
        for char in chars:
            assert left < char["x0"] <= char["x1"] < right
            assert top - 0.01 <= char["top"] < char["bottom"] <= bottom + 0.01
            assert not crossed(char, inner), char["text"]


def test_signs_of_a_label_are_inside_its_cell_and_of_one_size_a_line() -> None:
    for strip in made(studio(bay(40), named())).strips:
        for band in strip.bands:
            assert band.size == 0 or LEAST <= band.size <= LARGEST
            for cell in band.cells:
                assert cell.rule == "whole" or len(cell.shown) < len(cell.whole)
                for word in cell.words:
                    assert cell.left < word.middle < cell.right
                    assert band.top <= band.baseline(cell, word.line) <= band.bottom


def test_type_is_as_large_as_fits() -> None:
    column = '[[bay.b.column]]\nat = "1..8"\ntop = "box/line 1..8"\nlabel_top = "a 1..8"\n'
    small, large = (made(studio(BOX, bay(more=f"strip_mm = {mm}"), column)).strips[0].bands[0] for mm in (10, 14))
    assert LEAST < small.size < large.size <= LARGEST
    # one more step up and the line above the numbers no longer fits: two lines with ascent and descent of the font
    assert (1.0 + 0.928 + 0.236) * (small.size + 0.05) / MM > small.bottom - small.top


def test_what_does_not_fit_is_cut_and_listed_and_below_that_left_blank_and_told() -> None:
    column = f'[[bay.b.column]]\nat = 1\ntop = "box/talk"\nlabel_top = "{"W " * 40}W"\n'
    sheets = made(studio(BOX, bay(), column))
    (cell,) = sheets.strips[0].bands[0].cells
    assert (cell.rule, cell.shown[-1]) == ("cut", "…")
    data = pdf(sheets.pages, "t", "").data
    assert "Shortened" in "".join(c["text"] for c in pages(data)[-1].chars)
    sheets = made(studio(BOX, bay(pitch=1.0, start=1.0), column))
    assert [cell.rule for cell in sheets.strips[0].bands[0].cells] == ["blank"]
    assert "Left blank" in sheets.notes[0]


def test_the_same_bytes_twice() -> None:
    plants = [studio(bay(40), named()) for _ in range(2)]
    assert len({pdf(made(plant).pages, "t", "").data for plant in plants}) == 1
    assert len({svg(made(plant).pages[0], "t") for plant in plants}) == 1


# -- SVG ----------------------------------------------------------------------------------------------------------------

_NS = "{http://www.w3.org/2000/svg}"


def test_svg_is_in_millimetres_with_the_same_cells_and_texts_that_keep_their_room() -> None:
    sheets = made(studio(bay(40, more="strip_mm = 12"), named()))
    root = ET.fromstring(svg(sheets.pages[0], "a <b> & title"))
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("297mm", "210mm", "0 0 297 210")
    lines = [dict(shape.attrib) for shape in root.iter(f"{_NS}line")]
    ticks = [(float(line["y1"]), float(line["x1"])) for line in lines if line["class"] == "tick"]
    rows = sorted({y for y, _ in ticks})[::2]
    starts = [0.0, sheets.strips[0].pieces[0].right]
    found = once([x - 12 + start for y, start in zip(rows, starts, strict=True) for at, x in ticks if at == y])
    expected = wanted_edges(40, 8.89, 12.0, {8: 3.2}, False)
    assert max(abs(a - b) for a, b in zip(found, expected, strict=True)) < NEAR
    texts = [shape for shape in root.iter(f"{_NS}text") if shape.get("class") == "label"]
    assert all(float(shape.get("textLength", "0")) > 0 for shape in texts)
    cells = sorted({float(line["x1"]) for line in lines if line["class"] in ("cell", "edge")})
    for shape in texts:
        middle, long = float(shape.get("x", "0")), float(shape.get("textLength", "0"))
        assert cells[0] < middle - long / 2 < middle + long / 2 < cells[-1]
    assert {element.tag for element in root.iter()} == {
        f"{_NS}{tag}" for tag in ("svg", "title", "rect", "line", "text")
    }


def test_svg_of_hostile_names_is_text_and_nothing_else() -> None:
    for page in made(studio(bay(40), named())).pages:
        text = svg(page, NAMES["hostile"])
        ET.fromstring(text)
        assert "<b>" not in text
        assert not re.search("[\x00-\x08\x0b-\x1f\u202e]", text)


def test_black_is_the_only_colour() -> None:
    text = svg(made(studio(bay(), BOX)).pages[0], "t")
    assert set(re.findall(r"#[0-9A-Fa-f]{6}", text)) == {"#000000", "#FFFFFF"}
    for page in pages(pdf(made(studio(bay(), BOX)).pages, "t", "").data):
        assert {tuple(c["non_stroking_color"]) for c in page.chars} == {(0.0, 0.0, 0.0)}


# -- two revisions ------------------------------------------------------------------------------------------------------


def test_only_the_pieces_that_read_otherwise_are_on_the_sheets() -> None:
    wiring = '[[bay.b.column]]\nat = "1..4"\ntop = "box/line 1..4"\n[[bay.b.column]]\nat = {}\ntop = "box/talk"\n'
    before, after = (studio(BOX, bay(48), wiring.format(at)) for at in (40, 41))
    sheets = made(after, Earlier(before))
    assert [sorted(strip.changed) for strip in sheets.strips] == [[2]]
    assert len(read_strips(pdf(sheets.pages, "t", "").data, 1, 10)) == 1
    assert made(after, Earlier(after)).pages == ()
    other = studio(BOX, bay(48, pitch=8.9), wiring.format(41))
    assert [sorted(strip.changed) for strip in made(other, Earlier(after)).strips] == [[1, 2]], "another pitch"


def test_a_bay_that_is_new_is_there_whole_and_one_with_another_id_is_compared() -> None:
    wiring = '[[bay.b.column]]\nat = 1\ntop = "box/talk"\n'
    before = studio(BOX, bay(), wiring)
    after = studio(BOX, bay().replace("bay.b", "bay.c"), wiring.replace("bay.b", "bay.c"))
    assert made(after, Earlier(before)).pages
    assert made(after, Earlier(before, {"b": "c"})).pages == ()


def test_only_flags_that_read_otherwise() -> None:
    before, after = (
        studio(BOX, bay(), CABLES),
        studio(BOX, bay(), CABLES.replace('to = "b/top 9"', 'to = "b/top 9"\nnumber = "T1"')),
    )
    assert [flag.number for flag in made(after, Earlier(before), flags=True).flags] == ["T1", "T1"]


# -- flags --------------------------------------------------------------------------------------------------------------


def test_flags_have_two_equal_halves_and_the_wrap_between_folds() -> None:
    sheets = made(studio(BOX, bay(), CABLES), flags=True)
    assert [one.number for one in sheets.flags[:2]] == ["L1", "L1"]
    page = pages(pdf(sheets.pages, "t", "").data)[0]
    tall = [
        line for line in page.lines if upright(line) and abs((line["bottom"] - line["top"]) / MM - FLAG_HIGH) < 0.01
    ]
    first = sorted(line["x0"] / MM for line in tall if abs(line["top"] - min(t["top"] for t in tall)) < 0.01)[:4]
    wrap = 3.141593 * 3.5
    assert [b - a for a, b in pairwise(first)] == pytest.approx([FLAG_HALF, wrap, FLAG_HALF], abs=NEAR)
    words = squeezed("".join(char["text"] for char in page.chars))
    assert words.count("here:Hallwallboxline1") == words.count("otherend:Hallwallboxline1") == 2
    assert any("od_mm" in note for note in sheets.notes)
    assert any("no number" in note for note in sheets.notes)


def test_long_and_hostile_flags_stay_within_their_halves() -> None:
    plant = studio(
        bay(40),
        named(),
        "".join(
            f'[[cable]]\nnumber = "{key}-{n}"\nfrom = "{key}/in {n}"\nto = "b/bottom {4 * i + n}"\n'
            for i, key in enumerate(NAMES)
            for n in (1, 2)
        ),
    )
    sheets = made(plant, flags=True)
    assert all(isinstance(flag, Flag) for flag in sheets.flags)
    drawn = pdf(sheets.pages, "t", "")
    assert drawn.lacking == ()
    for page in pages(drawn.data):
        lines = [line for line in page.lines if upright(line)]
        tall = [line for line in lines if abs((line["bottom"] - line["top"]) / MM - FLAG_HIGH) < 0.01]
        for char in page.chars:
            inside = [line for line in tall if line["top"] - 1 < char["top"] and char["bottom"] < line["bottom"] + 1]
            assert not crossed(char, inside)
            near = [line for line in tall if line["top"] < (char["top"] + char["bottom"]) / 2 < line["bottom"]]
            if near:
                assert near[0]["top"] - 0.01 <= char["top"] <= char["bottom"] <= near[0]["bottom"] + 0.01


def test_no_ink_leaves_the_strip() -> None:
    """Rendered by another program: between the edges of a strip and the strokes outside it the paper stays white."""
    sheets = made(studio(bay(40, more="strip_mm = 12"), named()), each=True)
    data = pdf(sheets.pages, "t", "").data
    dots = 600 / 72
    page = pages(data)[0]
    image = page.to_image(resolution=600).original.convert("L")
    tall = [line for line in page.lines if upright(line) and abs((line["bottom"] - line["top"]) / MM - 12) < 0.01]
    assert len({round(line["top"]) for line in tall}) == 2
    for line in tall:
        for edge, way in ((line["top"], -1), (line["bottom"], 1)):
            for mm in (0.15, 0.3, 0.45):
                y = int((edge + way * mm * MM) * dots)
                darkest, _ = image.crop((int(13 * MM * dots), y, int(200 * MM * dots), y + 1)).getextrema()
                assert darkest > 200, (edge, mm)
    assert image.getextrema()[0] < 50


# -- numbers of columns behind -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("high", [8, 10, 12, 16, 24])
def test_numbers_behind_are_as_large_as_the_labels_leave_room_for(high: int) -> None:
    """They take what the labels do not need, up to the smallest type: the labels have as many lines as with the smallest numbers."""
    strip = made(studio(bay(more=f"strip_mm = {high}")), rear=True).strips[0]
    bands = {band.name: band for band in strip.bands}
    numbers, top = bands["numbers"], bands["top"]
    line = LEAST * (fonts.ASCENT + fonts.DESCENT) / MM
    assert numbers.size >= 4.4
    assert numbers.size >= LEAST - 0.01 or top.bottom - top.top == pytest.approx(line, abs=0.05)
    least = (high - max(high * 0.4 / 2.4, 3.0 * (fonts.ASCENT + fonts.DESCENT) / MM + 0.01)) / 2
    assert _lines(top.bottom - top.top) == _lines(least)


def _lines(high: float) -> int:
    """Lines of the smallest type, one under the other, each as high as its size."""
    return int((high * MM / LEAST - fonts.ASCENT - fonts.DESCENT) + 1e-9) + 1


# -- the list of what was shortened ---------------------------------------------------------------------------------------

LONG = '[[bay.b.column]]\nat = "1..{0}"\nlabel_top = "Line 1..{0}"\nlabel_bottom = "Desk in 1..{0}"\n'


@pytest.mark.parametrize("rear", [False, True])
def test_labels_that_go_on_counting_are_one_line_of_the_list(rear: bool) -> None:
    plant = studio(bay(96, pitch=4.6, start=2.3, gaps="", more="strip_mm = 6") + LONG.format(96))
    sheets = made(plant, each=True, rear=rear, paper="letter")
    listed = [
        shape.words for page in sheets.pages for shape in page.shapes if isinstance(shape, Text) and shape.of == "list"
    ]
    assert listed[0] == "Shortened on these sheets:"
    assert 'Bay top 10 to 96: "Ln10" to "Ln96" for "Line 10" to "Line 96" (the same without blanks)' in listed
    assert 'Bay bottom 1 to 96: "1" to "96" for "Desk in 1" to "Desk in 96" (its number alone)' in listed
    assert len(listed) == 4
    assert len(sheets.pages) == 2


def test_signs_that_the_fonts_lack_are_told_of_labels_and_not_of_the_list_again() -> None:
    words = "\u97f3" * 30
    sheets = made(studio(bay(2, gaps="") + f'[[bay.b.column]]\nat = 1\nlabel_top = "{words}"\n'))
    lacking = pdf(sheets.pages, "Labels", "now").lacking
    assert len(lacking) > 1, "the label, and what it stands for in the list"
    told = sheets.on_labels(lacking)
    assert [(signs, text in words or text.endswith("\u2026")) for text, signs in told] == [(("\u97f3",), True)]
