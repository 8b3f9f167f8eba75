"""Pages on paper, read back by an outside reader: all is there, nothing is clipped, heads and feet on every page, the same bytes."""

import hashlib
import itertools
import random
import re
import subprocess
import sys

import pytest

from routecode.show.faces.face import face_svg
from routecode.show.paper import script, vector
from routecode.show.paper.pen import PAPERS, Pen, is_ours
from routecode.show.paper.sheets import (
    TICK,
    Block,
    Drawing,
    Head,
    Heading,
    NewPage,
    Notice,
    Space,
    Table,
    Tick,
    Words,
    lacking_findings,
    sheets,
)
from tests.show.paper_reading import MM, pages, signs, squeezed
from tests.show.studios import circuit_of, millrace

HEAD = Head("Millrace", "Cable schedule", '2febdd8abc, "What changed", 2026-05-01', "2febdd8abc" * 4, "2026-05-01")
HOSTILE = (
    "Хор и орган",
    "Ωδείο «αίθουσα»",
    "אולם (1-8)",
    "قناة السلام",
    "Երգչախումբ",
    "<b>&amp;</b> %s {x} \\n",
    "a\x1b[31m\u202ered",
    "W" * 300,
    "e" + "\u0301" * 40,
    "",
)


def mixed(rows: int = 70) -> list[Block]:
    body = [(str(i), HOSTILE[i % len(HOSTILE)], f"Preamp {i} " * (1 + i % 7), TICK) for i in range(rows)]
    return [
        Heading("Cables of the studio"),
        *(Words(words) for words in HOSTILE),
        Notice("Headphones off heads, monitors down, no take running. " * 4),
        Notice("Kept for the next one.", "note"),
        *(Tick(f"Lift cable L{i}. " * i, ("done differently", "date, initials"), number=f"{i}.") for i in range(1, 9)),
        Space(5),
        Table(("No.", "From", "To", "made"), body, bold=(0,)),
    ]


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("level", [False, True])
def test_every_sign_is_on_the_page_and_within_its_margins(paper: str, level: bool) -> None:
    made = sheets(HEAD, mixed(), paper, level=level)
    found = pages(made.data)
    size = PAPERS[paper].turned if level else PAPERS[paper]
    assert len(found) == made.pages > 2
    for number, page in enumerate(found, 1):
        assert (float(page.width), float(page.height)) == pytest.approx((size.wide, size.high), abs=0.01)
        assert squeezed(f"page {number} of {made.pages}") in signs(page)
        assert HEAD.revision in signs(page)
        assert "2026-05-01" in signs(page)
        for char in page.chars:
            assert 15 * MM - 0.5 <= char["x0"] <= char["x1"] <= size.wide - 15 * MM + 0.5, char["text"]
            assert 8 * MM <= char["top"] <= char["bottom"] <= size.high - 8 * MM, char["text"]
    assert made.lacking == ()


def test_no_two_lines_of_the_body_overlap() -> None:
    for page in pages(sheets(HEAD, mixed()).data):
        rows = sorted({round(char["bottom"] - char["size"] * 0.2, 1): char["size"] for char in page.chars}.items())
        for (one, _), (other, size) in itertools.pairwise(rows):
            assert other - one < 0.6 or other - one > size * 0.8


def test_rows_are_all_there_once_with_the_heads_on_each_page() -> None:
    rows = [(f"row{i:03d}", "some words " * (i % 30)) for i in range(120)]
    found = pages(sheets(HEAD, [Table(("Number", "Words"), rows)]).data)
    text = "".join(map(signs, found))
    assert [text.count(f"row{i:03d}") for i in range(120)] == [1] * 120
    assert all(signs(page).count("NumberWords") == 1 for page in found)
    assert text.count("somewords") == sum(i % 30 for i in range(120))


def test_a_row_longer_than_a_page_is_broken_and_complete() -> None:
    words = " ".join(f"w{i}." for i in range(3000))
    found = pages(sheets(HEAD, [Table(("A", "B"), [("x", words)])]).data)
    assert len(found) > 1
    text = "".join(map(signs, found))
    assert all(f"w{i}." in text for i in range(3000))


def test_more_columns_than_there_is_room_for_are_narrowed() -> None:
    heads = [f"column{i}" for i in range(40)]
    page = pages(sheets(HEAD, [Table(heads, [heads])]).data)[0]
    assert all(char["x1"] <= PAPERS["a4"].wide - 15 * MM + 0.5 for char in page.chars)


def test_numbers_stand_under_one_another_by_their_last_digits() -> None:
    """As in every table of sums; an empty cell is no text, and a column with one word stays a column of texts."""
    rows = [("plug", "4", "2.60", "4"), ("cable", "1,013", "", "none"), ("cord", "24", "114.50", "24")]
    page = pages(sheets(HEAD, [Table(("part", "contains", "price", "rest"), rows)]).data)[0]
    words = page.extract_words()

    def edge(side: str, *texts: str) -> list[float]:
        return [next(word[side] for word in words if word["text"] == text) for text in texts]

    for texts in (("contains", "1,013"), ("price", "2.60", "114.50")):
        assert max(edge("x1", *texts)) - min(edge("x1", *texts)) < 0.5, texts
    assert edge("x0", "none")[0] == pytest.approx(edge("x0", "rest")[0], abs=0.5)


