"""Faces of bays: nothing overlaps or is cut off, every jack is there once, behind is the mirror of the front."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from routecode.circuit.circuit import Circuit
from routecode.show.faces.face import face_svg
from tests.reference.studios import random_studio
from tests.show.face_reading import SVG, Reading, evenly, overlaps, read, struck
from tests.show.studios import circuit_of, millrace, opened

PITCH_AT_LEAST = 30
READABLE = 8.0
"""Pixels: the least size of letters."""


def sound(found: Reading) -> None:
    """What holds for every face."""
    assert overlaps(found.texts) == []
    assert [box.text for box in found.texts if not found.page.covers(box, 0)] == []
    assert struck(found) == []
    assert all(float(text.attrib["font-size"]) >= READABLE for text in found.root.iter(f"{SVG}text"))
    for jack in found.jacks:
        assert found.page.left < jack.x < found.page.right
        assert found.page.top < jack.y < found.page.bottom


def names_of(circuit: Circuit, bay: str) -> list[str]:
    placed = circuit.plant.bays[bay]
    return sorted(circuit.plant.name(placed.first + index) for index in range(placed.columns * placed.rows))


def whole(circuit: Circuit, found: Reading, bay: str) -> None:
    assert sorted(jack.name for jack in found.jacks) == names_of(circuit, bay)


def mirrored(front: Reading, rear: Reading) -> None:
    """Columns that stand in one line run the other way, at one pitch; the top row stays on top."""
    placed = {jack.name: jack for jack in rear.jacks}
    lines: dict[tuple[str, float], list[str]] = {}
    for jack in front.jacks:
        lines.setdefault((jack.name.partition("/")[2].rpartition(" ")[0], jack.y), []).append(jack.name)
    before = {jack.name: jack.x for jack in front.jacks}
    for names in lines.values():
        there = [placed[name] for name in names]
        assert len({jack.y for jack in there}) == 1
        assert [jack.name for jack in sorted(there, key=lambda jack: -jack.x)] == names
        assert len({round(before[jack.name] + jack.x, 2) for jack in there}) == 1
        assert evenly([before[name] for name in names])
        if len(names) > 1:
            assert before[names[1]] - before[names[0]] >= PITCH_AT_LEAST
    for found in (front, rear):
        heights = {jack.name: jack.y for jack in found.jacks}
        for name, y in heights.items():
            assert "/top " not in name or y < heights[name.replace("/top ", "/bottom ")]


def every_face(circuit: Circuit, bay: str) -> None:
    marks = {name: ("new", "gone", "changed")[index % 3] for index, name in enumerate(names_of(circuit, bay))}
    for setup in circuit.state_names:
        front, rear = (read(face_svg(circuit, bay, rear=rear, setup=setup)) for rear in (False, True))
        marked = read(face_svg(circuit, bay, setup=setup, marks=marks))
        for found in (front, rear, marked):
            sound(found)
            whole(circuit, found, bay)
        mirrored(front, rear)


@pytest.mark.parametrize("bay", ["north", "south"])
def test_the_example(bay: str) -> None:
    every_face(circuit_of(millrace()), bay)


@pytest.mark.parametrize("seed", range(25))
def test_random_studios(seed: int) -> None:
    circuit = circuit_of(opened(random_studio(seed)))
    for bay in circuit.plant.bays:
        every_face(circuit, bay)


TITLES = (
    "A",
    "Hall wall box",
    "Αίθουσα ηχογράφησης",
    "Предусилитель второй",
    "録音スタジオの広間の壁箱",
    "صندوق الجدار في القاعة",
    "</text><script>alert(1)</script>",
    "\"><svg onload='x'> & ]]> <!-- -->",
    "OneVeryLongWordWithoutAnySpaceThatNoColumnHasRoomForAndThatGoesOnForLongerThanAnyStripIsHigh" * 2,
    " ".join(["many short words"] * 20),
    "W" * 40,
    "q\u0336\u0336\u0336\u0336\u0336\u0336",
    "🎛️ desk",
)
PORTS = ("in", "line 7", "out left", "γραμμή 12", "線路 3", "a/b".replace("/", " of "), "x" * 90, "send 123456789")


@st.composite
def bays(draw: st.DrawFn) -> str:
    """A studio with one bay of any size and kind, units of odd names wired to some of its jacks, cords, mults and normals."""
    columns = draw(st.integers(1, 60))
    rows = draw(st.sampled_from((1, 2, 2, 2)))
    plugs = rows == 2 and draw(st.booleans())
    quoted = st.sampled_from(TITLES).map(lambda text: "'''" + text + "'''")
    lines = ["[studio]", "language = 1", "[room.r]", "[bay.b]", 'room = "r"', f"columns = {columns}", f"rows = {rows}"]
    lines += [f"title = {draw(quoted)}", f'normalling = "{"plugs" if plugs else "switched"}"']
    lines += [f'sources = "{draw(st.sampled_from(("top", "bottom")))}"']
    some = st.lists(st.integers(1, columns), max_size=8, unique=True)
    words = ("bottom", "top", "none") if plugs else ("none", "half", "full", "parallel")
    units = []
    for number, column in enumerate(draw(some)):
        lines += ["[[bay.b.column]]", f"at = {column}"]
        for row in ("top", "bottom")[:rows]:
            if draw(st.booleans()):
                unit, port = f"u{number}-{row}", draw(st.sampled_from(PORTS))
                lines.append(f"{row} = '{unit}/{port}'")
                units += [f"[unit.{unit}]", 'room = "r"', f"title = {draw(quoted)}"]
                units.append(f"port = [{{ name = '{port}', direction = 'either', signal = 'line' }}]")
        if rows == 2:
            lines.append(f'{"plug" if plugs else "normal"} = "{draw(st.sampled_from(words))}"')
        lines += [f"group = {draw(quoted)}"] * draw(st.booleans())
        lines += [f"reserved = {draw(quoted)}"] * draw(st.booleans())
        lines += [f"label_top = {draw(quoted)}"] * draw(st.booleans())
    jacks = [
        f"{row}{column}" for row in (("top ", "bottom ") if rows == 2 else ("",)) for column in range(1, columns + 1)
    ]
    picked = draw(st.lists(st.sampled_from(jacks), max_size=min(12, len(jacks)), unique=True))
    lines += _joints(draw, picked)
    return "\n".join([*lines, *units])


def _joints(draw: st.DrawFn, picked: list[str]) -> list[str]:
    lines = []
    if len(picked) > 1 and draw(st.booleans()):
        lines += ["[[bay.b.mult]]", f"at = {picked[: draw(st.integers(2, len(picked)))]}"]
    for one, other in zip(picked[::2], picked[1::2], strict=False):
        if draw(st.booleans()):
            lines += ["[[normal]]", f"from = 'b/{one}'", f"to = 'b/{other}'"]
            lines += [f"breaks = '{draw(st.sampled_from(('to', 'from', 'both', 'never')))}'"]
    lines += ["[setup.s]", f"title = '''{draw(st.sampled_from(TITLES))}'''"]
    for one, other in zip(picked[::2], picked[1::2], strict=False):
        lines += ["[[setup.s.cord]]", f"from = 'b/{one}'", f"to = 'b/{other}'"]
    return lines


@settings(max_examples=60)
@given(bays())
def test_any_bay(text: str) -> None:
    every_face(circuit_of(opened({"studio.toml": text})), "b")


def test_a_long_bay_stands_in_pieces_of_at_most_two_dozen_columns() -> None:
    text = '[studio]\nlanguage = 1\n[room.r]\n[bay.b]\nroom = "r"\ncolumns = 96'
    found = read(face_svg(circuit_of(opened({"studio.toml": text})), "b"))
    lines: dict[float, int] = {}
    for jack in found.jacks:
        lines[jack.y] = lines.get(jack.y, 0) + 1
    assert sorted(lines.values()) == [24] * 8
    sound(found)
