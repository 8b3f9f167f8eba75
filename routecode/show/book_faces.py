"""The bays in the book: each from the front and from behind, and from the front in every setup that plugs something in there."""

from collections.abc import Iterator
from typing import NamedTuple

from routecode.circuit.circuit import Circuit
from routecode.circuit.parts import PlacedBay
from routecode.ground.order import natural
from routecode.rules.words import counted
from routecode.show.book_pages import Figure, Section, fits, table
from routecode.show.faces.face import face_svg, notes_of
from routecode.show.faces.jacks import Face, face_of
from routecode.show.paper.pieces import Block, NewPage, Words

MOST_PICTURES = 240
"""Pictures of faces in one book; how many are left out is said."""
_EIGHT = 8


class View(NamedTuple):
    """One way of looking at a bay."""

    rear: bool
    setup: str | None


class Faces:
    """The chapter of the bays. After `blocks`, `left` says what is left out."""

    def __init__(self, circuit: Circuit, room: tuple[float, float]) -> None:
        self.circuit, self.room = circuit, room
        self.left: list[str] = []
        self._count = 0

    def blocks(self) -> Iterator[Block]:
        """The chapter; nothing where there are no bays."""
        bays = sorted(self.circuit.plant.bays.values(), key=lambda bay: natural(bay.id))
        if not bays:
            return
        yield Section("Bays", "bays")
        yield Words(_INTRO)
        yield table(_HEADS, [self._row(bay) for bay in bays])
        without: list[str] = []
        for bay in bays:
            if self._count >= MOST_PICTURES:
                without.append(bay.title)
                continue
            yield NewPage()
            yield Section(_headed(bay), f"bay-{bay.id}", 2, named=bay.title)
            yield from self._bay(bay)
        if without:
            self.left.append(f"The faces of {counted(len(without), 'bay')}, from {without[0]} on: {_TOO_MANY}")

    def _bay(self, bay: PlacedBay) -> Iterator[Block]:
        first = True
        views = list(self._views(bay))
        for number, view in enumerate(views):
            if self._count >= MOST_PICTURES:
                self.left.append(f"{counted(len(views) - number, 'picture')} of the face of {bay.title}: {_TOO_MANY}")
                return
            face = face_of(self.circuit, bay.id, view.setup, {})
            for figure in self._pictures(face, view, 1, bay.columns):
                if not first:
                    yield NewPage()
                yield figure
                yield from map(Words, notes_of(self.circuit, bay.id) if first else ())
                first = False

    def _row(self, bay: PlacedBay) -> list[str]:
        written, studio = bay.written, self.circuit.plant.studio
        rack = studio.rack.get(written.rack or "")
        room = studio.room.get((rack.room if rack else None) or written.room or "")
        used = sum(
            1 for node in range(bay.first, bay.first + bay.columns * bay.rows) if node in self.circuit.plant.wire_at
        )
        return [
            bay.title,
            bay.id,
            f"{bay.rows} x {bay.columns}",
            f"{used} of {bay.columns * bay.rows}",
            "link plugs" if bay.plugs else written.normalling,
            written.contact or "not said",
            (room.title or room.id) if room else "not said",
            (rack.title or rack.id) if rack else "not said",
            "" if written.at_u is None else str(written.at_u),
        ]

    def _views(self, bay: PlacedBay) -> Iterator[View]:
        yield View(False, None)
        yield View(True, None)
        nodes = range(bay.first, bay.first + bay.columns * bay.rows)
        for name, placed in self.circuit.plant.setups.items():
            corded = any(end.how == "jack" and end.node in nodes for cord in placed.cords for end in (cord.a, cord.b))
            if corded or any(jack in nodes for jack in placed.dummies) or any(on == bay.id for on, _ in placed.links):
                yield View(False, name)

    def _pictures(self, face: Face, view: View, first: int, last: int) -> Iterator[Figure]:
        """The face in as few pictures as can be read: halves of it where it is too large, at a whole eight where that can be."""
        bay = face.bay
        if self._count >= MOST_PICTURES:
            self.left.append(f"{bay.title} from column {first} to {last}: {_TOO_MANY}")
            return
        columns = None if (first, last) == (1, bay.columns) else (first, last)
        if last - first < _MOST_COLUMNS:
            svg = face_svg(
                self.circuit, bay.id, rear=view.rear, setup=view.setup, columns=columns, noted=False, seen=face
            )
            if fits(svg, "", self.room):
                self._count += 1
                yield Figure(svg)
                return
        if first == last:
            side = "behind" if view.rear else "the front"
            self.left.append(f"{bay.title} column {first}, from {side}: its texts are too long for a page.")
            return
        half = -(-(last - first + 1) // 2)
        middle = first - 1 + (-(-half // _EIGHT) * _EIGHT if half > _EIGHT else half)
        yield from self._pictures(face, view, first, middle)
        yield from self._pictures(face, view, middle + 1, last)


_TOO_MANY = f"a book shows {MOST_PICTURES} pictures of faces. Draw it with: routecode draw --face BAY"
_MOST_COLUMNS = 96
"""Columns that are tried in one picture."""
_HEADS = ("bay", "id", "jacks", "wired behind", "normals by", "contact", "room", "rack", "at unit")
_INTRO = (
    "Each bay from the front, then from behind, where one solders: mirrored, so column 1 is on the right, and columns are counted "
    "from the front. Then from the front in every setup that plugs something in there."
)


def _headed(bay: PlacedBay) -> str:
    rows = counted(bay.columns, "column") + (" in one row" if bay.rows == 1 else "")
    return f"{bay.title} ({bay.id}): {rows}{', link plugs' if bay.plugs else ''}"
