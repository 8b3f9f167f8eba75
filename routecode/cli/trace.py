"""`routecode trace`: the signal from one place, both ways."""

import sys
from pathlib import Path

import click

from routecode.circuit.plant import PlacedBay, PlacedUnit, Plant
from routecode.cli import asked, options
from routecode.cli.failure import Refused
from routecode.cli.say import say, width_of
from routecode.ground.finding import Mistake
from routecode.ground.nearest import nearest


@click.command("trace")
@click.argument("place")
@options.in_folder
@options.revision
@options.setup
@options.as_json
def command(place: str, folder: Path, at: str | None, setup: str | None, as_json: bool) -> None:
    """Follow the signal from PLACE, upstream and downstream.

    PLACE is a port ("pre-a/out 1"), a channel ("conv/aes 1 ch 2") or a jack ("north/top 3"); put it in quotes, for the
    space in it.
    """
    from routecode.show.document import written
    from routecode.show.trace import trace_document, trace_text
    from routecode.show.tracing import Trace

    found = asked.one(folder, at)
    setup = asked.checked_setup(found.opened, setup)
    circuit = asked.circuit_of(found.opened)
    trace = Trace(circuit, setup, _place(circuit.plant, place))
    if as_json:
        say(written(trace_document(trace, found.opened.name)))
    else:
        say(trace_text(trace, width_of(sys.stdout)))


def _place(plant: Plant, text: str) -> str:
    """The canonical name of the place that is meant."""
    channel = plant.channel(text)
    if channel is not None:
        return plant.channel_name(channel)
    node = plant.node(text)
    if node is not None:
        return plant.name(node)
    said = f"There is no place {text[:100]}." if text.strip() else "The name of the place is empty."
    raise Refused(Mistake("unknown-place", said, do=advice(plant, text)))


def advice(plant: Plant, text: str) -> str:
    """What to write instead of a name that no place of a studio has."""
    head, slash, rest = text.partition("/")
    port, channel, _ = text.rpartition(" ch ")
    node = plant.node(port) if channel else None
    if node is not None:
        count = len(plant.channels_of(node)) if not plant.is_jack(node) else 1
        return f'It has {count} channels: "{port} ch 1" to "{port} ch {count}".' if count > 1 else f'Write "{port}".'
    if ".." in rest:
        rest = rest.partition("..")[0]
        if plant.node(f"{head}/{rest}") is not None:
            return f'One place is followed at a time, as in "{head}/{rest}".'
    owners: dict[str, PlacedUnit | PlacedBay] = {**plant.units, **plant.bays}
    if head not in owners:
        named = [key for key, owner in owners.items() if owner.title.casefold() == head.casefold()]
        near = min(named) if named else nearest(head, owners)
        if near is None:
            return 'Write "unit/port", "unit/port ch 1", or "bay/top 1".'
        return f'Did you mean "{near}/{rest if slash else _first(plant, near)}"?'
    if not slash:
        return f'Did you mean "{head}/{_first(plant, head)}"?'
    unit = plant.units.get(head)
    if unit is None:
        bay = plant.bays[head]
        return f"Its jacks are written {_jacks(head, bay.rows, bay.columns)}."
    near = nearest(rest, unit.kit.index)
    return f'Did you mean "{head}/{near}"?' if near else f"Its ports: {_some(unit.kit.index)}."


def _first(plant: Plant, head: str) -> str:
    """The first port or jack of a unit or bay."""
    if head in plant.bays:
        return "1" if plant.bays[head].rows == 1 else "top 1"
    return next(iter(plant.units[head].kit.index), "")


def _jacks(head: str, rows: int, columns: int) -> str:
    return f'"{head}/1" to "{head}/{columns}"' if rows == 1 else f'"{head}/top 1" to "{head}/bottom {columns}"'


def _some(names: dict[str, int]) -> str:
    listed = list(names)
    return ", ".join(listed[:8]) + (f" and {len(listed) - 8} more" if len(listed) > 8 else "")
