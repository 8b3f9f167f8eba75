"""The book, read back by an outside reader (pdfplumber): everything of the compiled studio is in it, pages are where the contents say,
nothing outside the page, no type below what is stated, the same bytes twice.
"""

import re
from functools import cache
from itertools import groupby, pairwise
from typing import Any

import pytest

from routecode.circuit.circuit import Circuit
from routecode.cli.draw import find_engine
from routecode.hands.cables import schedule
from routecode.show.book import Bound, book
from routecode.show.book_front import CAUTIONS
from routecode.show.book_pages import LEAST_TYPE
from routecode.show.paper.fonts import has
from routecode.show.paper.script import cleaned
from routecode.show.paper.sheets import Head
from routecode.studio.opened import Opened
from tests.reference.studios import random_studio
from tests.seeds import some
from tests.show.book_studios import NAMES, hostile
from tests.show.paper_reading import pages, signs, squeezed
from tests.show.studios import circuit_of, millrace, opened

REVISION = "0123456789abcdef0123456789abcdef01234567"
Page = Any


def bound(one: Opened, paper: str = "a4", *, drawn: bool = True) -> Bound:
    """The book of a studio, its revision called by a number."""
    circuit = circuit_of(one)
    head = Head(circuit.plant.studio.head.title or "Studio", "Book of the studio", "as it is", REVISION, "2026-03-01")
    return book(one, circuit, head, find_engine(None) if drawn else None, paper)


@cache
def example() -> tuple[Opened, Bound, tuple[Page, ...]]:
    """The book of the example, made and read once."""
    one = millrace()
    made = bound(one)
    return one, made, tuple(pages(made.made.data))


@cache
def lines_of(number: int) -> tuple[str, ...]:
    """The lines of a page of the example."""
    return tuple(example()[2][number].extract_text().split("\n"))


def chapter(found: tuple[Page, ...], name: str) -> tuple[Page, ...]:
    """The pages of a chapter, by the outline."""
    outline = [(entry["title"], entry["page"]) for entry in outline_of(found) if entry["level"] == 1]
    starts = [page for _, page in outline]
    first = dict(outline)[name]
    after = [page for page in starts if page > first]
    return found[first - 1 : (min(after) if after else len(found) + 1) - 1]


def outline_of(found: tuple[Page, ...]) -> list[dict[str, Any]]:
    """The entries of the outline, each with its level from 1 and its page from 1."""
    document = found[0].pdf.doc
    numbers = {page.page_obj.pageid: page.page_number for page in found}
    entries = []
    for level, title, target, action, _ in document.get_outlines():
        place = target if target is not None else action.resolve()["D"]
        place = place.resolve() if hasattr(place, "resolve") else place
        place = document.get_dest(place) if isinstance(place, bytes) else place
        place = place.resolve() if hasattr(place, "resolve") else place
        place = place["D"] if isinstance(place, dict) else place
        entries.append({"level": level, "title": title, "page": numbers[place[0].objid]})
    return entries


# -- what is in it -------------------------------------------------------------------------------------------------------


def test_the_id_and_the_studio_are_on_every_page() -> None:
    _, made, found = example()
    assert made.made.pages == len(found) > 20
    for page in found:
        assert REVISION in signs(page)
        assert "Millrace" in signs(page)
        assert "2026-03-01" in signs(page)
        assert f"page{page.page_number}of{len(found)}" in signs(page)


def test_the_title_page_counts_and_warns() -> None:
    one, _, found = example()
    plant = circuit_of(one).plant
    first = signs(found[0])
    assert f"{len(plant.units)}with{plant.ports}ports" in first
    assert f"{len(plant.bays)}with{sum(bay.columns * bay.rows for bay in plant.bays.values())}jacks" in first
    for caution in CAUTIONS:
        assert squeezed(caution) in first
    for word in (
        "local code",
        "design aids",
        "under 1 V",
        "never without its load",
        "fibre",
        "ribbon microphone",
        "mains earth",
    ):
        assert squeezed(word) in first, "design.md, section 7"


def test_every_cable_is_in_the_schedule() -> None:
    one, _, found = example()
    rows = [row for page in chapter(found, "Cables") for row in page.extract_text().split("\n")]
    text = "".join(map(signs, chapter(found, "Cables")))
    for cable in schedule(circuit_of(one).plant):
        for circuit in cable.circuits:
            assert squeezed(circuit.from_.called) in text
            assert squeezed(circuit.to.called) in text
        if cable.number is not None:
            assert any(row.startswith(cable.number) for row in rows), cable.number
    numbered = [row.split(" ")[0] for row in rows]
    for cable in schedule(circuit_of(one).plant):
        if cable.number is not None:
            assert numbered.count(cable.number) >= len(cable.circuits), cable.number


