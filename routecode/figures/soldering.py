"""The pin table of a fixed cable: which pin goes to which, from the connectors at its ends and how it is made. Judges nothing."""

from typing import NamedTuple

from routecode.circuit.parts import Wire
from routecode.circuit.plant import Plant
from routecode.language.signals import ANALOGUE
from routecode.physics.pins import FAMILIES, Joint, pin_table

_FAMILY = {
    **{name: name for name in FAMILIES},
    "xlr-m": "xlr",
    "xlr-f": "xlr",
    "a-gauge": "trs",
    "minijack": "trs",
}
"""Words for connectors and contacts -> their family; words that are not here have no pin table."""


class Soldering(NamedTuple):
    """A cable from one connector to another; `joints` from the first end to the second."""

    from_: str
    to: str
    joints: tuple[Joint, ...]


def soldering(plant: Plant, wire: Wire) -> Soldering | None:
    """The pin table of an analogue cable; None where an end has no connector with published pins, or where it cannot be made so."""
    ends = [_connector(plant, node) for node in (wire.a, wire.b)]
    if wire.details.pins:
        own = tuple(Joint(_own(a), carries, _own(b)) for carries, a, b in wire.details.pins)
        return Soldering(ends[0] or "?", ends[1] or "?", own)
    families = [_FAMILY.get(end or "") for end in ends]
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
    return Soldering(ends[0], ends[1], joints)


def _own(pin: str) -> str | None:
    return None if pin == "-" else pin


def _usual(from_balanced: bool) -> str:
    """Where the cold leg is joined to the shield when nothing is said: at the unbalanced end."""
    return "shield-at-to" if from_balanced else "shield-at-from"


def _connector(plant: Plant, node: int) -> str | None:
    if plant.is_jack(node):
        return plant.bay_of(node).written.contact
    return plant.socket(node).written.connector


def _is_analogue(plant: Plant, wire: Wire) -> bool:
    ports = [node for node in (wire.a, wire.b) if node < plant.ports]
    return all(plant.socket(node).family == ANALOGUE for node in ports)
