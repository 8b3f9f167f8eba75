"""The drawings in the book: the whole studio where it can be read on a page, else room by room, each with what is joined to it.

A room that does not fit is drawn in parts: its bays, then those units of which not all is seen beside the bays, by rack. What cannot
be read even alone is left out, and that is said.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from routecode.circuit.circuit import Circuit
from routecode.ground.order import natural
from routecode.rules.words import listed
from routecode.show.book_pages import CHAPTER_ROOM, Figure, Section, fits, table
from routecode.show.drawing import around
from routecode.show.drawing.around import Part, Step
from routecode.show.drawing.compare import Both, Joined, compared
from routecode.show.drawing.compose import compose
from routecode.show.drawing.drawing import Asked, drawn, plan
from routecode.show.drawing.engine import Engine, Fault
from routecode.show.drawing.paint import View
from routecode.show.paper.pieces import Block, NewPage, Words

MOST_PICTURES = 80
"""Drawings in one book; what is left out is said."""
_MOST_TRIED = 250
"""Layouts that are made to find them."""
_MOST_BLOCKS = 60
"""A part with more units, and columns by eights, is not tried: no page holds it."""
_EIGHT = 8
_NAMED = 6
_LISTED = 300
NO_ENGINE = "The drawings: there is no graphviz here. Install it with: pip install graphviz-pure"
_INTRO = "Signals flow from top to bottom. A line with a number stands for that many cables. What it says is unpatched: no setup is in."


class Thing(NamedTuple):
    """A unit, or neighbouring columns of a bay, to be drawn: its steps in the drawing."""

    id: str
    steps: tuple[Step, ...]


class Drawn(NamedTuple):
    """A picture of these things; `whole`: with everything that is joined to them."""

    svg: str
    things: tuple[Thing, ...]
    whole: bool


class Room(NamedTuple):
    """A room and what stands in it, in order of racks."""

    title: str
    things: tuple[Thing, ...]


class Drawings:
    """The chapter of the drawings."""

    def __init__(self, circuit: Circuit, title: str, engine: Engine, room: tuple[float, float]) -> None:
        self.engine, self.room = engine, room
        self.asked = Asked(None, circuit, title, ("",))
        self.both: Both = compared(None, circuit, None)
        self._left: dict[str, list[Thing]] = {}
        self._drawn = self._tried = 0
        self._here: set[Joined] = set()
        """The joints drawn in the room that is at hand."""
        self._joints: dict[Step, list[Joined]] = {}
        for joint in self.both.joints:
            for step in {around.step(joint.a), around.step(joint.b)}:
                self._joints.setdefault(step, []).append(joint)

    def blocks(self) -> Iterator[Block]:
        """The chapter; nothing where there is nothing to draw."""
        if not self.both.units and not self.both.bays:
            return
        yield Section("Drawings", "drawings")
        yield Words(_INTRO)
        whole = around.whole(self.both)
        svg = self._svg(whole) if _size(whole) <= _MOST_BLOCKS else None
        if svg is not None and fits(svg, _WHOLE, self.room, CHAPTER_ROOM):
            yield Figure(svg, _WHOLE, CHAPTER_ROOM)
            return
        yield Words(
            "The whole studio cannot be read on one page, so it is drawn room by room, each with what is joined to it."
        )
        every = rooms(self.both)
        yield table(("room", "what stands in it"), [[room.title, self._listed(room)] for room in every])
        for number, room in enumerate(every):
            yield NewPage()
            yield Section(room.title, f"drawing-{number}", 2)
            yield from self._room(room)

    def _listed(self, room: Room) -> str:
        names = [self._title(thing.id) for thing in room.things[:_LISTED]]
        left = len(room.things) - len(names)
        return ", ".join(names) + (f" and {left:,} more" if left else "")

    def _room(self, room: Room) -> Iterator[Block]:
        pictures = self._pictures(room)
        for index, picture in enumerate(pictures):
            yield from [NewPage()] if index else []
            yield Figure(picture.svg, self._caption(room, picture, index, len(pictures)))
        if not pictures:
            yield Words("Not drawn: see what is left out, at the beginning of this book.")

    def _caption(self, room: Room, picture: Drawn, index: int, count: int) -> str:
        if count == 1 and picture.whole:
            return f"{room.title}, with what is joined to it."
        names = listed([self._called(thing) for thing in picture.things], _NAMED)
        share = "" if picture.whole else "a part of "
        them = "it" if len(picture.things) == 1 else "them"
        return f"{room.title}, picture {index + 1} of {count}: {names}, with {share}what is joined to {them}."

    def _title(self, name: str) -> str:
        facts = self.both.unit(name)[1] or self.both.bay(name)[1]
        return facts.title if facts is not None else name

    def _called(self, thing: Thing) -> str:
        numbers = [int(column) for _, column in thing.steps if column]
        run = f" {numbers[0]}" + (f"-{numbers[-1]}" if len(numbers) > 1 else "") if numbers else ""
        return self._title(thing.id) + run

    # -- parts ----------------------------------------------------------------------------------------------------------

    def _pictures(self, room: Room) -> list[Drawn]:
        """Pictures of all that stands in a room: few, each of which can be read."""
        self._here.clear()
        made: list[Drawn] = []
        for found in self._parts(room.things):
            if made and found.whole and made[-1].whole:
                both = (*made[-1].things, *found.things)
                svg = self._fitting(both, 1)
                if svg is not None:
                    made[-1] = Drawn(svg, both, True)
                    continue
            made.append(found)
        if len(made) > MOST_PICTURES - self._drawn:
            left = made[MOST_PICTURES - self._drawn :]
            made = made[: MOST_PICTURES - self._drawn]
            self._leave([thing for each in left for thing in each.things], _ROOM)
        self._drawn += len(made)
        return made

    def _parts(self, things: Sequence[Thing]) -> Iterator[Drawn]:
        """Pictures of these things: of all in one where that can be read, else of one half and the other."""
        things = [thing for thing in things if self._is_new(thing)]
        if not things:
            return
        if self._drawn >= MOST_PICTURES or self._tried >= _MOST_TRIED:
            self._leave(things, _ROOM)
            return
        svg = self._fitting(things, 1)
        if svg is not None:
            self._here.update(joint for thing in things for joint in self._joints_of(thing))
            yield Drawn(svg, tuple(things), True)
        elif len(things) == 1 and len(things[0].steps) == 1:
            joined = {around.step(end) for joint in self._joints_of(things[0]) for end in (joint.a, joint.b)}
            yield from self._beside(things[0], sorted(joined - set(things[0].steps), key=_by_number))
        else:
            for half in halves(things):
                yield from self._parts(half)

    def _beside(self, thing: Thing, joined: Sequence[Step]) -> Iterator[Drawn]:
        """Pictures of a thing, each with a share of what is joined to it."""
        if self._tried >= _MOST_TRIED:
            self._leave([thing], _ROOM)
            return
        svg = self._fitting([thing, Thing("", tuple(joined))], 0)
        if svg is not None:
            yield Drawn(svg, (thing,), False)
        elif len(joined) < 2:
            self._leave([thing], "the type of its drawing would be too small to read")
        else:
            middle = len(joined) // 2
            yield from self._beside(thing, joined[:middle])
            yield from self._beside(thing, joined[middle:])

    def _joints_of(self, thing: Thing) -> Iterator[Joined]:
        return (joint for step in thing.steps for joint in self._joints.get(step, ()))

    def _is_new(self, thing: Thing) -> bool:
        """Whether there is more to see of it than the pictures of its room show already."""
        joints = set(self._joints_of(thing))
        return not joints or not joints <= self._here

    def _fitting(self, things: Sequence[Thing], steps: int) -> str | None:
        part = around.nearby(self.both, [step for thing in things for step in thing.steps], steps)
        svg = self._svg(part) if _size(part) <= _MOST_BLOCKS else None
        return svg if svg is not None and fits(svg, _LONG_CAPTION, self.room) else None

    def _svg(self, part: Part) -> str | None:
        """A drawing; None where the layout program gives none."""
        self._tried += 1
        planned = plan(self.asked, self.both, compose(self.both, part), self.engine)
        made = planned if isinstance(planned, Fault) else drawn(planned, View.ONE, "svg", self.engine)
        return None if isinstance(made, Fault) else made.data.decode()

    def _leave(self, things: Sequence[Thing], why: str) -> None:
        self._left.setdefault(why, []).extend(things)

    @property
    def left(self) -> list[str]:
        """What is left out, a sentence for each reason."""
        found = []
        for why, things in self._left.items():
            names = listed([self._called(thing) for thing in things], 3)
            found.append(f"The drawing of {names}: {why}. See it with: routecode draw --around {things[0].id}")
        return found


_ROOM = f"a book has room for {MOST_PICTURES} drawings"
_WHOLE = "The whole studio."
_LONG_CAPTION = "M" * 180
"""Room for a caption of two lines."""


def _size(part: Part) -> int:
    return len(part.units) + len(part.columns) // _EIGHT


def _by_number(step: Step) -> tuple[object, ...]:
    return natural(step[0]), natural(step[1])


def halves(things: Sequence[Thing]) -> tuple[Sequence[Thing], Sequence[Thing]]:
    """Two halves; of one thing alone, its columns."""
    if len(things) > 1:
        middle = len(things) // 2
        return things[:middle], things[middle:]
    (thing,) = things
    middle = -(-len(thing.steps) // 2)
    if middle > _EIGHT:
        middle = -(-middle // _EIGHT) * _EIGHT
    return [Thing(thing.id, thing.steps[:middle])], [Thing(thing.id, thing.steps[middle:])]


def rooms(both: Both) -> list[Room]:
    """The rooms in which something stands, what is in none last; in each the bays, then the units, by rack."""
    inside: dict[str, list[tuple[tuple[object, ...], Thing]]] = {}
    for name, bay in both.after.bays.items():
        steps = tuple((name, str(number)) for number in range(1, bay.columns + 1))
        inside.setdefault(bay.room, []).append(((0, natural(bay.note), natural(name)), Thing(name, steps)))
    for name, unit in both.after.units.items():
        inside.setdefault(unit.room, []).append(((1, natural(unit.note), natural(name)), Thing(name, ((name, ""),))))
    names = sorted(inside, key=lambda room: (not room, natural(room)))
    titles = both.after.rooms
    return [
        Room(titles.get(name, name) or "In no room", tuple(thing for _, thing in sorted(inside[name])))
        for name in names
    ]