def test_every_setup_is_a_patch_sheet_with_all_its_cords_and_needs() -> None:
    one, _, found = example()
    circuit = circuit_of(one)
    part = chapter(found, "Setups")
    for placed in circuit.plant.setups.values():
        title = placed.written.title or placed.id
        start = next(index for index, page in enumerate(part) if squeezed(f"{title} ({placed.id})") in signs(page))
        text = "".join(signs(page) for page in part[start : start + 4])
        for cord in placed.cords:
            for end in (cord.a, cord.b):
                assert squeezed(place(circuit, end.node)) in text, end.named
        for unit, switch in placed.positions:
            assert squeezed(f"{circuit.plant.units[unit].title} {switch}") in text
        for source, target in placed.routes:
            assert squeezed(channel(circuit, source)) in text
            assert squeezed(channel(circuit, target)) in text
        for need in placed.needs:
            assert squeezed(" > ".join(channel(circuit, step) for step in need.steps)) in text
        boxes = sum(len(found_boxes(page)) for page in part[start : start + 2])
        assert boxes >= len(placed.cords) + len(placed.positions), "a box to tick for each"


def place(circuit: Circuit, node: int) -> str:
    """A node as people say it; told here anew."""
    owner, _, rest = circuit.plant.name(node).partition("/")
    found = circuit.plant.units.get(owner) or circuit.plant.bays[owner]
    return f"{found.title} {rest}"


def channel(circuit: Circuit, number: int) -> str:
    owner, _, rest = circuit.plant.channel_name(number).partition("/")
    return f"{circuit.plant.units[owner].title} {rest}"


def found_boxes(page: Page) -> list[Any]:
    """Small squares."""
    return [rect for rect in page.rects if rect["width"] < 12 and abs(rect["width"] - rect["height"]) < 0.1]


def test_the_cords_that_serve_a_need_are_named() -> None:
    """In the example the telephone voice goes by the cords from the compressor to the equaliser and from there to the converter."""
    _, _, found = example()
    page = next(page for page in chapter(found, "Setups") if "Radiodrama(drama)" in signs(page))
    rows = page.extract_text().split("\n")
    start = next(index for index, row in enumerate(rows) if row.startswith("Booth box line 2 > Voice B mic"))
    assert re.search(r"met 1, 2$", rows[start])
    start = next(index for index, row in enumerate(rows) if row.startswith("Booth box line 3"))
    assert rows[start].endswith("must be met"), "this one needs no cord"


def test_every_bay_is_shown_from_the_front_and_from_behind_with_all_that_is_wired() -> None:
    one, _, found = example()
    circuit = circuit_of(one)
    part = chapter(found, "Bays")
    for bay in circuit.plant.bays.values():
        assert any(squeezed(f"{bay.title}, from the front") in signs(page) for page in part)
        behind = next(page for page in part if squeezed(f"{bay.title}, from behind") in signs(page))
        text = signs(behind)
        for row in ("top", "bottom"):
            for column in range(1, bay.columns + 1):
                for wire in circuit.plant.wires_of(bay.jack(row, column)):
                    assert wire.number is None or wire.number in text
    for setup in circuit.plant.setups.values():
        title = setup.written.title or setup.id
        on = {
            circuit.plant.bay_of(end.node).title
            for cord in setup.cords
            for end in (cord.a, cord.b)
            if end.how == "jack"
        }
        for bay_title in on:
            assert any(squeezed(f"{bay_title}, from the front, in setup {title}") in signs(page) for page in part)


def test_from_behind_the_bay_is_mirrored() -> None:
    """The cables of columns 1 to 8 of the north bay are L111 to L118: from behind the first is the rightmost."""
    page = next(page for page in chapter(example()[2], "Bays") if "Northbay,frombehind" in signs(page))
    places = {word["text"]: word["x0"] for word in page.extract_words()}
    rights = [places[f"L{number}"] for number in range(111, 119)]
    assert rights == sorted(rights, reverse=True)
    assert "column1isontheright" in signs(page)


def test_every_finding_is_there_and_every_accepted_one_with_its_reason() -> None:
    one, _, found = example()
    text = "".join(map(signs, chapter(found, "Findings")))
    assert one.report.findings
    assert one.report.accepted
    for finding in one.report.findings:
        assert squeezed(finding.text) in text
    for finding, accept in one.report.accepted:
        assert squeezed(accept.because or "") in text
        assert finding.rule in text


