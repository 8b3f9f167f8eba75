"""Names of any kind are shown as they are written, cut where they are long, and never mean anything to graphviz or to a browser."""

import json
import xml.etree.ElementTree as ET
from unicodedata import normalize

import pytest
from attrs import evolve

from routecode.show.drawing.layout import layout_text, readable_text
from routecode.show.drawing.paint import View
from routecode.show.drawing.quote import quoted
from tests.drawing.studios import SVG, asked, circuit, engine, made, planned, shapes

HOSTILE = (
    "<script>alert(1)</script>",
    "</text></svg><img src=x onerror=alert(1)>",
    "<b>bold</b>",
    "R&amp;B & R&B &lt;",
    "ends in a backslash\\",
    r"\N \G \L \l \r \n \E \T \H",
    "say \"no\" and 'yes'",
    '", URL="http://example.org", label="',
    "]]> -- --> <!-- }; digraph { a }",
    "<<TABLE><TR><TD>x</TD></TR></TABLE>>",
    "$(reboot) `reboot` %s {0}",
    "Микрофоны в зале",
    "Μικρόφωνα αίθουσας",
    "מיקרופון אולם",
    "ميكروفونات القاعة",
    "録音室のマイク",
    "étude naïve Ærø",
    "W" * 200,
    "漢" * 200,
)


def titled(name: str) -> str:
    """A studio in which everything that may be called anything is called that."""
    text = json.dumps(name, ensure_ascii=False)
    return f"""
[studio]
title = {text}
language = 1
[room.r]
title = {text}
[rack.k]
title = {text}
room = "r"
[unit.a]
title = {text}
rack = "k"
port = [{{ name = "out", direction = "out", signal = "line" }}]
[unit.b]
title = {text}
away = {text}
port = [{{ name = "in", direction = "in", signal = "line" }}]
[bay.c]
title = {text}
rack = "k"
columns = 4
[[bay.c.column]]
at = 1
top = "a/out"
bottom = "b/in"
"""


def with_port(name: str) -> str:
    """A studio with a port of that name, and a cable of that number."""
    text, place = json.dumps(name, ensure_ascii=False), json.dumps(f"a/{name}", ensure_ascii=False)
    return f"""
[studio]
title = "Ports"
language = 1
[unit.a]
port = [{{ name = {text}, direction = "out", signal = "line" }}]
[unit.b]
port = [{{ name = "in", direction = "in", signal = "line" }}]
[[cable]]
number = {text}
from = {place}
to = "b/in"
"""


PORTS = [
    name
    for name in HOSTILE
    if "/" not in name and ".." not in name and name.isprintable() and normalize("NFC", name) == name
]


@pytest.mark.parametrize("name", PORTS)
def test_a_port_is_text_too(name: str) -> None:
    found = shapes(made(planned(asked(circuit(with_port(name)))), View.ONE))
    assert any(name in shape.title for shape in found.values())
    assert any(text.startswith(name[:5]) for shape in found.values() for text in shape.texts)


@pytest.mark.parametrize("name", HOSTILE)
def test_a_name_is_text_and_nothing_else(name: str) -> None:
    laid = planned(asked(circuit(titled(name))))
    svg = made(laid, View.ONE)
    root = ET.fromstring(svg.decode())
    tags = {element.tag.removeprefix(SVG) for element in root.iter()}
    assert tags <= {"svg", "title", "desc", "g", "polygon", "path", "text", "polyline"}
    assert not [key for element in root.iter() for key in element.attrib if "href" in key or key.startswith("on")]
    assert len(list(root.iter(f"{SVG}path"))) >= len(laid.picture.lines)


@pytest.mark.parametrize("name", [name for name in HOSTILE if len(name) < 30 and name.isprintable()])
def test_a_short_name_is_shown_exactly(name: str) -> None:
    texts = [
        text for shape in shapes(made(planned(asked(circuit(titled(name)))), View.ONE)).values() for text in shape.texts
    ]
    assert name in texts


@pytest.mark.parametrize("name", ["W" * 200, "漢" * 200])
def test_a_long_name_is_cut_in_the_picture_and_whole_for_who_points_at_it(name: str) -> None:
    found = shapes(made(planned(asked(circuit(titled(name)))), View.ONE))
    assert not [
        text
        for shape in found.values()
        for text in shape.texts
        if len(text) > 60 and name[0] * 61 in text and shape.title == ""
    ]
    assert any(shape.title.startswith(name) for shape in found.values())


def test_signs_that_turn_or_hide_text_are_shown_as_such() -> None:
    """The language refuses them in names; a commit's title may still bring one in."""
    request = evolve(asked(circuit(titled("x"))), called=("\u202eabc\u200bdef\x1b[31m",))
    svg = made(planned(request), View.ONE).decode()
    assert "�abc�def�[31m" in svg


def test_the_layout_holds_no_text_of_a_user() -> None:
    laid = planned(asked(circuit(titled("Zanzibar"))))
    assert "Zanzibar" not in layout_text(laid.picture)
    assert "Zanzibar" in readable_text(laid.picture)


@pytest.mark.parametrize("name", HOSTILE)
def test_quoting_gives_the_text_back(name: str) -> None:
    """Through graphviz itself: what it draws is what was written."""
    answer = engine().start(("-Kdot", "-Tsvg"), f"digraph {{ a [label={quoted(name)}] }}".encode(), 10)
    texts = ET.fromstring(answer.out.decode()).iter(f"{SVG}text")  # type: ignore[union-attr]
    assert [text.text for text in texts] == [name]
