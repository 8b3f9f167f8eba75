"""What faces of bays say: what is wired behind each jack, its normal now, what is plugged in, what is marked; safely, in the same bytes."""

import re
from pathlib import Path

import pytest

from routecode.circuit.circuit import Circuit
from routecode.show.drawing import look
from routecode.show.drawing.compare import Mark
from routecode.show.drawing.drawing import is_ours
from routecode.show.faces.face import face_svg
from tests.cli.asking import ask
from tests.show.face_reading import SVG, Reading, Seen, read
from tests.show.studios import circuit_of, millrace, opened

BAYS = """
[studio]
language = 1
title = "Small"
[room.r]
[unit.box]
title = "Wall box"
room = "r"
port = [{ name = "line 1..8", direction = "either", signal = "line" }]
[unit.pre]
title = "Preamp"
room = "r"
port = [{ name = "in 1..8", direction = "in", signal = "line" }]
[unit.away]
title = 'Evil <b> & "co"'
room = "r"
port = [{ name = "out left", direction = "out", signal = "line" }, { name = "out right", direction = "out", signal = "line" }]
[[cable]]
number = "L1..8"
from = "box/line 1..8"
to = "b/top 1..8"
[bay.b]
title = "Bay & <i>"
room = "r"
columns = 12
[[bay.b.column]]
at = "1..4"
bottom = "pre/in 1..4"
normal = "half"
[[bay.b.column]]
at = "5..6"
bottom = "pre/in 5..6"
normal = "full"
[[bay.b.column]]
at = "7..8"
bottom = "pre/in 7..8"
normal = "parallel"
[[bay.b.column]]
at = "9..10"
top = ["away/out left", "away/out right"]
[[bay.b.column]]
at = "12"
reserved = "the second machine"
label_bottom = "Spare"
[bay.p]
title = "Plugs"
room = "r"
columns = 3
normalling = "plugs"
[[bay.p.column]]
at = 1
plug = "bottom"
[[bay.p.column]]
at = 2
plug = "top"
[[bay.p.mult]]
at = ["top 3", "bottom 3"]
[[normal]]
from = "b/top 9..10"
to = "p/bottom 1..2"
breaks = "both"
[setup.take]
title = "Take"
cord = [{ from = "b/top 9", to = "b/bottom 1" }, { from = "b/top 5", to = "p/top 3" }, { from = "b/top 7", to = "b/top 2" }]
plug = [{ at = "b/top 6", set = "broken" }, { at = "p/top 2", set = "out" }]
"""


@pytest.fixture(scope="module")
def small() -> Circuit:
    return circuit_of(opened({"studio.toml": BAYS}))


def jacks(found: Reading) -> dict[str, Seen]:
    return {jack.name: jack for jack in found.jacks}


@pytest.mark.parametrize(
    ("jack", "said"),
    [
        ("b/top 1", "Bay & <i> top 1: Wall box line 1 (cable L1), half normalled to bottom 1"),
        ("b/bottom 6", "Bay & <i> bottom 6: Preamp in 6, full normalled from top 6"),
        ("b/top 8", "Bay & <i> top 8: Wall box line 8 (cable L8), parallel normalled to bottom 8"),
        ("b/top 9", 'Bay & <i> top 9: Evil <b> & "co" out left, no normal'),
        (
            "b/bottom 12",
            'Bay & <i> bottom 12: nothing wired, labelled "Spare", no normal, reserved: the second machine',
        ),
        ("p/bottom 1", "Plugs bottom 1: nothing wired, normalled by a link plug from top 1"),
        ("p/top 2", "Plugs top 2: nothing wired, link plug in the source: held off"),
    ],
)
def test_each_jack_says_what_it_is(small: Circuit, jack: str, said: str) -> None:
    for rear in (False, True):
        assert jacks(read(face_svg(small, jack[0], rear=rear)))[jack].title == said


@pytest.mark.parametrize(
    ("jack", "said"),
    [
        # half: broken by a plug in the bottom; full: by one in either; parallel: never (pages/meaning.md, columns)
        ("b/top 1", "half normalled to bottom 1 (broken now)"),
        ("b/top 2", "half normalled to bottom 2, cord to top 7: Wall box line 7"),
        ("b/top 5", "full normalled to bottom 5 (broken now), cord to Plugs top 3"),
        ("b/top 6", "full normalled to bottom 6 (broken now), dummy plug"),
        ("b/top 7", "parallel normalled to bottom 7, cord to top 2: Wall box line 2"),
        ("b/bottom 1", 'cord to top 9: Evil <b> & "co" out left'),
        ("p/top 2", "nothing wired, no normal"),
    ],
)
def test_in_a_setup_it_says_what_holds_there(small: Circuit, jack: str, said: str) -> None:
    assert jacks(read(face_svg(small, jack[0], setup="take")))[jack].title.endswith(said)


