"""Where in the text a place is stated, and what people call it."""

from routecode.change.matched import AFTER, BEFORE
from routecode.circuit.plant import Plant
from routecode.ground.place import At, Spot
from routecode.history.story_place import BAY, CABLE, JACK, UNIT, Place, Step, nodes_of, wires_of
from routecode.history.story_told import Mark, marks_of
from routecode.history.story_ways import titles_of
from routecode.language.written import Column
from routecode.studio.opened import Opened


def own_line(opened: Opened, at: At | Spot | None) -> tuple[Mark, ...]:
    """A place in the text of a revision as a line."""
    spot = opened.spot(at)
    return () if spot is None else (Mark(AFTER, spot, opened.line(spot).strip()),)


def title_of(plant: Plant, place: Place) -> str:
    """What people call a place."""
    if place.kind == CABLE:
        return f"Cable {place.name}" if place.name else "A cable that has no number now"
    head, _, rest = place.name.partition("/")
    return " ".join(filter(None, (titles_of(plant, [place.name]).get(head, head), rest)))


def thing_place(plant: Plant, place: Place) -> At | None:
    """Where in the text a place is stated: its port, its unit or bay, its cable."""
    if place.kind == CABLE:
        return next((wire.at for wire in wires_of(plant, place)), None)
    unit, bay = plant.units.get(place.head), plant.bays.get(place.head)
    if unit is None:
        return _column(plant, place) or (bay.written.place if bay is not None else None)
    nodes = nodes_of(plant, place)
    return plant.socket(nodes[0]).written.place if place.name != unit.id and nodes else unit.written.place


def _column(plant: Plant, place: Place) -> At | None:
    """Where the column of a wired jack is stated: its number, or the cable that ends there."""
    wires = [wire for node in nodes_of(plant, place) for wire in plant.wires_of(node)] if place.kind == JACK else []
    return next((wire.table.where("at") if isinstance(wire.table, Column) else wire.at for wire in wires), None)


def new_line(step: Step, place: Place) -> tuple[Mark, ...]:
    """Where a place is stated; of a statement that both revisions have, the key that differs."""
    at = _new_place(step, place)
    return () if at is None else marks_of(step, [(AFTER, at)])


def _new_place(step: Step, place: Place) -> At | None:
    """Where a place is stated that is new: its unit or bay where that is new as well."""
    if place.kind != CABLE and place.head not in step.before.units and place.head not in step.before.bays:
        return thing_place(step.after, Place(UNIT if place.head in step.after.units else BAY, place.head))
    return thing_place(step.after, place)


def old_line(step: Step, place: Place) -> tuple[Mark, ...]:
    """Where a place stood that is gone, in the text before: its unit or bay where that is gone as well."""
    at = thing_place(step.before, place)
    if place.kind != CABLE and place.head not in step.after.units and place.head not in step.after.bays:
        at = thing_place(step.before, Place(UNIT if place.head in step.before.units else BAY, place.head))
    return tuple(Mark(BEFORE, mark.spot, mark.text) for mark in own_line(step.older, at))
