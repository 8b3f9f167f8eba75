"""Where things stand: the same in all views, sources above destinations, no line through a box, no text out of its cell."""

import itertools
import re

import pytest

from routecode.circuit.circuit import Circuit
from routecode.show.drawing import around
from routecode.show.drawing.compare import Mark, compared
from routecode.show.drawing.compose import compose
from routecode.show.drawing.drawing import Plan, plan
from routecode.show.drawing.labels import place_labels
from routecode.show.drawing.measure import SMALL, WIDTHS, exact, width
from routecode.show.drawing.paint import View
from routecode.show.starter import starter
from tests.drawing.studios import AFTER, BEFORE, asked, box, circuit, compiled, engine, made, millrace, planned, shapes

HEAD_AND_FOOT = ("head", "foot")


def changed() -> Plan:
    return planned(asked(circuit(AFTER), circuit(BEFORE)))


def test_what_did_not_change_has_the_same_coordinates_in_all_three_pictures() -> None:
    laid = changed()
    views = {view: shapes(made(laid, view), f"{view.value}-") for view in laid.views}
    before, after, change = (views[view] for view in (View.BEFORE, View.AFTER, View.CHANGE))
    shared = (before.keys() & after.keys()) - set(HEAD_AND_FOOT)
    assert len(shared) > 40
    for name in shared:
        assert before[name].places == after[name].places == change[name].places, name
    assert before.keys() | after.keys() <= change.keys()
    assert after.keys() - before.keys()
    assert before.keys() - after.keys()


def test_two_layouts_of_their_own_would_move_things() -> None:
    """The check above can fail: laid out apart, both sides differ."""
    apart = [shapes(made(planned(asked(circuit(text))), View.ONE)) for text in (BEFORE, AFTER)]
    shared = [name for name in apart[0].keys() & apart[1].keys() if name not in HEAD_AND_FOOT]
    assert any(apart[0][name].places != apart[1][name].places for name in shared)


@pytest.mark.parametrize("row", ["top", "bottom"])
def test_sources_are_above_destinations(row: str) -> None:
    text = BEFORE.replace("columns = 12", f'columns = 12\nsources = "{row}"')
    laid = planned(asked(circuit(text)))
    found = shapes(made(laid, View.ONE))
    band = next(block for block in laid.picture.blocks if block.kind == "band" and block.of == "north")
    upper = [box(found[f"{band.node}-{slot.port}"]) for slot in band.slots if slot.port.startswith("u")]
    lower = [box(found[f"{band.node}-{slot.port}"]) for slot in band.slots if slot.port.startswith("l")]
    assert max(bottom for _, _, _, bottom in upper) < min(top for _, top, _, _ in lower)
    names = [word.text for word in sorted(band.words, key=lambda word: -word.at[1]) if word.text in ("top", "bottom")]
    assert names == [row, "bottom" if row == "top" else "top"]


def test_the_signal_goes_down_the_page() -> None:
    laid = planned(asked(circuit(BEFORE)))
    heights = {block.of: laid.placed.blocks[block.node][1] for block in laid.picture.blocks if block.kind == "unit"}
    assert heights["box"] > heights["pre"] > heights["comp"] > heights["conv"]


def test_a_bay_that_is_passed_twice_is_two_bands_and_the_signal_passes_the_upper_one_first() -> None:
    laid = planned(asked(circuit(BEFORE)))
    bands = [block for block in laid.picture.blocks if block.kind == "band" and block.of == "south"]
    labels = [[slot.label for slot in band.slots if slot.port.startswith("u")] for band in bands]
    assert labels == [["1–2", "5–10", "11–16"], ["3–4"]]
    assert laid.placed.blocks[bands[0].node][1] > laid.placed.blocks[bands[1].node][1]


PLANS = [(None, None), ("take", None), (None, BEFORE), ("take", BEFORE)]


@pytest.mark.parametrize(("setup", "before"), PLANS)
def test_nothing_is_hidden_in_a_small_studio(setup: str | None, before: str | None) -> None:
    check_places(planned(asked(circuit(AFTER), circuit(before) if before else None, setup)))


@pytest.mark.parametrize("setup", [None, "folk", "drama", "foley"])
def test_nothing_is_hidden_in_the_example(setup: str | None) -> None:
    check_places(planned(asked(millrace(), setup=setup)))


def check_places(laid: Plan) -> None:
    boxes = {block.node: (*laid.placed.blocks[block.node], block.wide, block.high) for block in laid.picture.blocks}
    for name, (x, y, wide, high) in boxes.items():
        for other, (ox, oy, owide, ohigh) in boxes.items():
            apart = x + wide < ox or ox + owide < x or y + high < oy or oy + ohigh < y
            assert name == other or apart, f"{name} lies on {other}"
    for points in laid.placed.lines.values():
        for (ax, ay), (bx, by) in itertools.pairwise(points):
            assert ax == bx or ay == by
            for x, y, wide, high in boxes.values():
                inside = min(ax, bx) < x + wide - 0.1 and max(ax, bx) > x + 0.1
                assert not (inside and min(ay, by) < y + high - 0.1 and max(ay, by) > y + 0.1)
    check_texts(laid)