def test_what_is_not_written_down_is_counted() -> None:
    one, _, found = example()
    text = " ".join(page.extract_text() for page in chapter(found, "What is not written down"))
    cables = schedule(circuit_of(one).plant)
    for what, count in (
        ("number", sum(cable.number is None for cable in cables)),
        ("type", sum(cable.type is None for cable in cables)),
        ("length", sum(cable.metres is None for cable in cables)),
    ):
        assert re.search(rf"cables without a {what} {count} ", text), what


def test_every_unit_and_bay_is_in_a_drawing() -> None:
    one, made, found = example()
    plant = circuit_of(one).plant
    text = "".join(map(signs, chapter(found, "Drawings")))
    titles = [unit.title for unit in plant.units.values()] + [bay.title for bay in plant.bays.values()]
    for title in titles:
        assert text.count(squeezed(title)) > 1, f"{title}: in the list of its room and in a drawing"
    assert made.left == ()


# -- where it is ---------------------------------------------------------------------------------------------------------


def test_the_contents_say_the_right_pages_and_lead_there() -> None:
    _, _, found = example()
    outline = outline_of(found)
    listed = {}
    for number in (1, 2, 3):
        for line in lines_of(number):
            match = re.fullmatch(r"(.+?) (\d+)", line.replace(".", " ").strip())
            if match:
                listed[" ".join(match[1].split())] = int(match[2])
    assert len(outline) > 20
    for entry in outline:
        title = " ".join(entry["title"].replace(".", " ").split())
        assert listed[title] == entry["page"], title
        heading = entry["title"].partition(":")[0].partition(" (")[0]
        assert squeezed(heading) in signs(found[entry["page"] - 1])
    links = [link for page in found[:4] for link in page.annots]
    assert len(links) == len(outline)


def test_nothing_is_outside_the_page_and_no_type_below_what_is_stated() -> None:
    found = example()[2]
    assert {(round(float(page.width), 1), round(float(page.height), 1)) for page in found} == {(841.9, 595.3)}
    assert f"{LEAST_TYPE:g} points" in found[0].extract_text()
    for page in found:
        fine(page)


def test_letter() -> None:
    found = tuple(pages(bound(opened(random_studio(1, "large")), "letter").made.data))
    assert {(float(page.width), float(page.height)) for page in found} == {(792, 612)}
    for page in found:
        fine(page)


def fine(page: Page) -> None:
    """All signs and shapes within the page, no sign too small."""
    for sign in page.chars:
        assert within(sign, page), (page.page_number, sign["text"])
        high = sign["height"] if sign["upright"] else sign["width"]
        assert high >= LEAST_TYPE - 0.01, (page.page_number, sign["text"], high)
    for shape in (*page.rects, *page.lines, *page.curves):
        assert within(shape, page), page.page_number


def within(found: dict[str, Any], page: Page) -> bool:
    level = -0.01 <= found["x0"] <= found["x1"] <= float(page.width) + 0.01
    upright = -0.01 <= found["top"] <= found["bottom"] <= float(page.height) + 0.01
    return bool(level and upright)


def test_no_page_is_empty() -> None:
    for page in example()[2]:
        assert len(page.extract_text().split("\n")) > 4, page.page_number


def test_no_line_of_text_lies_on_another() -> None:
    """Upright words of one page whose boxes meet, letters only, would be unreadable; strokes may cross."""
    for page in example()[2]:
        words = [word for word in page.extract_words(use_text_flow=True, extra_attrs=["upright"]) if word["upright"]]
        words.sort(key=lambda word: (round(word["top"]), word["x0"]))
        for _, group in groupby(words, key=lambda word: round(word["top"])):
            row = list(group)
            for one, other in pairwise(row):
                assert one["x1"] <= other["x0"] + 0.6, (page.page_number, one["text"], other["text"])


# -- the same again, and others ------------------------------------------------------------------------------------------


def test_the_same_bytes_twice() -> None:
    assert bound(millrace()).made.data == example()[1].made.data
    assert b"Date" not in example()[1].made.data.replace(b"CreationDate (D:20000101000000+00'00')", b"").replace(
        b"ModDate (D:20000101000000+00'00')", b""
    )


def test_without_graphviz_there_is_no_drawing_and_that_is_said() -> None:
    made = bound(millrace(), drawn=False)
    found = tuple(pages(made.made.data))
    assert made.left == ("The drawings: there is no graphviz here. Install it with: pip install graphviz-pure",)
    assert "Leftoutofthisbook" in signs(found[0])
    assert squeezed(made.left[0]) in signs(found[0])
    assert "Drawings" not in [entry["title"] for entry in outline_of(found)]


