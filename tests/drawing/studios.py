"""Studios to draw, and drawings of them read back."""

import re
import xml.etree.ElementTree as ET
from functools import cache
from pathlib import Path
from typing import NamedTuple

from routecode.circuit.circuit import Circuit
from routecode.cli.draw import find_engine
from routecode.files.tree import Files, read_worktree
from routecode.show.drawing.drawing import Asked, Drawn, Plan, drawn, picture_of, plan
from routecode.show.drawing.engine import Engine
from routecode.show.drawing.paint import View
from routecode.studio.opened import Opened

MILLRACE = Path(__file__).resolve().parents[2] / "examples" / "millrace"
SVG = "{http://www.w3.org/2000/svg}"

BEFORE = """
[studio]
title = "Small"
language = 1
[room.hall]
title = "Hall"
[room.control]
title = "Control room"
[unit.box]
title = "Wall box"
room = "hall"
port = [{ name = "line 1..8", direction = "either", signal = "mic" }]
[unit.pre]
title = "Preamp"
room = "control"
port = [{ name = "mic 1..8", direction = "in", signal = "mic" }, { name = "out 1..8", direction = "out", signal = "line" }]
inside = [{ from = "mic 1..8", to = "out 1..8" }]
[unit.comp]
title = "Compressor"
room = "control"
port = [{ name = "in 1..2", direction = "in", signal = "line" }, { name = "out 1..2", direction = "out", signal = "line" }]
inside = [{ from = "in 1..2", to = "out 1..2" }]
[unit.conv]
title = "Converter"
room = "control"
port = [{ name = "line 1..16", direction = "in", signal = "line" }]
[bay.north]
title = "North bay"
room = "control"
columns = 12
normal = "half"
[[bay.north.column]]
at = "1..8"
top = "box/line 1..8"
bottom = "pre/mic 1..8"
[bay.south]
title = "South bay"
room = "control"
columns = 16
normal = "half"
[[bay.south.column]]
at = "1..2"
top = "pre/out 1..2"
bottom = "comp/in 1..2"
[[bay.south.column]]
at = "3..4"
top = "comp/out 1..2"
bottom = "conv/line 1..2"
[[bay.south.column]]
at = "5..10"
top = "pre/out 3..8"
bottom = "conv/line 3..8"
[setup.take]
[[setup.take.cord]]
from = "south/top 5"
to = "south/bottom 3"
[[setup.take.cord]]
from = "north/top 8"
to = "south/bottom 10"
"""

AFTER = (
    BEFORE.replace('top = "box/line 1..8"', 'top = ["box/line 2", "box/line 1", "box/line 3..8"]')
    .replace(
        "[unit.conv]",
        '[unit.eq]\ntitle = "Equaliser"\nroom = "control"\nport = [{ name = "in 1", direction = "in", signal = "line" }]\n[unit.conv]',
    )
    .replace('bottom = "conv/line 3..8"', 'bottom = ["conv/line 3..7", "eq/in 1"]\nnormal = "full"')
)


def circuit(text: str) -> Circuit:
    """The circuit of one file."""
    return compiled({"studio.toml": text})


def compiled(texts: dict[str, str]) -> Circuit:
    """The circuit of these files."""
    found = Opened(Files("studio", {name: text.encode() for name, text in sorted(texts.items())}, ()), "worktree")
    assert found.mistakes == ()
    assert found.circuit is not None
    return found.circuit


@cache
def millrace() -> Circuit:
    """The example studio."""
    found = Opened(read_worktree(MILLRACE), "worktree").circuit
    assert found is not None
    return found


@cache
def engine() -> Engine:
    """The graphviz that was installed with the project."""
    found = find_engine(None)
    assert found is not None
    return found


def asked(after: Circuit, before: Circuit | None = None, setup: str | None = None, **more: object) -> Asked:
    """A request with made-up revision names."""
    called = ("1111111111", "2222222222") if before is not None else ("3333333333",)
    return Asked(before, after, "Small", called, setup, **more)  # type: ignore[arg-type]  # the options by name


def planned(request: Asked) -> Plan:
    """Its layout."""
    found = picture_of(request)
    assert found is not None
    made = plan(request, *found, engine())
    assert isinstance(made, Plan), made
    return made


def made(laid: Plan, view: View, form: str = "svg") -> bytes:
    """One view as a file."""
    answer = drawn(laid, view, form, engine())
    assert isinstance(answer, Drawn), answer
    return answer.data


class Shape(NamedTuple):
    """A drawn thing read back: its numbers, and its texts, colours and dash patterns."""

    places: tuple[str, ...]
    texts: tuple[str, ...]
    strokes: tuple[str, ...]
    dashes: tuple[str, ...]
    title: str


def shapes(svg: bytes, prefix: str = "") -> dict[str, Shape]:
    """All drawn things by their id without its prefix."""
    found = {}
    for group in ET.fromstring(svg.decode()).iter(f"{SVG}g"):
        if "id" in group.attrib:
            parts = list(group)
            places = tuple(value for part in parts for key, value in part.items() if key in ("points", "d", "x", "y"))
            texts = tuple(part.text or "" for part in parts if part.tag == f"{SVG}text")
            strokes = tuple(part.attrib["stroke"] for part in parts if "stroke" in part.attrib)
            dashes = tuple(part.get("stroke-dasharray", "") for part in parts if part.tag == f"{SVG}path")
            found[group.attrib["id"].removeprefix(prefix)] = Shape(
                places, texts, strokes, dashes, group.findtext(f"{SVG}title", "")
            )
    return found


def box(shape: Shape) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of a rectangle, as in the file (y grows downward)."""
    numbers = [float(part) for part in re.findall(r"-?[0-9.]+", shape.places[0])]
    return min(numbers[::2]), min(numbers[1::2]), max(numbers[::2]), max(numbers[1::2])


def corners(shape: Shape) -> list[tuple[float, float]]:
    """All numbers of a path or polygon as points."""
    numbers = [float(part) for part in re.findall(r"-?[0-9.]+", shape.places[0])]
    return list(zip(numbers[::2], numbers[1::2], strict=True))