def check_texts(laid: Plan) -> None:
    for block in laid.picture.blocks:
        for slot in block.slots:
            assert exact(slot.label, SMALL) < slot.wide, slot.label
        for word in block.words:
            half = exact(word.text, word.size, word.bold) / 2
            assert word.at[0] - half >= 0, word.text
            assert word.at[0] + half <= block.wide, word.text
    labels = place_labels(laid.picture, laid.placed)
    for index, label in enumerate(labels):
        for other in labels[index + 1 :]:
            beside = abs(label.at[0] - other.at[0]) >= (label.wide + other.wide) / 2
            above = abs(label.at[1] - other.at[1]) >= (label.high + other.high) / 2
            assert beside or above, (label.text, other.text)


@pytest.mark.parametrize("setup", [None, "folk", "drama", "foley"])
def test_lines_do_not_lie_on_each_other(setup: str | None) -> None:
    laid = planned(asked(millrace(), setup=setup))
    check_apart(laid)


def check_apart(laid: Plan) -> None:
    pieces = [(name, a, b) for name, points in laid.placed.lines.items() for a, b in itertools.pairwise(points)]
    for (one, a, b), (other, c, d) in itertools.combinations(pieces, 2):
        for level in (0, 1):
            if one != other and a[level] == b[level] and c[level] == d[level] and abs(a[level] - c[level]) <= 2:
                along = 1 - level
                together = min(max(a[along], b[along]), max(c[along], d[along]))
                assert together - max(min(a[along], b[along]), min(c[along], d[along])) <= 1, (one, other)


@pytest.mark.parametrize(
    "order", ["2 1 3 4 5 6 7 8", "2 3 1 4 5 6 7 8", "8 7 6 5 4 3 2 1", "3 1 4 2 7 8 5 6", "5 6 7 8 1 2 3 4"]
)
def test_exchanged_lines_stay_apart(order: str) -> None:
    """What is reviewed is where each line goes: no two share a piece, also where each must lie above the other."""
    lines = ", ".join(f'"live/line {number}"' for number in order.split())
    before = {name: text for name, text in starter("Small").items() if name.endswith(".toml")}
    after = {**before, "cables.toml": before["cables.toml"].replace('"live/line 1..8"', f"[{lines}]")}
    request = asked(compiled(after), compiled(before))
    assert request.before is not None
    both = compared(request.before, request.after, None)
    part = around.nearby(both, around.changed_steps(both), 2)
    laid = plan(request, both, compose(both, part, False), engine())
    assert isinstance(laid, Plan)
    new = [line for line in laid.picture.lines if line.mark is Mark.NEW]
    assert sum(line.count for line in new) == sum(int(number) != place for place, number in enumerate(order.split(), 1))
    check_apart(laid)
    check_places(laid)
    slots = {(block.node, slot.port): slot for block in laid.picture.blocks for slot in block.slots}
    for line in new:
        points = laid.placed.lines[line.id]
        for end, (x, _) in ((line.a, points[0]), (line.b, points[-1])):
            slot, left = slots[end.node, end.port], laid.placed.blocks[end.node][0]
            assert left + slot.left < x < left + slot.left + slot.wide, line.said
    views = {view: shapes(made(laid, view), f"{view.value}-") for view in laid.views}
    for name in set.intersection(*(set(found) for found in views.values())) - set(HEAD_AND_FOOT):
        assert len({tuple(found[name].places) for found in views.values()}) == 1, name


def test_no_text_is_smaller_than_nine_points() -> None:
    sizes = {float(size) for size in re.findall(rb'font-size="([0-9.]+)"', made(changed(), View.CHANGE))}
    assert min(sizes) >= 9


def test_widths_are_those_of_the_font() -> None:
    """Against the metrics that graphviz knows for Arial, which has Helvetica's widths."""
    signs = [sign for sign in WIDTHS if sign.isascii() and sign not in '"\\<>&' and sign != " "]
    for sign in signs:
        told = measured(sign * 40)
        assert exact(sign * 40, 10) == pytest.approx(told, abs=0.5), sign
    assert width("Preamp A", 11, bold=True) > exact("Preamp A", 11, bold=True)


def measured(text: str) -> float:
    safe = text.replace("&", "&amp;")
    graph = f'digraph {{ a [fontname="Arial", fontsize=10, label="{safe}"] }}'.encode()
    answer = engine().start(("-Kdot", "-Tjson"), graph, 10)
    found = re.search(rb'"op": "T",\s*"pt": [^\]]*\],\s*"align": "c",\s*"width": ([0-9.]+)', answer.out)  # type: ignore[union-attr]
    assert found is not None
    return float(found[1])


def test_a_new_column_keeps_its_word_in_its_own_cell() -> None:
    longer = circuit(BEFORE.replace("columns = 12", "columns = 16"))
    check_places(planned(asked(longer, circuit(BEFORE))))
    marks = {joint.mark for joint in planned(asked(longer, circuit(BEFORE))).both.joints}
    assert marks == {Mark.SAME}


def test_an_empty_studio_is_a_picture_too() -> None:
    bare: Circuit = circuit('[studio]\ntitle = "Bare"\nlanguage = 1\n')
    assert b"<svg" in made(planned(asked(bare)), View.ONE)
