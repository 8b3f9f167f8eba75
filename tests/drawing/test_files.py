"""Files of drawings: complete or not at all, the same bytes every time, in each format, never over a file of the user's."""

import re
import struct
import sys
import sysconfig
import zlib
from collections.abc import Callable
from html import unescape
from pathlib import Path

import pytest

from routecode.cli import draw
from routecode.show.drawing.drawing import Drawn, drawn, is_ours, picture_of, plan
from routecode.show.drawing.engine import Answer, Engine, Fault, run
from routecode.show.drawing.paint import View, page_size, paint
from routecode.show.drawing.pdf import pdf_of
from routecode.show.drawing.svg import finish
from tests.cli.asking import ask, git
from tests.drawing.studios import AFTER, BEFORE, asked, circuit, compiled, engine, made, planned
from tests.show.paper_reading import pages, signs, squeezed


@pytest.mark.parametrize("form", ["svg", "png", "pdf", "gv"])
def test_same_input_same_bytes(form: str) -> None:
    pairs = [made(planned(asked(circuit(AFTER), circuit(BEFORE), "take")), View.CHANGE, form) for _ in range(2)]
    assert pairs[0] == pairs[1]
    assert is_ours(pairs[0])


def test_the_order_of_files_and_tables_changes_nothing() -> None:
    tables = re.split(r"(?m)^(?=\[(?:unit|room)\.)", BEFORE)
    head, units = tables[0], tables[1:]
    last, rest = units[-1].partition("[bay.")[0], "[bay." + units[-1].partition("[bay.")[2]
    shuffled = {"studio.toml": head, "z.toml": rest, "m.toml": last + "".join(reversed(units[:-1]))}
    assert made(planned(asked(compiled(shuffled))), View.ONE) == made(planned(asked(circuit(BEFORE))), View.ONE)


def test_every_line_is_in_the_svg_or_there_is_none() -> None:
    laid = planned(asked(circuit(BEFORE)))
    size = page_size(laid.picture, laid.placed, [])
    painted = paint(laid.picture, laid.placed, View.ONE, ("head", "foot"), size)
    answer = run(engine(), "neato", "svg", painted.text)
    assert isinstance(answer, bytes)
    assert answer.count(b'class="edge"') == painted.edges > len(laid.picture.lines)
    assert finish(answer, painted, "t", "d") is not None
    start = answer.index(b'<g id="l1"')
    lacking = answer[:start] + answer[answer.index(b"</g>", start) + 5 :]
    assert finish(lacking, painted, "t", "d") is None
    assert finish(answer[:-30], painted, "t", "d") is None


def failing(answer: Answer | Fault) -> Engine:
    return Engine("graphviz", lambda _arguments, _text, _seconds: answer)


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        (Answer(1, b"<svg/>", ""), "status 1"),
        (Answer(0, b"<svg/>", "Error: lost 3 edges"), "lost 3 edges"),
        (Answer(0, b"", ""), "no reason given"),
        (Answer(0, b"{}", ""), "left something out"),
        (Answer(0, b'{"objects": [], "edges": []}', ""), "left something out"),
        (Fault("took longer than 60 seconds."), "took longer than 60 seconds"),
    ],
)
def test_an_answer_that_is_not_whole_is_refused(answer: Answer | Fault, said: str) -> None:
    request = asked(circuit(BEFORE))
    found = picture_of(request)
    assert found is not None
    fault = plan(request, *found, failing(answer))
    assert isinstance(fault, Fault)
    assert said in fault.text


def test_remarks_on_fonts_are_no_errors() -> None:
    answer = Answer(0, b"x", "Warning: no hard-coded metrics\nFontconfig error: Cannot load default config file")
    assert run(failing(answer), "dot", "json", "") == b"x"


def test_a_program_that_hangs_or_is_none_is_told(tmp_path: Path) -> None:
    slow = draw._engine("/bin/sleep", "sleep")
    assert isinstance(slow.start(("5",), b"", 0.1), Fault)
    assert isinstance(draw._engine(str(tmp_path / "nothing"), "x").start((), b"", 1), Fault)


def test_a_png_is_as_large_as_its_page() -> None:
    laid = planned(asked(circuit(BEFORE)))
    data = made(laid, View.ONE, "png")
    wide, high = struct.unpack(">II", data[16:24])
    size = page_size(laid.picture, laid.placed, [laid.foot(View.ONE)])
    assert (wide, high) == (pytest.approx(size[0] * 2, abs=3), pytest.approx(size[1] * 2, abs=3))
    length = struct.unpack(">I", data[33:37])[0]
    assert struct.unpack(">I", data[41 + length : 45 + length])[0] == zlib.crc32(data[37 : 41 + length])


def test_a_pdf_holds_every_text_where_the_svg_has_it() -> None:
    laid = planned(asked(circuit(BEFORE)))
    (page,) = pages(made(laid, View.ONE, "pdf"))
    size = page_size(laid.picture, laid.placed, [laid.foot(View.ONE)])
    assert float(page.width) == pytest.approx(size[0], abs=1)
    assert float(page.height) == pytest.approx(size[1], abs=1)
    svg = made(laid, View.ONE).decode()
    texts = re.findall(r"<text[^>]*>([^<]+)</text>", svg)
    assert {"South bay", "mic 1–8"} <= set(texts)
    for text in texts:
        assert squeezed(unescape(text)) in signs(page), text
    assert all(char["x0"] >= 0 and char["x1"] <= size[0] + 1 for char in page.chars)
    assert all(char["top"] >= 0 and char["bottom"] <= size[1] + 1 for char in page.chars)
    assert len(page.curves) + len(page.lines) + len(page.rects) > len(laid.picture.lines)


