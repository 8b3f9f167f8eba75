"""What is said about a face in words: of each jack, in the notes below the picture, and to who cannot see it."""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from routecode.circuit.plant import Plant
from routecode.show.faces.jacks import Column, Face, Jack, Sideways, place_name

_BREAKS = {
    "to": "broken by a plug where it goes to",
    "from": "broken by a plug where it comes from",
    "both": "broken by a plug at either end",
    "never": "never broken",
}
_MOST_NOTES = 60
REAR_CARE = (
    "Seen from behind: column 1 is on the right. Columns are counted from the front; the top row stays on top.",
    "Before hands or an iron go in: headphones off heads, monitors down, no take running; phantom off and discharged "
    "(under 1 V on a meter). Eye protection and extraction when soldering. Mains belongs to licensed people.",
)
FOOT = "design aid: check on site."


class Place(NamedTuple):
    """A jack or port for folding: what stands before its number, and the number (-1: none)."""

    stem: str
    number: int

    def span(self, last: "Place") -> str:
        """From this place to a later one."""
        if self.number < 0:
            return self.stem
        return f"{self.stem}{self.number}" + (f"–{last.number}" if last.number != self.number else "")


def of_jack(face: Face, column: Column, jack: Jack) -> str:
    """A jack in one sentence: `North bay top 12: Hall line 3, half normalled to bottom 12`."""
    parts = [", ".join(_behind(jack)) or "nothing wired"]
    if jack.label:
        parts.append(f'labelled "{jack.label}"')
    parts += _normalled(face, column, jack)
    if column.reserved:
        parts.append("reserved" if column.reserved == "reserved" else f"reserved: {column.reserved}")
    parts += [f"cord to {cord.other}" for cord in jack.cords]
    if jack.dummy:
        parts.append("dummy plug")
    if jack.mark:
        parts.append(jack.mark)
    return f"{face.bay.title} {jack.place}: {', '.join(parts)}"


def _behind(jack: Jack) -> list[str]:
    return [f"{one.name} (cable {one.cable})" if one.cable else one.name for one in jack.behind]


def _normalled(face: Face, column: Column, jack: Jack) -> list[str]:
    if not jack.row:
        return []
    pattern = column.normal.pattern
    if pattern == "none":
        return ["no normal"]
    if pattern == "held":
        return ["link plug in the source: held off"]
    other = "bottom" if jack.row == "top" else "top"
    way = f"to {other}" if jack.row == face.sources else f"from {other}"
    how = "normalled by a link plug" if pattern == "plug" else f"{pattern} normalled"
    return [f"{how} {way} {column.number}" + ("" if column.normal.closed else " (broken now)")]


# -- notes --------------------------------------------------------------------------------------------------------------


def notes(plant: Plant, face: Face) -> list[str]:
    """What the picture alone does not say: mults, normals that go sideways, reserved columns."""
    found = [f"Mult: {', '.join(_spans(_places(plant, face, jacks)))}." for jacks in face.mults]
    found += _sideways(plant, face)
    found += _reserved(face.columns)
    if len(found) > _MOST_NOTES:
        found = [*found[:_MOST_NOTES], f"And {len(found) - _MOST_NOTES} more."]
    return found


def _places(plant: Plant, face: Face, nodes: Iterable[int]) -> list[Place]:
    return [_place(plant, face, node) for node in nodes]


def _place(plant: Plant, face: Face, node: int) -> Place:
    name = place_name(plant, node, face.bay)
    stem, _, number = name.rpartition(" ")
    return Place(f"{stem} " if stem else "", int(number))


def _spans(places: Sequence[Place]) -> list[str]:
    """Places in their order, neighbours as ranges."""
    found: list[str] = []
    first = last = places[0]
    for place in places[1:]:
        if place == Place(last.stem, last.number + 1):
            last = place
            continue
        found.append(first.span(last))
        first = last = place
    return [*found, first.span(last)]


def _sideways(plant: Plant, face: Face) -> list[str]:
    found: list[str] = []
    run: list[tuple[Place, Place, Sideways]] = []
    for joint in face.sideways:
        item = (_place(plant, face, joint.source), _place(plant, face, joint.target), joint)
        if run and not _follows(run[-1], item):
            found.append(_joined(run))
            run = []
        run.append(item)
    return [*found, _joined(run)] if run else found


def _follows(one: tuple[Place, Place, Sideways], other: tuple[Place, Place, Sideways]) -> bool:
    steps = all(b == Place(a.stem, a.number + 1) for a, b in zip(one[:2], other[:2], strict=True))
    return steps and one[2][2:] == other[2][2:]


def _joined(run: list[tuple[Place, Place, Sideways]]) -> str:
    (source, target, joint), (source_end, target_end, _) = run[0], run[-1]
    ends = f"{source.span(source_end)} to {target.span(target_end)}"
    return f"Normal from {ends}, {_BREAKS[joint.breaks]}{'' if joint.closed else '; broken now'}."


def _reserved(columns: Sequence[Column]) -> list[str]:
    by_text: dict[str, list[Place]] = {}
    for column in columns:
        if column.reserved:
            by_text.setdefault(column.reserved, []).append(Place("", column.number))
    return [
        f"Reserved {', '.join(_spans(places))}" + ("." if text == "reserved" else f": {text}")
        for text, places in by_text.items()
    ]


# -- the whole ----------------------------------------------------------------------------------------------------------


def title(face: Face, rear: bool) -> str:
    """The head of the picture."""
    head = f"{face.bay.title}, from {'behind' if rear else 'the front'}"
    return f"{head}, in setup {face.setup}" if face.setup else head


def description(plant: Plant, face: Face) -> str:
    """The picture in a few sentences."""
    columns = face.bay.columns
    said = [f"One row of {columns} jacks." if face.bay.rows == 1 else f"Two rows of {columns} columns."]
    if face.bay.rows == 2:
        said.append(f"Sources are in the {face.sources} row.")
        by_pattern: dict[str, list[Place]] = {}
        for column in face.columns:
            by_pattern.setdefault(column.normal.pattern, []).append(Place("", column.number))
        names = {"plug": "Link plug makes the normal", "held": "Link plug holds the source off", "none": "No normal"}
        for pattern, places in sorted(by_pattern.items()):
            said.append(f"{names.get(pattern, pattern.capitalize() + ' normal')}: {', '.join(_spans(places))}.")
    said += notes(plant, face)
    said += _listed("Cords", (f"{jack.place} to {end.other}" for jack in _jacks(face) for end in jack.cords))
    said += _listed("Dummy plugs", (jack.place for jack in _jacks(face) if jack.dummy))
    said += _listed("Marked", (f"{jack.place} {jack.mark}" for jack in _jacks(face) if jack.mark))
    return " ".join(said)


def _jacks(face: Face) -> Iterator[Jack]:
    return (jack for column in face.columns for jack in column.jacks)


def _listed(word: str, found: Iterable[str]) -> list[str]:
    texts = list(found)
    more = f" and {len(texts) - _MOST_NOTES} more" if len(texts) > _MOST_NOTES else ""
    return [f"{word}: {', '.join(texts[:_MOST_NOTES])}{more}."] if texts else []
