"""Rows and places from left to right: the text that graphviz lays out (boxes of fixed size, no words in it), and its answer read back.

One layout serves every picture of a pair: it holds the union of both sides.
"""

import json

from routecode.show.drawing.labels import text_of
from routecode.show.drawing.measure import TITLE, width
from routecode.show.drawing.picture import Attach, Block, Line, Picture, Point, Slot
from routecode.show.drawing.quote import quoted
from routecode.show.drawing.route import Placed, route

_TABLE = '<TABLE BORDER="0" CELLBORDER="0" CELLSPACING="0" CELLPADDING="0">'


def layout_text(picture: Picture) -> str:
    """What graphviz lays out. It holds numbers only: no text of a user gets in."""
    rooms = {frame.id: index for index, frame in enumerate(picture.frames)}
    straight = len(picture.blocks) > _MANY
    out = [
        "digraph layout {",
        _GRAPH + (_FAST if straight else "") + "]",
        'node [shape=plain, label=""]',
        "edge [arrowhead=none, arrowtail=none]",
    ]
    for frame in picture.frames:
        titles = max(width(title, TITLE, bold=True) for title in (frame.before, frame.after))
        out.append(f"subgraph cluster_{rooms[frame.id]} {{")
        out.append(
            f"graph [margin=14, labeljust=l, label=<{_TABLE}<TR>{_cell(round(min(titles, 240)) + 8, 14)}</TR></TABLE>>]"
        )
        out += [_node(block) for block in picture.blocks if block.room == frame.id]
        out.append("}")
    out += [_node(block) for block in picture.blocks if block.room not in rooms]
    out += [_edge(line) for line in picture.lines]
    return "\n".join([*out, "}", ""])


_MANY = 300
_GRAPH = "graph [newrank=true, rankdir=TB, nodesep=0.3, ranksep=0.4, splines=false, remincross=true, searchsize=60"
_FAST = ", nslimit=1, nslimit1=1, mclimit=0.1"


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


def _row(slots: list[Slot]) -> str:
    return _nested("".join(_cell(slot.wide, slot.high, slot.port) for slot in slots))


def _nested(cells: str) -> str:
    return f"{_TABLE}<TR>{cells}</TR></TABLE>"


def _band(block: Block) -> str:
    """Rows of jacks, and between them the heights at which cords leave at the right."""
    upper = [slot for slot in block.slots if slot.port.startswith("u")]
    lower = [slot for slot in block.slots if slot.port.startswith("l")]
    first = block.slots[0].left
    right = block.wide - (upper[-1].left + upper[-1].wide)
    rows = [
        _nested(
            _cell(first, upper[0].high)
            + "".join(_cell(slot.wide, slot.high, slot.port) for slot in upper)
            + (_cell(right, upper[0].high) if right else "")
        )
    ]
    if lower:
        rows += [_nested(cells) for cells in _rails(block)]
        rows.append(
            _nested(
                _cell(first, lower[0].high)
                + "".join(_cell(slot.wide, slot.high, slot.port) for slot in lower)
                + (_cell(right, lower[0].high) if right else "")
            )
        )
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
    """Everything placed by graphviz' answer (JSON); None where anything of the picture is missing from it."""
    try:
        document = json.loads(answer)
        named = {thing["name"]: thing for thing in document.get("objects", ())}
        drawn = {edge["id"] for edge in document.get("edges", ())}
        boxes = {frame.id: named[f"cluster_{index}"]["bb"] for index, frame in enumerate(picture.frames)}
        rooms = {name: (float(box.split(",")[0]), float(box.split(",")[2])) for name, box in boxes.items()}
        middles = {block.node: _pair(named[block.node]["pos"]) for block in picture.blocks}
    except (ValueError, KeyError, TypeError, IndexError):
        return None
    if drawn != {line.id for line in picture.lines}:
        return None
    heights = sorted({round(y) for _, y in middles.values()}, reverse=True)
    rows = {node: heights.index(round(y)) for node, (_, y) in middles.items()}
    lefts = {block.node: round(middles[block.node][0] - block.wide / 2, 1) for block in picture.blocks}
    return route(picture, lefts, rows, rooms)


def _pair(text: str) -> Point:
    x, y = text.split(",")
    return float(x), float(y)


def readable_text(picture: Picture) -> str:
    """The picture as plain boxes with titles, for a graphviz found later: the same blocks and lines, without our own layout."""
    out = [
        "digraph drawing {",
        "graph [newrank=true, rankdir=TB]",
        'node [shape=box, fontname="Helvetica"]',
        "edge [arrowsize=0.6]",
    ]
    for index, frame in enumerate(picture.frames):
        out += [f"subgraph cluster_{index} {{", f"graph [label={quoted(frame.after)}]"]
        out += [f"{block.node} [label={quoted(block.said)}]" for block in picture.blocks if block.room == frame.id]
        out.append("}")
    framed = {frame.id for frame in picture.frames}
    out += [f"{block.node} [label={quoted(block.said)}]" for block in picture.blocks if block.room not in framed]
    out += [
        f"{line.a.node} -> {line.b.node} [tooltip={quoted(line.said)}, label={quoted(text_of(line))}]"
        for line in picture.lines
    ]
    return "\n".join([*out, "}", ""])
