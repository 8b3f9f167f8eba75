"""Where hands go: rack, unit, jack counted from the front and from behind, connector and pins. Values and phrases for the steps of `job`."""

from collections.abc import Iterable
from typing import NamedTuple

from routecode.circuit.plant import Plant
from routecode.ground.order import natural
from routecode.ground.reading import numbered
from routecode.hands.cables import Pin
from routecode.hands.cables_ends import REAR, End
from routecode.language.ranges import fold
from routecode.language.subjects import ordinal
from routecode.physics.pins import colours_of, is_colour

_XLR, _DB25 = ("xlr",), ("db25", "d-sub-25")
SOLDER_SIDE = {
    ("xlr", "male"): "2 left, 1 right, 3 below",
    ("xlr", "female"): "1 left, 2 right, 3 below",
    ("db25", "male"): "13 to 1 from the left in the longer row above, 25 to 14 below",
    ("db25", "female"): "1 to 13 from the left in the longer row above, 14 to 25 below",
}
"""Where the contacts are as seen from the solder side, key or longer row above: the mating face mirrored (IEC 61076-2-103, DIN 41652; from
memory). What is stamped beside the contact holds."""


class Stand(NamedTuple):
    """One end of a circuit, where the hands find it. `front` and `behind`: its jack counted from the left, seen from there; 0: no jack."""

    name: str
    called: str
    """Title of unit or bay, and the port or jack."""
    head: str
    at: str
    """Rack and rack unit, or the room; empty where the text says neither."""
    front: int
    behind: int
    columns: int
    fitted: str
    """What is on the cable there."""
    solder_side: str
    handled: bool
    """Whether anything is done at this end."""
    plug: str = ""
    shared: str = ""
    """The multipin that it is in, with its unit, where it is in one."""
    rear: bool = False
    """Whether it takes a connector behind the bay, which belongs to the bay."""
    whole: bool = False
    """Whether it is lifted or plugged in a plug of several circuits, in which nothing changes."""

    @property
    def told(self) -> str:
        """For a line of a step."""
        return f"{self.called} ({from_behind(self.columns, self.front)})" if self.front else self.called


def behind(columns: int, number: int) -> int:
    """A column counted from the left as seen from behind: the bay is mirrored there."""
    return columns - number + 1


def from_behind(columns: int, number: int) -> str:
    """Where a column is as seen from behind, in words: its own number is what is printed there too, so this is no number of a column."""
    return f"behind: {ordinal(behind(columns, number))} from the left"


def where(plant: Plant, head: str) -> str:
    """Rack and rack unit, or room, of a unit or bay."""
    thing = plant.units.get(head) or plant.bays.get(head)
    if thing is None:
        return ""
    written, studio = thing.written, plant.studio
    if written.rack is not None:
        rack = studio.rack.get(written.rack)
        height = f", {written.at_u} U" if written.at_u else ""
        return f"{(rack.title if rack else None) or written.rack}{height}"
    if written.room is not None:
        room = studio.room.get(written.room)
        return (room.title if room else None) or written.room
    return ""


def stand(plant: Plant, end: End, *, handled: bool, whole: bool = False) -> Stand:
    """One end of a circuit of a cable."""
    node = end.node
    head = plant.bay_of(node).id if plant.is_jack(node) else plant.unit_of(node).id
    front = mirrored = columns = 0
    if plant.is_jack(node):
        bay = plant.bay_of(node)
        front, columns = bay.place(node)[1], bay.columns
        mirrored = behind(columns, front)
    family = "xlr" if end.plug.startswith("xlr") else "db25" if end.plug in _DB25 else end.plug
    side = SOLDER_SIDE.get((family, end.gender), "") if end.plug else ""
    at = where(plant, head)
    jack = (front, mirrored, columns)
    shared = f"{title(plant, head)} {end.shared}" if end.shared else ""
    return Stand(
        end.name, end.called, head, at, *jack, end.fitted, side, handled, end.plug, shared, end.how == REAR, whole
    )


def title(plant: Plant, head: str) -> str:
    """What people call a unit or bay."""
    thing = plant.units.get(head) or plant.bays.get(head)
    return thing.title if thing is not None else head


def folded(names: Iterable[str]) -> str:
    """Numbers of cables or names of ports as one phrase: `L101-108 and M201`."""
    found = [numbered(text) for text in fold(sorted(dict.fromkeys(names), key=natural))]
    return found[0] if len(found) == 1 else f"{', '.join(found[:-1])} and {found[-1]}" if found else ""


def columns(numbers: Iterable[int]) -> str:
    """`column 3`, `columns 3-8 and 11`."""
    listed = sorted(set(numbers))
    runs: list[list[int]] = []
    for number in listed:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    words = [str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs]
    told = words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
    return f"{'column' if len(listed) == 1 else 'columns'} {told}"


def pin_line(pin: Pin) -> str:
    """One wire of a cable: `hot (white): 2 to tip`."""
    colour = f" ({' and '.join(colours_of(pin.colour))})" if pin.colour and is_colour(pin.colour) else ""
    ends = [each or "nothing" for each in (pin.from_pin, pin.to_pin)]
    linked = ""
    if pin.linked:
        linked = f"; at the {'first' if pin.linked == 'from' else 'second'} end link it to the shield contact"
    return f"{pin.carries}{colour}: {ends[0]} to {ends[1]}{linked}"