def strokes(found: Reading, name: str) -> list[str]:
    return [shape.attrib["d"] for shape in found.root.iter(f"{SVG}path") if shape.get("class") == name]


def test_normals_differ_by_their_strokes(small: Circuit) -> None:
    found = read(face_svg(small, "b"))
    x = {name: jack.x for name, jack in jacks(found).items()}
    parts = [[float(part) for part in re.findall(r"-?[0-9.]+", steps)] for steps in strokes(found, "face-stroke")]
    low = jacks(found)["b/bottom 1"].y
    for column, bars in ((1, 1), (5, 2), (7, 0), (9, 0)):
        here = [part for part in parts if abs((part[0] + part[2]) / 2 - x[f"b/top {column}"]) < 1 and part[1] < low]
        assert sum(1 for part in here if part[1] == part[3]) == bars
        assert sum(1 for part in here if part[0] == part[2]) == (column != 9)


def squares(group_name: str, svg: str) -> int:
    group = next(found for found in read(svg).root.iter(f"{SVG}g") if found.get("data-jack") == group_name)
    return sum(1 for shape in group if shape.get("class") == "face-solid" and shape.tag == f"{SVG}rect")


def test_link_plugs_sit_where_they_sit(small: Circuit) -> None:
    plain, take, rear = face_svg(small, "p"), face_svg(small, "p", setup="take"), face_svg(small, "p", rear=True)
    seen = {name: squares(name, plain) for name in ("p/top 1", "p/bottom 1", "p/top 2", "p/bottom 2", "p/top 3")}
    assert seen == {"p/top 1": 0, "p/bottom 1": 1, "p/top 2": 1, "p/bottom 2": 0, "p/top 3": 0}
    assert squares("p/top 2", take) == 0
    assert squares("p/bottom 1", rear) == 0


def test_the_signs_that_occur_are_named_and_no_others(small: Circuit) -> None:
    words = " ".join(box.text for box in read(face_svg(small, "b", setup="take")).texts)
    for part in (
        "half normal",
        "full normal",
        "parallel: never broken",
        "no stroke: no normal",
        "open stroke",
        "dummy",
    ):
        assert part in words
    assert "link plug" not in words
    assert "without colour: nothing is wired behind it" in words, "column 11"
    assert "without colour" not in " ".join(box.text for box in read(face_svg(small, "p")).texts), (
        "nothing is, anywhere"
    )
    assert "link plug in the bottom" in " ".join(box.text for box in read(face_svg(small, "p")).texts)


def test_a_strip_names_a_unit_once_over_its_columns_and_the_numbers_below(small: Circuit) -> None:
    found = read(face_svg(small, "b"))
    label = [box for box in found.texts if box.text == "Wall box line"]
    assert len(label) == 1
    x = jacks(found)
    assert (label[0].left + label[0].right) / 2 == pytest.approx((x["b/top 1"].x + x["b/top 8"].x) / 2)
    assert label[0].bottom < x["b/top 1"].y
    below = {box.text: (box.left + box.right) / 2 for box in found.texts if box.bottom < x["b/top 1"].y}
    assert below["left"] == pytest.approx(x["b/top 9"].x)
    assert below["8"] == pytest.approx(x["b/top 8"].x)


def test_cable_numbers_are_told_behind_and_cords_in_front(small: Circuit) -> None:
    front, rear = (
        [box.text for box in read(face_svg(small, "b", rear=rear, setup="take")).texts] for rear in (False, True)
    )
    assert ("L3" in front, "L3" in rear) == (False, True)
    assert ("to Plugs top 3" in front, "to Plugs top 3" in rear) == (True, False)
    assert "Cords and plugs are in front and not drawn here." in rear
    assert any("column 1 is on the right" in text for text in rear)
    assert any("discharged" in text for text in rear)
    assert len(strokes(read(face_svg(small, "b", setup="take")), "face-cord")) == 2


def test_mults_and_sideways_normals_are_noted(small: Circuit) -> None:
    assert "Mult: top 3, bottom 3." in [box.text for box in read(face_svg(small, "p")).texts]
    said = [box.text for box in read(face_svg(small, "b")).texts]
    assert "Normal from top 9–10 to Plugs bottom 1–2, broken by a plug at either end." in said
    assert "Reserved 12: the second machine" in said


