"""The drawings of a review: each state that differs, before, after and the change in one layout, tied to the sentences."""

from collections.abc import Callable, Mapping

from attrs import frozen

from routecode.change.delta import BOTH, StateDelta
from routecode.change.difference import Difference
from routecode.show.drawing import around
from routecode.show.drawing.compare import Both, compared
from routecode.show.drawing.compose import compose
from routecode.show.drawing.drawing import Asked, Plan, drawn, plan
from routecode.show.drawing.engine import Engine, Fault
from routecode.show.drawing.paint import View
from routecode.show.drawing.picture import Block
from routecode.show.review.embed import PIXELS, Picture, Thing, embedded
from routecode.show.review.numbered import Numbers

MOST_STATES = 6
"""States that are drawn; how many are not is said."""
STEPS = 2
"""Joints around what differs that are drawn with it."""
VIEWS = (View.CHANGE, View.BEFORE, View.AFTER)


@frozen
class Drawn:
    """One state in three pictures, in the order of VIEWS; `note`: what is to be known about them (or empty)."""

    setup: str | None
    pictures: tuple[Picture, ...]
    note: str


@frozen
class Drawings:
    """All drawings, and what is to be known about those that are not here (or empty)."""

    drawn: tuple[Drawn, ...] = ()
    note: str = ""


@frozen
class Sheet:
    """What all drawings of one page have in common. `called`: how the two revisions are called."""

    difference: Difference
    title: str
    called: tuple[str, str]
    numbers: Numbers
    whole: bool


def drawings(sheet: Sheet, engine: Engine) -> Drawings:
    """The states that differ in what can be drawn: unpatched, then each setup that differs by itself."""
    made: list[Drawn] = []
    faults: list[str] = []
    difference = sheet.difference
    fixed = around.changed_steps(compared(difference.before, difference.after, None, guessing=difference.guessing))
    states = [delta.setup for delta in difference.states if differs_itself(difference, delta)]
    for setup in ([None] if fixed else []) + states[:MOST_STATES]:
        both = compared(difference.before, difference.after, setup, guessing=difference.guessing)
        changed = around.changed_steps(both) - (fixed if setup is not None else set())
        found = _drawn(sheet, setup, both, changed, engine) if changed else None
        if isinstance(found, Fault):
            faults.append(f"A drawing could not be made: {found.text}")
        elif found is not None:
            made.append(found)
    left = len(states) - MOST_STATES
    notes = [*dict.fromkeys(faults), *([f"Setups that differ and are not drawn: {left}."] if left > 0 else [])]
    return Drawings(tuple(made), " ".join(notes))


def differs_itself(difference: Difference, delta: StateDelta) -> bool:
    """Whether it is a setup that differs by itself and not only by the fixed wiring below it."""
    own = delta.presence != BOTH or any(fact.setup == delta.setup for fact in difference.facts)
    return delta.setup is not None and own


def _drawn(sheet: Sheet, setup: str | None, both: Both, changed: set[around.Step], engine: Engine) -> Drawn | Fault:
    difference = sheet.difference
    short = tuple(called.partition(",")[0] for called in sheet.called)  # the page says the rest
    asked = Asked(difference.before, difference.after, sheet.title, short, setup)
    part = around.whole(both) if sheet.whole else around.nearby(both, changed, STEPS)
    planned = plan(asked, both, compose(both, part, setup is not None), engine)
    if isinstance(planned, Fault):
        return planned
    state = [delta.setup for delta in difference.states].index(setup)
    pictures = []
    for view in VIEWS:
        found = drawn(planned, view, "svg", engine)
        if isinstance(found, Fault):
            return found
        things = _things(planned, view, sheet.numbers)
        pictures.append(embedded(found.data.decode(), f"d{state}-{view.value}", things, PIXELS))
    whole, shown = planned.picture.of, planned.picture.drawn
    note = f"What differs, with what is joined to it: {shown} of {whole} units and bays." if shown < whole else ""
    return Drawn(setup, tuple(pictures), note)


def _things(planned: Plan, view: View, numbers: Numbers) -> Callable[[Mapping[str, str]], Thing | None]:
    """What each group of a drawing is, by the id that its painter gave it."""
    known: dict[str, Thing] = {}
    for block in planned.picture.blocks:
        known.update(_of_block(block, numbers))
    for line in planned.picture.lines:
        found = numbers.along(line.joints)
        known[line.id] = Thing("", found, bool(line.mark.value), line.id if found else "")
        known[f"{line.id}-label"] = Thing(group=line.id if found else "")
    prefix = f"{view.value}-"
    return lambda attributes: known.get(attributes.get("id", "").removeprefix(prefix))


def _of_block(block: Block, numbers: Numbers) -> dict[str, Thing]:
    """A unit or band, its cells, and what is drawn between the rows of a band."""
    of_unit = numbers.of(block.of) if block.kind == "unit" else frozenset()
    name, group = f"{block.kind}-{block.of}-{block.node}", block.node if of_unit else ""
    known = {name: Thing("", of_unit, bool(block.mark.value), group)}
    known.update((f"{name}-word{index}", Thing(group=group)) for index in range(len(block.words)))
    for slot in block.slots:
        mark = f", {slot.mark.value}" if slot.mark.value else ""
        row = slot.names[0].partition("/")[2].partition(" ")[0] if slot.names and block.kind == "band" else ""
        said = " ".join(part for part in (row if row in ("top", "bottom") else "", slot.label) if part)
        known[f"{block.node}-{slot.port}"] = Thing(
            f"{block.said}: {said}{mark}", numbers.at(slot.names), bool(slot.mark.value)
        )
    for index, stroke in enumerate(block.strokes):
        mark = f", {stroke.mark.value}" if stroke.mark.value else ""
        kind = {"plug": "link plug", "mult": "mult joint"}.get(stroke.kind, stroke.kind)
        known[f"{block.node}-s{index}"] = Thing(
            f"{block.said}: {kind}{mark}", numbers.along(stroke.joints), bool(stroke.mark.value)
        )
    return known
