"""The pin table of a fixed cable: which pin goes to which, from the connectors at its ends and how it is made. Judges nothing."""

from collections.abc import Collection
from typing import NamedTuple

from routecode.circuit.parts import Wire
from routecode.circuit.plant import Plant
from routecode.language.signals import ANALOGUE
from routecode.language.written import Multipin
from routecode.physics.pins import COLD, FAMILIES, FAMILY_OF, HOT, SHIELD, Joint, layout_pins, pin_table


class Soldering(NamedTuple):
    """A cable from one connector to another; `joints` from the first end to the second."""

    from_: str
    to: str
    joints: tuple[Joint, ...]


def soldering(plant: Plant, wire: Wire) -> Soldering | None:
    """The pin table of an analogue cable; None where an end has no connector with published pins, or where it cannot be made so."""
    carried = [plant.multipin_of(node) for node in (wire.a, wire.b)]
    ends = [_connector(plant, node, many) for node, many in zip((wire.a, wire.b), carried, strict=True)]
    if wire.details.pins:
        own = tuple(Joint(_own(a), carries, _own(b)) for carries, a, b in wire.details.pins)
        return Soldering(ends[0] or "?", ends[1] or "?", own)
    layouts = [_layout_pins(many) for many in carried]
    families = [
        _STAND_IN if pins else None if many else FAMILY_OF.get(end or "")
        for end, pins, many in zip(ends, layouts, carried, strict=True)
    ]
    if (
        not _is_analogue(plant, wire)
        or ends[0] is None
        or ends[1] is None
        or families[0] is None
        or families[1] is None
    ):
        return None
    one, other = (FAMILIES[family] for family in families if family is not None)
    if wire.reversed and not (one.balanced and other.balanced):
        return None
    far = {"a": "shield-at-from", "b": "shield-at-to", "open": "open", None: _usual(one.balanced)}[wire.details.cold]
    shield = {"a": "from", "b": "to"}.get(wire.details.shield or "", "both")
    joints = pin_table(families[0], families[1], cold=far, shield=shield, reversed_=wire.reversed)
    one_layout, other_layout = layouts
    named = tuple(
        joint._replace(from_pin=_named(joint.from_pin, one_layout), to_pin=_named(joint.to_pin, other_layout))
        for joint in joints
    )
    return Soldering(ends[0], ends[1], named)


UNPUBLISHED = "?"
"""In place of a pin at an end whose pins are not published."""


def half_soldering(plant: Plant, wire: Wire, coloured: Collection[str]) -> Soldering | None:
    """What can be said where the pins of an end are not published: those of the other end, and every wire that has a colour.

    `coloured`: what these wires carry. None where nothing is known, and where the whole table is (`soldering`).
    """
    known = [published(plant, node) for node in (wire.a, wire.b)] if _is_analogue(plant, wire) else [None, None]
    plain = any(end is not None and COLD not in end.carries.values() for end in known)
    if None not in known or (wire.reversed and plain):
        known = [None, None]  # it cannot be made so: only the colours are sure
    joints = []
    for carries in (HOT, COLD, SHIELD):
        pins = [_half_pin(wire, end, carries, which) for which, end in enumerate(known)]
        has = any(end is not None and carries in end.carries.values() for end in known)
        if carries in coloured or has or any(pin not in (None, UNPUBLISHED) for pin in pins):
            joints.append(Joint(pins[0], carries, pins[1]))
    names = [_connector(plant, node, plant.multipin_of(node)) or "?" for node in (wire.a, wire.b)]
    return Soldering(names[0], names[1], tuple(joints)) if joints else None


def _half_pin(wire: Wire, end: "Published | None", carries: str, which: int) -> str | None:
    """The pin of a wire at one end of a cable of which the other end is not known."""
    here = "ab"[which]
    if carries == SHIELD and wire.details.shield not in (None, "both", here):
        return None
    if end is None:
        return UNPUBLISHED
    pins = {what: pin for pin, what in reversed(end.carries.items())}
    if wire.reversed and which:
        carries = {HOT: COLD, COLD: HOT}.get(carries, carries)
    if carries == COLD and COLD not in pins:
        return pins.get(SHIELD) if wire.details.cold == here else None if wire.details.cold == "open" else UNPUBLISHED
    return pins.get(carries)


class Published(NamedTuple):
    """What is published of the connector at an end: what each pin carries, and whether the circuit is balanced there."""

    carries: dict[str, str]
    balanced: bool


def published(plant: Plant, node: int) -> Published | None:
    """The pins of the connector at a port or jack, of its circuit where it carries several; None where they are not published."""
    said = plant.is_jack(node) or plant.socket(node).written.balanced is not False
    many = plant.multipin_of(node)
    if many is not None:
        pins = _layout_pins(many)
        carried = dict(FAMILIES[_STAND_IN].pins)
        return None if pins is None else Published({pin: carried[name] for name, pin in pins.items()}, said)
    family = FAMILY_OF.get(_connector(plant, node, None) or "")
    return None if family is None else Published(dict(FAMILIES[family].pins), FAMILIES[family].balanced and said)


_STAND_IN = "trs"
"""A circuit of a multipin is made as one with three contacts of its own."""


def _layout_pins(many: tuple[Multipin, int] | None) -> dict[str, str] | None:
    """The contacts of the stand-in -> the pins of a circuit in a published layout."""
    if many is None:
        return None
    layout = layout_pins(many[0].layout or "")
    if layout is None or many[1] > len(layout):
        return None
    return dict(zip(("tip", "ring", "sleeve"), map(str, layout[many[1] - 1]), strict=True))


def _named(pin: str | None, layout: dict[str, str] | None) -> str | None:
    return pin if layout is None or pin is None else layout[pin]


def _own(pin: str) -> str | None:
    return None if pin == "-" else pin


def _usual(from_balanced: bool) -> str:
    """Where the cold leg is joined to the shield when nothing is said: at the unbalanced end."""
    return "shield-at-to" if from_balanced else "shield-at-from"


def _connector(plant: Plant, node: int, many: tuple[Multipin, int] | None) -> str | None:
    if many is not None:
        return many[0].connector or "multipin"
    if plant.is_jack(node):
        return plant.bay_of(node).written.contact
    return plant.socket(node).written.connector


def _is_analogue(plant: Plant, wire: Wire) -> bool:
    ports = [node for node in (wire.a, wire.b) if node < plant.ports]
    return all(plant.socket(node).family == ANALOGUE for node in ports)