def test_marks_are_words_with_a_colour_and_a_pattern_of_their_own(small: Circuit) -> None:
    marks = {"b/top 1": "new", "b/bottom 2": "gone", "b/top 3": "changed", "other/top 1": "new"}
    svg = face_svg(small, "b", marks=marks)
    seen = jacks(read(svg))
    looks = set()
    for name, word in list(marks.items())[:3]:
        assert seen[name].texts == (word,)
        assert seen[name].title.endswith(f", {word}")
        frame = re.search(rf'face-{word}"[^>]*stroke="(#\w+)" stroke-width="2"(?: stroke-dasharray="([^"]*)")?', svg)
        assert frame is not None
        assert frame[1] == look.colour(Mark(word), "")
        looks.add((frame[1], frame[2]))
    assert len({colour for colour, _ in looks}) == len({dash for _, dash in looks}) == 3
    assert seen["b/top 2"].texts == ()


def test_a_mark_may_be_any_word(small: Circuit) -> None:
    seen = jacks(read(face_svg(small, "b", marks={"b/top 1": '<"\x1b[31m'})))
    assert "\x1b" not in seen["b/top 1"].texts[0]


def test_nothing_in_it_runs_leads_outside_or_clashes_on_a_page(small: Circuit) -> None:
    for circuit, bay in ((small, "b"), (small, "p"), (circuit_of(millrace()), "south")):
        svg = face_svg(circuit, bay, marks={"b/top 1": "new"})
        root = read(svg).root
        assert {found.tag.removeprefix(SVG) for found in root.iter()} <= {
            *("svg", "title", "desc", "g", "rect", "circle", "path", "text"),
        }
        names = {name for found in root.iter() for name in found.attrib}
        assert not {name for name in names if name.startswith("on") or "href" in name or name in ("id", "style")}
        assert "url(" not in svg
        assert svg.startswith("<svg ")
        assert [found.tag for found in root][:2] == [f"{SVG}title", f"{SVG}desc"]


def test_the_description_tells_what_a_picture_shows(small: Circuit) -> None:
    said = read(face_svg(small, "b", setup="take", marks={"b/top 3": "gone"})).root.findtext(f"{SVG}desc", "")
    for part in (
        "Two rows of 12 columns. Sources are in the top row.",
        "Half normal: 1–4.",
        "No normal: 9–12.",
        "top 5 to Plugs top 3",
        "Dummy plugs: top 6.",
        "Marked: top 3 gone.",
    ):
        assert part in said


def test_same_circuit_same_bytes(small: Circuit) -> None:
    again = circuit_of(opened({"studio.toml": BAYS}))
    assert face_svg(small, "b", setup="take") == face_svg(again, "b", setup="take")


def test_what_is_not_there_is_a_key_error(small: Circuit) -> None:
    with pytest.raises(KeyError):
        face_svg(small, "nowhere")
    with pytest.raises(KeyError):
        face_svg(small, "b", setup="nowhere")


# -- the command --------------------------------------------------------------------------------------------------------


@pytest.fixture
def studio(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "studio.toml").write_text(BAYS, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize(
    ("options", "name"),
    [
        (("--face", "b"), "small-b.svg"),
        (("--face", "b", "--rear"), "small-b-rear.svg"),
        (("--face", "p", "--setup", "take"), "small-p-take.svg"),
        (("--face", "p", "-o", "mine.svg"), "mine.svg"),
    ],
)
def test_draw_writes_a_face(studio: Path, options: tuple[str, ...], name: str) -> None:
    for _ in range(2):  # a file of ours is replaced
        ran = ask("draw", *options)
        assert (ran.status, ran.out, ran.err) == (0, f"{name}\n", "")
    data = (studio / name).read_bytes()
    assert is_ours(data)
    assert "the files as they are now; design aid" in data.decode()
    assert read(data.decode().partition("-->")[2].strip()).jacks


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--face", "bb"), "There is no bay bb."),
        (("--face", "b", "--setup", "tak"), "There is no setup tak."),
        (("--rear",), "--rear is for the face of a bay."),
        (("--face", "b", "A..B"), "routecode review A..B"),
        (("--face", "b", "-o", "b.png"), "written as SVG, not as png"),
        (("--face", "b", "-o", "b.jpg"), "End it with .svg; or say --format svg."),
        (("--face", "b", "--around", "pre"), "always the whole bay"),
        (("--face", "b\x1b[2J"), "There is no bay b\\x1b[2J."),
    ],
)
def test_what_makes_no_face_is_said(studio: Path, options: tuple[str, ...], said: str) -> None:
    ran = ask("draw", *options)
    assert (ran.status, ran.out) == (2, "")
    assert said in " ".join(ran.err.split())
    assert [path.name for path in studio.iterdir()] == ["studio.toml"]
