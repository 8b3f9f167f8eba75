"""The faces of the bays in a review, front and rear, with the jacks marked behind which something differs."""

from collections.abc import Mapping

from attrs import frozen

from routecode.change.difference import Difference
from routecode.change.matched import AFTER, BEFORE
from routecode.circuit.circuit import Circuit
from routecode.ground.order import natural
from routecode.show.faces.face import face_svg
from routecode.show.review.embed import PIXELS, Picture, Thing, embedded
from routecode.show.review.numbered import Numbers
from routecode.show.spoken import title

MOST_BAYS = 8
"""Bays whose faces are shown although nothing on them differs; in a larger studio only those on which something does."""
NEW, GONE, CHANGED = "new", "gone", "changed"


@frozen
class Face:
    """One bay: front and rear, how many of its jacks are marked, and what is to be known about it (or empty)."""

    bay: str
    title: str
    marked: int
    front: Picture
    rear: Picture
    note: str


def faces(difference: Difference, numbers: Numbers) -> tuple[tuple[Face, ...], int]:
    """The faces, bays with marked jacks first, and how many bays are left out."""
    marks = _marks(difference)
    bays = _bays(difference)
    touched = {name for name in bays if any(jack.partition("/")[0] == name for jack in marks)}
    shown = sorted(bays if len(bays) <= MOST_BAYS else touched, key=lambda name: (name not in touched, natural(name)))
    made = tuple(_face(bays[name], name, f"f{index}", difference, marks, numbers) for index, name in enumerate(shown))
    return made, len(bays) - len(shown)


def _bays(difference: Difference) -> dict[str, str]:
    """Every bay by its id as it reads after, with the side it is shown from: after, but before where more of it was there."""
    names = difference.identity.bays
    old = {names.get(name, name): bay for name, bay in difference.before.plant.bays.items()}
    new = difference.after.plant.bays
    return {
        name: BEFORE if name not in new or (name in old and old[name].columns > new[name].columns) else AFTER
        for name in sorted(old.keys() | new.keys())
    }


def _marks(difference: Difference) -> dict[str, str]:
    """Canonical name of a jack as it reads after -> what became of what is behind it, or of its normal."""
    delta, name = difference.states[0], difference.matched.node_name
    lost, gained = ({point.jack for point in points} for points in (delta.points_lost, delta.points_gained))
    found = {name(jack): CHANGED if jack in lost and jack in gained else NEW for jack in gained}
    found.update((name(jack), GONE) for jack in lost - gained)
    for fact in difference.facts:
        if fact.kind == "normal":
            for jack in fact.nodes:
                found.setdefault(name(jack), CHANGED)
    return found


def _face(side: str, bay: str, key: str, difference: Difference, marks: Mapping[str, str], numbers: Numbers) -> Face:
    circuit: Circuit = difference.after if side == AFTER else difference.before
    own = bay if side == AFTER else _back(difference.identity.bays, bay)
    here = {f"{own}/{rest}": word for jack, word in marks.items() if (rest := _rest(jack, bay))}

    def thing(attributes: Mapping[str, str]) -> Thing | None:
        jack = attributes.get("data-jack")
        if jack is None:
            return None
        return Thing("", numbers.at((f"{bay}/{jack.partition('/')[2]}",)), jack in here)

    front, rear = (
        embedded(face_svg(circuit, own, rear=behind, marks=here), f"{key}-{which}", thing, PIXELS)
        for which, behind in (("front", False), ("rear", True))
    )
    note = ""
    if side == BEFORE:
        gone = bay not in difference.after.plant.bays
        note = "This bay is gone; it is shown as it was." if gone else "It is shown with the columns it had before."
    return Face(bay, title(circuit.plant, own), len(here), front, rear, note)


def _rest(jack: str, bay: str) -> str:
    head, _, rest = jack.partition("/")
    return rest if head == bay else ""


def _back(names: Mapping[str, str], bay: str) -> str:
    return next((old for old, new in names.items() if new == bay), bay)
