"""Where everything stands: the text that graphviz lays out (boxes of fixed size, no words in it), and its answer read back.

One layout serves every picture of a pair: it holds the union of both sides.
"""

import json
from typing import NamedTuple

from routecode.show.drawing.measure import TITLE, width
from routecode.show.drawing.picture import Attach, Block, Line, Picture, Point

_TABLE = '<TABLE BORDER="0" CELLBORDER="0" CELLSPACING="0" CELLPADDING="0">'


class Placed(NamedTuple):
    """Lower left corners of blocks, corners of frames, control points of lines, size of the whole."""

    blocks: dict[str, Point]
    frames: dict[str, tuple[float, float, float, float]]
    lines: dict[str, tuple[Point, ...]]
    size: Point


def layout_text(picture: Picture) -> str:
    """What graphviz lays out. It holds numbers only: no text of a user gets in."""
    rooms = {frame.id: index for index, frame in enumerate(picture.frames)}
    straight = len(picture.blocks) > _MANY
    out = ["digraph layout {", _GRAPH + (_FAST if straight else ", splines=true") + "]", 'node [shape=plain, label=""]', 'edge [arrowhead=none, arrowtail=none]']
    for frame in picture.frames:
        titles = max(width(title, TITLE, bold=True) for title in (frame.before, frame.after))
        out.append(f"subgraph cluster_{rooms[frame.id]} {{")
        out.append(f"graph [margin=14, labeljust=l, label=<{_TABLE}<TR>{_cell(round(min(titles, 240)) + 8, 14)}</TR></TABLE>>]")
        out += [_node(block) for block in picture.blocks if block.room == frame.id]
        out.append("}")
    out += [_node(block) for block in picture.blocks if block.room not in rooms]
    out += [_edge(line) for line in picture.lines]
    return "\n".join([*out, "}", ""])


_MANY = 300
_GRAPH = "graph [newrank=true, rankdir=TB, nodesep=0.3, ranksep=0.5, remincross=true, searchsize=60"
_FAST = ", nslimit=1, nslimit1=1, mclimit=0.1, splines=line"


def _edge(line: Line) -> str:
    heavy = min(line.count, 8)
    words = f"id={line.id}, weight={heavy}" + (", constraint=false" if line.back else "")
    return f"{_port(line.a)} -> {_port(line.b)} [{words}]"


def _port(end: Attach) -> str:
    return f"{end.node}:{end.port}:{end.edge}"


def _node(block: Block) -> str:
    return f"{block.node} [label=<{_TABLE}{_unit(block) if block.kind == 'unit' else _band(block)}</TABLE>>]"


def _unit(block: Block) -> str:
    upper = [slot for slot in block.slots if slot.low > 0]
    lower = [slot for slot in block.slots if slot.low == 0]
    used = sum(row[0].high for row in (upper, lower) if row)
    rows = [_row(upper)] if upper else []
    rows.append(_nested(_cell(block.wide, block.high - used)))
    return "".join(f"<TR><TD>{row}</TD></TR>" for row in [*rows, *([_row(lower)] if lower else [])])


def _row(slots: list) -> str:  # type: ignore[type-arg]
    return _nested("".join(_cell(slot.wide, slot.high, slot.port) for slot in slots))


def _nested(cells: str) -> str:
    return f"{_TABLE}<TR>{cells}</TR></TABLE>"


def _band(block: Block) -> str:
    """Rows of jacks, and between them the heights at which cords leave at the right."""
    upper = [slot for slot in block.slots if slot.port.startswith("u")]
    lower = [slot for slot in block.slots if slot.port.startswith("l")]
    first = block.slots[0].left
    right = block.wide - (upper[-1].left + upper[-1].wide)
    rows = [_nested(_cell(first, upper[0].high) + "".join(_cell(slot.wide, slot.high, slot.port) for slot in upper) + (_cell(right, upper[0].high) if right else ""))]
    if lower:
        rows += [_nested(cells) for cells in _rails(block)]
        rows.append(_nested(_cell(first, lower[0].high) + "".join(_cell(slot.wide, slot.high, slot.port) for slot in lower) + (_cell(right, lower[0].high) if right else "")))
    return "".join(f"<TR><TD>{row}</TD></TR>" for row in rows)


def _rails(block: Block) -> list[str]:
    """The gap from top to bottom, cut so that each rail is the middle of its own cell."""
    found = []
    low, top = block.gap
    for index, height in enumerate(block.rails):
        half = 2.0
        found.append(_cell(block.wide, top - height - half) if top - height - half > 0 else "")
        found.append(_cell(block.wide, 2 * half, f"r{index}"))
        top = height - half
    return [cells for cells in [*found, _cell(block.wide, top - low) if top > low else ""] if cells]


def _cell(wide: float, high: float, port: str = "") -> str:
    name = f' PORT="{port}"' if port else ""
    return f'<TD{name} FIXEDSIZE="TRUE" WIDTH="{wide:g}" HEIGHT="{high:g}"></TD>'


# -- the answer -----------------------------------------------------------------------------------------------------------


def read_layout(picture: Picture, answer: str) -> Placed | None:
    """The places in graphviz' JSON; None where anything of the picture is missing from it."""
    try:
        document = json.loads(answer)
        named = {thing["name"]: thing for thing in document.get("objects", ())}
        paths = {edge["id"]: _points(edge["pos"]) for edge in document.get("edges", ())}
        blocks = {block.node: _corner(named[block.node]["pos"], block) for block in picture.blocks}
        frames = {frame.id: _box(named[f"cluster_{index}"]["bb"]) for index, frame in enumerate(picture.frames)}
        lines = {line.id: paths[line.id] for line in picture.lines}
        _, _, wide, high = _box(document["bb"])
    except (ValueError, KeyError, TypeError):
        return None
    return Placed(blocks, frames, lines, (wide, high))


def _corner(text: str, block: Block) -> Point:
    x, y = _pair(text)
    return round(x - block.wide / 2, 2), round(y - block.high / 2, 2)


def _box(text: str) -> tuple[float, float, float, float]:
    a, b, c, d = (float(part) for part in text.split(","))
    return a, b, c, d


def _pair(text: str) -> Point:
    x, y = text.split(",")
    return float(x), float(y)


def _points(text: str) -> tuple[Point, ...]:
    return tuple(_pair(part) for part in text.split() if part[0] not in "es")