def test_headings_do_not_end_a_page_and_a_new_page_is_one() -> None:
    blocks: list[Block] = []
    for i in range(40):
        blocks += [Heading(f"Head{i}", 2), Words(f"Body{i} " * 30)]
    for page in pages(sheets(HEAD, blocks).data):
        text = signs(page)
        last = max(int(found) for found in re.findall(r"Head(\d+)", text))
        assert f"Body{last}" in text.split(f"Head{last}")[1]
    assert sheets(HEAD, [Words("a"), NewPage(), Words("b")]).pages == 2
    assert sheets(HEAD, []).pages == 1


def test_fonts_are_embedded_subsets_and_nothing_is_a_picture_of_dots() -> None:
    made = sheets(HEAD, [*mixed(10), Drawing(face_svg(circuit_of(millrace()), "north"), "North bay")])
    for page in pages(made.data):
        assert page.images == []
        assert {re.sub(r"^[A-Z0-9]{6}\+", "", char["fontname"]) for char in page.chars} <= {
            "DejaVuSans",
            "DejaVuSans-Bold",
        }
    assert b"/FontFile2" in made.data
    assert len(made.data) < 300_000


def test_the_same_bytes_twice_and_in_another_process() -> None:
    data = sheets(HEAD, mixed()).data
    assert sheets(HEAD, mixed()).data == data
    code = (
        "import hashlib; from tests.show.test_paper import *;"
        "sheets(HEAD, [Words('other')]); print(hashlib.sha256(sheets(HEAD, mixed()).data).hexdigest())"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == hashlib.sha256(data).hexdigest()


def test_the_file_says_what_made_it_and_no_time() -> None:
    data = sheets(HEAD, [Words("x")]).data
    assert is_ours(data)
    assert not is_ours(b"%PDF-1.4 other")
    assert b"Helvetica" not in data, "every font is one that is in the file"
    assert set(re.findall(rb"D:(\d{4})", data)) == {b"2000"}


def test_a_sign_without_a_glyph_is_a_box_with_its_code_and_is_told() -> None:
    made = sheets(HEAD, [Words("mic 漢 \U0001f3a4")])
    assert made.lacking == (("mic 漢 \U0001f3a4", ("漢", "\U0001f3a4")),)
    page = pages(made.data)[0]
    assert "mic6F2201F3A4" in signs(page)
    assert len(page.rects) == 2
    (finding,) = lacking_findings(made.lacking)
    assert (finding.rule, finding.at) == ("glyph-missing", ("mic 漢 \U0001f3a4",))
    assert "U+6F22, U+1F3A4" in finding.text


@pytest.mark.parametrize("words", ["Ωδείο", "Хор и орган", "אולם (1-8)", "قناة السلام 12", "Երգ", "ქართული"])
def test_five_scripts_and_more_are_drawn_in_their_order(words: str) -> None:
    page = pages(sheets(HEAD, [Words(words)]).data)[0]
    body = [char for char in page.chars if char["top"] > 20 * MM and char["bottom"] < 280 * MM]
    assert "".join(char["text"] for char in sorted(body, key=lambda char: char["x0"])) == script.drawn(words)


def test_a_face_on_paper_has_every_shape_of_its_picture_at_its_place() -> None:
    svg = face_svg(circuit_of(millrace()), "north")
    picture = vector.read(svg)
    pen = Pen("face")
    pen.page(PAPERS["a4"])
    vector.draw(pen, picture, 30.0, 40.0, 0.5)
    page = pages(pen.done())[0]
    texts = [shape for shape in picture.root.iter() if str(shape.tag).endswith("}text") and shape.text]
    assert signs(page) == "".join(squeezed(shape.text or "") for shape in texts)
    assert "�" not in signs(page)
    rings = [shape for shape in picture.root.iter() if str(shape.tag).endswith("}circle")]
    middles = sorted((30 + float(r.get("cx", 0)) / 2, 40 + float(r.get("cy", 0)) / 2) for r in rings)
    drawn = sorted(((c["x0"] + c["x1"]) / 2, (c["top"] + c["bottom"]) / 2) for c in page.curves)
    for x, y in middles:
        assert any(abs(x - a) < 0.1 and abs(y - b) < 0.1 for a, b in drawn)


@pytest.mark.parametrize("bad", ["", "<svg", "<svg xmlns='http://www.w3.org/2000/svg'/>", "<svg viewBox='0 0 0 5'/>"])
def test_no_picture_is_refused(bad: str) -> None:
    with pytest.raises(ValueError, match="picture"):
        vector.read(bad)


def test_a_table_with_uneven_rows_is_refused() -> None:
    with pytest.raises(ValueError, match="as many cells"):
        Table(("a", "b"), [("x",)])


def test_random_hostile_texts_never_break_a_page() -> None:
    rng = random.Random(4)
    for _ in range(12):
        words = [
            "".join(chr(rng.choice((rng.randrange(0x500), rng.randrange(0x11000)))) for _ in range(60))
            for _ in range(9)
        ]
        made = sheets(
            Head(words[0], words[1], words[2]), [Heading(words[3]), Words(words[4]), Table(words[5:7], [words[7:9]])]
        )
        for page in pages(made.data):
            assert all(char["x1"] <= float(page.width) - 15 * MM + 0.6 for char in page.chars)
