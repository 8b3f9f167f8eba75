"""The face of a bay as a picture: the door to this folder.

Text sizes are those of the drawings; widths come from the same table, so nothing asks a font file. The same circuit gives the
same bytes.
"""

from collections.abc import Mapping
from types import MappingProxyType

from routecode.circuit.circuit import Circuit
from routecode.show.drawing import look
from routecode.show.drawing.measure import TITLE
from routecode.show.drawing.svg import MADE_BY
from routecode.show.faces import ink, signs, told
from routecode.show.faces.jacks import Face, face_of
from routecode.show.faces.piece import RIGHT, Piece, pieces

_LEAST = 560.0
_EDGE = 12.0
_APART = 14.0
_NO_MARKS: Mapping[str, str] = MappingProxyType({})


def face_file(circuit: Circuit, bay: str, *, rear: bool, setup: str | None, called: str) -> str:
    """The face as a file of its own; `called`: how the revision is called."""
    head = f'<?xml version="1.0" encoding="UTF-8"?>\n<!-- {MADE_BY} -->\n'
    return head + face_svg(circuit, bay, rear=rear, setup=setup, called=called)


def face_svg(
    circuit: Circuit,
    bay: str,
    *,
    rear: bool = False,
    setup: str | None = None,
    marks: Mapping[str, str] = _NO_MARKS,
    called: str = "",
    columns: tuple[int, int] | None = None,
    noted: bool = True,
    seen: Face | None = None,
) -> str:
    """The face of a bay as one `<svg>`, from the front or from behind, unpatched or in a setup.

    `columns`: only these, from the first to the last of them; `noted` False: without the notes below (see `notes_of`); `seen`:
    what there is to see, where it was read already. `marks`: canonical name of a jack -> `new`, `gone` or `changed`. Each jack is a
    `<g class="jack" data-jack="bay/top 12">` with its own title. `called` (a revision) is said at the foot. KeyError where there is
    no such bay or setup.
    """
    face = seen if seen is not None else face_of(circuit, bay, setup, marks)
    plant = circuit.plant
    first, last = columns or (1, len(face.columns))
    parts = [Piece(face, run, rear) for run in pieces(face.columns[first - 1 : last])]
    full = max(_LEAST, *(part.wide for part in parts))
    some = f", columns {first} to {last} of {len(face.columns)}" if last - first + 1 < len(face.columns) else ""
    title = told.title(face, rear) + some
    head, y = _lines([title], full, _EDGE, TITLE)
    body = ""
    for part in parts:
        y += _APART / 2
        y += part.place(y) + _APART / 2
        body += part.painted()
    legend, y = signs.painted_legend(signs.legend(face, rear), _EDGE, full - RIGHT, y)
    foot, y = _lines(_foot(told.notes(plant, face) if noted else [], face, parts, rear, called), full, y + 4, ink.SIZE)
    size = f'width="{ink.number(full)}" height="{ink.number(y + _EDGE)}"'
    view = f'viewBox="0 0 {ink.number(full)} {ink.number(y + _EDGE)}"'
    said = f"{ink.titled(ink.shown(title))}<desc>{ink.safe(ink.shown(told.description(plant, face)))}</desc>"
    start = f'<svg xmlns="http://www.w3.org/2000/svg" class="face" {size} {view} role="group" font-family="{look.FAMILY}">\n'
    ground = ink.box(0, 0, full, y + _EDGE, ink.GROUND)
    return f"{start}{said}\n{ground}{head}{body}{legend}{foot}</svg>\n"


def notes_of(circuit: Circuit, bay: str, setup: str | None = None) -> list[str]:
    """What stands below the picture of a bay: mults, normals that go sideways, reserved columns."""
    return told.notes(circuit.plant, face_of(circuit, bay, setup, _NO_MARKS))


def _foot(notes: list[str], face: Face, parts: list[Piece], rear: bool, called: str) -> list[str]:
    undrawn = sum(part.undrawn for part in parts)
    found = [*told.REAR_CARE] if rear else []
    if rear and face.setup:
        found.append("Cords and plugs are in front and not drawn here.")
    found += notes
    if undrawn:
        found.append(f"Not drawn for want of room: {undrawn} of the mults and sideways normals.")
    return [*found, f"{called}; {told.FOOT}" if called else told.FOOT[0].upper() + told.FOOT[1:]]


def _lines(texts: list[str], full: float, top: float, size: float) -> tuple[str, float]:
    """Texts below each other, wrapped; and where they end."""
    out = ""
    y = top
    bold = size > ink.SIZE
    for words in texts:
        room = (full - 2 * _EDGE) * (0.9 if bold else 1)
        for found in ink.wrapped(ink.shown(words), room, size=size) or []:
            y += size + 4
            name, fill = ("face-ink", look.INK) if bold or words in told.REAR_CARE else ("face-quiet", look.QUIET)
            out += ink.text(_EDGE, y - 3, found, size=size, anchor="start", bold=bold, name=name, fill=fill)
    return out, y