@pytest.mark.parametrize("key", NAMES)
def test_any_name_is_on_paper_whole(key: str) -> None:
    name = NAMES[key]
    one = opened({"studio.toml": hostile(name)})
    made = bound(one)
    found = tuple(pages(made.made.data))
    lacks = [sign for sign in cleaned(name) if not has(sign)]
    assert bool(lacks) == bool(made.made.lacking)
    for page in found:
        if not lacks:
            fine(page)
        assert REVISION in signs(page)
    if not lacks and key not in ("hebrew", "arabic"):
        assert squeezed(name) in signs(found[0])
        assert squeezed(name) in "".join(map(signs, chapter(found, "Cables")))
    assert len(outline_of(found)) > 8
    assert made.left == ()


@pytest.mark.parametrize("seed", some(range(6), 3))
def test_random_studios(seed: int) -> None:
    one = opened(random_studio(seed, "large" if seed < 2 else "small"))
    made = bound(one)
    found = tuple(pages(made.made.data))
    text = "".join(map(signs, found))
    for page in found:
        fine(page)
    for finding in one.report.findings:
        assert squeezed(finding.text) in text
    for setup in circuit_of(one).plant.setups:
        assert f"({setup})" in text
    for cable in schedule(circuit_of(one).plant):
        assert cable.number is None or squeezed(cable.number) in text


@pytest.mark.parametrize(
    ("bound_of", "most", "said"),
    [
        (
            "book_cables.MOST_CIRCUITS",
            5,
            r"Of the cable schedule: the last \d+ rows of \d+\. See them with: routecode cables",
        ),
        ("book_setups.MOST_SHEETS", 1, r"The patch sheets of \d+ setups, from Foley on\."),
        ("book_setups.MOST_ROWS", 3, r"Radio drama, Cords: the last \d rows? of \d\."),
        ("book_findings.MOST_FINDINGS", 2, r"The last \d+ findings of \d+\. See them with: routecode check --notes"),
        ("book_findings.MOST_FINDINGS", 1, r"The last \d+ accepted findings? of \d+\."),
        ("book_drawings.MOST_PICTURES", 3, "The drawing of South bay"),
        ("book_drawings._MOST_TRIED", 2, "The drawing of "),
        ("book_faces.MOST_PICTURES", 2, "The faces of 1 bay, from South bay on: a book shows"),
    ],
)
def test_what_a_bound_leaves_out_is_said_on_the_first_pages(
    monkeypatch: pytest.MonkeyPatch, bound_of: str, most: int, said: str
) -> None:
    monkeypatch.setattr(f"routecode.show.{bound_of}", most)
    made = bound(millrace(), drawn="drawings" in bound_of)
    assert any(re.match(said, text) for text in made.left), made.left
    first = "".join(map(signs, list(pages(made.made.data))[:2]))
    for text in made.left:
        assert squeezed(text) in first


def test_a_bay_too_wide_for_a_page_goes_on_on_the_next() -> None:
    """A hundred columns in pictures that have every column once, each of them whole."""
    made = bound(opened({"studio.toml": '[studio]\nlanguage = 1\n[bay.b]\ntitle = "Long"\ncolumns = 100\n'}))
    texts = [signs(page) for page in chapter(tuple(pages(made.made.data)), "Bays")]
    for side in ("thefront", "behind"):
        spans = [match for text in texts for match in re.findall(rf"Long,from{side},columns(\d+)to(\d+)of100", text)]
        assert len(spans) > 1
        columns = [column for first, last in spans for column in range(int(first), int(last) + 1)]
        assert columns == list(range(1, 101))


def test_a_unit_with_more_around_it_than_a_page_holds_is_drawn_in_shares() -> None:
    """Sixty units at one: every one of them is drawn beside it, in several pictures."""
    port = 'port = [{ name = "out", direction = "out", signal = "line" }]\n'
    units = "".join(
        f'[unit.u{n}]\ntitle = "Source {n:02}"\n{port}[[cable]]\nfrom = "u{n}/out"\nto = "c/in {n}"\n'
        for n in range(1, 61)
    )
    middle = '[unit.c]\ntitle = "Middle"\nport = [{ name = "in 1..60", direction = "in", signal = "line" }]\n'
    made = bound(opened({"studio.toml": f"[studio]\nlanguage = 1\n{middle}{units}"}))
    drawn = [signs(page) for page in chapter(tuple(pages(made.made.data)), "Drawings")[1:]]
    assert made.left == ()
    for number in range(1, 61):
        assert any(f"Source{number:02}" in text and "Middle" in text for text in drawn), number


def test_an_empty_studio_has_a_book_too() -> None:
    made = bound(opened({"studio.toml": "[studio]\nlanguage = 1\n"}))
    found = tuple(pages(made.made.data))
    assert "Nothingisopen" in "".join(map(signs, found))
    assert outline_of(found)[0]["title"] == "Parts"
