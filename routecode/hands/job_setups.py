"""Setups that are patched otherwise after a job: what changes on the patch sheet of each. Nothing of it is done at the racks now.

What is wired behind the jacks is the job itself; here are the cords, plugs, switch positions, routes and phantom settings of each setup
with all it includes, as they must be put in the next time. How a patch sheet looks is not known here.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from routecode.circuit.parts import PlacedCord, PlacedSetup
from routecode.circuit.plant import Plant
from routecode.circuit.setups import whole_cords
from routecode.ground.order import natural
from routecode.hands.job_state import Frame

NEW, GONE, OTHER = "new", "gone", "other"


class Patch(NamedTuple):
    """The patch sheet of a setup that changes: a new one, one that is gone, or one with other lines."""

    setup: str
    title: str
    presence: str
    lines: tuple[str, ...]


def patches(frame: Frame) -> tuple[Patch, ...]:
    """The setups whose patch sheet changes, by name as it reads after."""
    old = {frame.identity.setups.get(name, name): setup for name, setup in frame.before.setups.items()}
    new = frame.after.setups
    found = []
    for name in sorted({*old, *new}, key=natural):
        was, now = old.get(name), new.get(name)
        lines = tuple(_lines(_Reader(frame), was, now))
        if was is None or now is None or lines:
            setup = now or was
            assert setup is not None
            presence = NEW if was is None else GONE if now is None else OTHER
            found.append(Patch(name, setup.written.title or name, presence, lines if now is not None else ()))
    return tuple(found)


class _Cord(NamedTuple):
    """A cord as it is compared: its ends as they read after (of a Y-cord the one that it has once first), and which cord it is."""

    ends: tuple[str, ...]
    told: tuple[str, ...]
    how: str

    @property
    def forked(self) -> bool:
        """A Y-cord."""
        return len(self.ends) > 2

    @property
    def same(self) -> object:
        """What makes it this cord; a plain one may be written from either end."""
        return (self.ends[0] if self.forked else "", frozenset(self.ends), self.how)

    @property
    def text(self) -> str:
        """`Cord from A to B`, `Y-cord from A to B and C`."""
        return f"{self.noun} from {self.told[0]} to {self.legs}"

    @property
    def noun(self) -> str:
        """What it is called."""
        return "Y-cord" if self.forked else "Cord"

    @property
    def legs(self) -> str:
        """Where the other end goes, or the other ends."""
        *others, last = self.told[1:]
        return f"{', '.join(others)} and {last}" if others else last


class _Reader(NamedTuple):
    frame: Frame

    def name(self, plant: Plant, node: int) -> str:
        """A port or jack as it reads after."""
        return self.frame.identity.node_name(plant, node) if plant is self.frame.before else plant.name(node)

    def told(self, plant: Plant, name: str) -> str:
        """What people call it: its title of the after side, else of the side that has it."""
        head, _, rest = name.partition("/")
        for side in (self.frame.after, plant):
            thing = side.units.get(head) or side.bays.get(head)
            if thing is not None:
                return f"{thing.title} {rest}"
        return name

    def cord(self, plant: Plant, legs: Sequence[PlacedCord]) -> _Cord:
        """A cord with its legs; an end that is ambiguous by the text that names it."""
        ends = [legs[0].a, *(leg.b for leg in legs)]
        names = [self.name(plant, end.node) if end.node >= 0 else end.named for end in ends]
        written = legs[0].written
        how = [written.cord or "", (written.adapter and f"with adapter {written.adapter}") or ""]
        how += ["polarity reversed"] if legs[0].reversed else []
        told = tuple(self.told(plant, name) for name in names)
        return _Cord(tuple(names), told, ", ".join(word for word in how if word))

    def settings(self, plant: Plant, setup: PlacedSetup) -> dict[str, str]:
        """What else is set: what it is of, and how it stands."""
        found: dict[str, str] = {}
        units = self.frame.identity.units if plant is self.frame.before else {}
        for node in setup.dummies:
            found[f"dummy plug at {self.told(plant, self.name(plant, node))}"] = "in"
        for (bay, column), (word, _) in setup.links.items():
            jack = self.name(plant, plant.bays[bay].jack("top", column))
            found[f"link plug at {self.told(plant, jack).replace(' top ', ' column ')}"] = (
                "out" if word == "none" else f"in the {word} jack"
            )
        for (unit, switch), (position, _) in setup.positions.items():
            found[f"switch {switch} of {self.told(plant, units.get(unit, unit) + '/').strip()}"] = position
        for source, target in setup.routes:
            ends = [self._channel(plant, channel) for channel in (source, target)]
            found[f"route from {ends[0]} to {ends[1]}"] = "closed"
        for node, on in setup.phantom.items():
            found[f"phantom power at {self.told(plant, self.name(plant, node))}"] = "on" if on else "off"
        return found

    def _channel(self, plant: Plant, channel: int) -> str:
        name = plant.channel_name(channel)
        return self.told(plant, self.frame.identity.read(name) if plant is self.frame.before else name)


def _lines(reader: _Reader, was: PlacedSetup | None, now: PlacedSetup | None) -> Iterator[str]:
    frame = reader.frame
    cords = [
        {reader.cord(plant, legs) for legs in whole_cords(setup.cords)} if setup is not None else set()
        for plant, setup in ((frame.before, was), (frame.after, now))
    ]
    settings = [
        reader.settings(plant, setup) if setup is not None else {}
        for plant, setup in ((frame.before, was), (frame.after, now))
    ]
    yield from _cords(_without(cords[0], cords[1]), _without(cords[1], cords[0]), whole=was is None)
    for name in sorted({*settings[0], *settings[1]}, key=natural):
        before, after = settings[0].get(name), settings[1].get(name)
        if before != after:
            started, then = f"{name[0].upper()}{name[1:]}", after or "no longer set"
            yield f"{started}: {then}{f' (it was {before})' if before and after else ''}."


def _without(some: set[_Cord], others: set[_Cord]) -> list[_Cord]:
    """The cords that the other side has not, whichever end is written first."""
    known = {cord.same for cord in others}
    left = [cord for cord in some if cord.same not in known]
    return sorted(left, key=lambda cord: (*map(natural, cord.ends), cord.how))


def _cords(gone: list[_Cord], new: list[_Cord], *, whole: bool) -> Iterator[str]:
    """Cords that move at one end, then those that go, then those that come; `whole`: all of a new setup."""
    left = list(new)
    for cord in gone:
        moved = next((other for other in left if _one_end_moved(cord, other)), None)
        if moved is None:
            yield f"{cord.text}: no longer."
            continue
        left.remove(moved)
        yield _moved(cord, moved)
    for cord in left:
        how = ", ".join(word for word in ("" if whole else "new", cord.how) if word)
        yield f"{cord.text}{f': {how}' if how else ''}."


def _one_end_moved(cord: _Cord, other: _Cord) -> bool:
    """Whether it may be the same cord, plugged elsewhere at one end; of a Y-cord at its legs."""
    if cord.forked or other.forked:
        return len(cord.ends) == len(other.ends) and cord.ends[0] == other.ends[0]
    return not set(cord.ends).isdisjoint(other.ends)


def _moved(cord: _Cord, moved: _Cord) -> str:
    """A cord that stays where it is at one end."""
    kept = 0 if cord.forked else next(index for index, end in enumerate(moved.ends) if end in cord.ends)
    start = moved.told[kept]
    was = cord.legs if cord.forked else cord.told[1 - cord.ends.index(moved.ends[kept])]
    now = moved.legs if cord.forked else moved.told[1 - kept]
    if set(cord.ends) == set(moved.ends):
        return f"{moved.noun} from {start} to {now}: {moved.how or 'a plain one'}, not {cord.how or 'a plain one'}."
    return f"{moved.noun} from {start}: to {now}, not to {was}{f', {moved.how}' if moved.how else ''}."