def test_a_pdf_has_other_scripts_and_says_what_it_cannot_show() -> None:
    text = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 90 9"><text x="1" y="8" font-size="9">{}</text></svg>'
    assert pdf_of(text.format("éЖλא")).lacking == ()
    assert pdf_of(text.format("é漢字")).lacking == (("é漢字", ("字", "漢")),)
    laid = planned(asked(circuit(BEFORE.replace('"Preamp"', '"録音"'))))
    answer = drawn(laid, View.ONE, "pdf", engine())
    assert isinstance(answer, Drawn)
    assert "lack U+9332, U+97F3:" in answer.note
    assert "the SVG has them" in answer.note


def test_a_pdf_is_no_larger_than_readers_show() -> None:
    text = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 28800 90"><text x="1" y="8" font-size="9">x</text></svg>'
    )
    (page,) = pages(pdf_of(text).data)
    assert (float(page.width), float(page.height)) == (14400, 45)


def test_an_svg_tells_itself_to_who_cannot_see_it() -> None:
    svg = made(planned(asked(circuit(AFTER), circuit(BEFORE))), View.CHANGE).decode()
    assert 'role="img" aria-labelledby="change-title change-desc"' in svg
    assert '<title id="change-title">Small: change unpatched</title>' in svg
    desc = re.search(r"<desc[^>]*>(.*?)</desc>", svg)
    assert desc is not None
    assert "Cable from Wall box line 1 to North bay top 2, new." in desc[1]
    assert "design aid: check on site" in svg


# -- the command --------------------------------------------------------------------------------------------------------


@pytest.fixture
def studio(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "studio.toml").write_text(BEFORE, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_draw_writes_one_picture_and_says_where(studio: Path) -> None:
    ran = ask("draw")
    assert (ran.status, ran.out) == (0, "small.svg\n")
    assert (studio / "small.svg").read_bytes().startswith(b"<?xml")
    assert ask("draw", "--setup", "take", "-o", "x.png").out == "x.png\n"
    assert sorted(path.name for path in studio.iterdir()) == ["small.svg", "studio.toml", "x.png"]


def test_draw_replaces_its_own_pictures_and_no_others(studio: Path) -> None:
    (studio / "mine.svg").write_text("<svg>by hand</svg>")
    ran = ask("draw", "-o", "mine.svg")
    assert ran.status == 2
    assert '"mine.svg" that this program did not write' in ran.err
    assert (studio / "mine.svg").read_text() == "<svg>by hand</svg>"
    assert ask("draw", "-o", "mine.svg", "--force").status == 0
    for name in ("mine.svg", "a.png", "a.pdf", "a.gv"):
        assert [ask("draw", "-o", name).status for _ in range(2)] == [0, 0]


def test_a_range_gives_three_pictures(studio: Path) -> None:
    git(studio, "init", "-q")
    git(studio, "config", "user.name", "A")
    git(studio, "config", "user.email", "a@example.org")
    git(studio, "add", "studio.toml")
    git(studio, "commit", "-qm", "First")
    (studio / "studio.toml").write_text(AFTER, encoding="utf-8")
    git(studio, "commit", "-qam", "Second")
    ran = ask("draw", "HEAD~1..HEAD")
    assert (ran.status, ran.out) == (0, "small-before.svg\nsmall-after.svg\nsmall-change.svg\n")
    assert "First" in (studio / "small-before.svg").read_text(encoding="utf-8")
    assert "Second" in (studio / "small-after.svg").read_text(encoding="utf-8")


def test_without_graphviz_a_text_for_it_is_written(studio: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    none: Callable[[str | None], None] = lambda _setting: None  # noqa: E731 (typed, and used once)
    monkeypatch.setattr(draw, "find_engine", none)
    ran = ask("draw")
    assert (ran.status, ran.out) == (0, "small.gv\n")
    assert "pip install graphviz-pure" in ran.err
    text = (studio / "small.gv").read_bytes()
    answer = engine().start(("-Kdot", "-Tsvg"), text, 10)
    assert isinstance(answer, Answer)
    assert answer.out.count(b'class="edge"') == len(planned(asked(circuit(BEFORE))).picture.lines)


def test_the_order_in_which_graphviz_is_looked_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    own = tmp_path / "mydot"
    own.write_text("#!/bin/sh\n")
    own.chmod(0o755)
    found = draw.find_engine(str(own))
    assert found is not None
    assert found.name == str(own)
    pure = draw.find_engine(None)
    assert pure is not None
    assert pure.name == "graphviz-pure"
    monkeypatch.setattr(sysconfig, "get_path", lambda _name: str(tmp_path))
    monkeypatch.setattr(sys, "executable", str(tmp_path / "python"))
    monkeypatch.setenv("PATH", str(tmp_path))
    assert draw.find_engine(None) is None
    own.rename(tmp_path / "dot")
    system = draw.find_engine(None)
    assert system is not None
    assert system.name == "dot"


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--around", "nowhere"), "no place nowhere"),
        (("--around", "north/top 99"), "no place"),
        (("--setup", "takes"), "no setup takes"),
        (("-o", "x.jpg"), "which format"),
        (("--dot", "/no/such/program"), "no program"),
        (("-o", "missing/folder/x.svg"), "could not be written"),
    ],
)
def test_what_cannot_be_drawn_is_said(studio: Path, arguments: tuple[str, ...], said: str) -> None:
    ran = ask("draw", *arguments)
    assert (ran.status, ran.out) == (2, "")
    assert said in ran.err
    assert "Traceback" not in ran.err
