"""The end of a fixed cable: where it is, what is on it, how cold and shield are made there. Knows one circuit at a time."""

from typing import NamedTuple

from routecode.circuit.plant import EITHER, Plant, Wire
from routecode.figures.soldering import UNPUBLISHED, Soldering
from routecode.physics.pins import COLD, HOT, SHIELD
from routecode.rules.words import Words

MALE, FEMALE, UNSAID = "male", "female", ""
PLUG, MULTIPIN, REAR, SOLDER, BARE, UNKNOWN = "plug", "multipin", "rear", "solder", "bare", "unknown"
HOWS = (PLUG, MULTIPIN, REAR, SOLDER, BARE, UNKNOWN)
"""A plug of its own, a connector shared by several circuits, the connector behind a jack, soldered, bare wires, not said."""
IN_PLUG = "in a plug"
"""Of a job alone: soldered in a plug of several circuits that is there already, and stays."""

_BARE = ("terminals", "screw-terminal", "binding-post")
"""Words for contacts that take the bare wire."""

CARRIES_MANY = ("db25", "d-sub-25")
"""Connectors that are made for several circuits; a port that says one and is in no multipin does not say which share it."""

_MATES = {"-f": ("-m", MALE), "-m": ("-f", FEMALE)}
_PLUGS = (
    "trs",
    "ts",
    "trs-insert",
    "trs-stereo",
    "bantam",
    "rca",
    "minijack",
    "bnc",
    "8p8c",
    "din5",
    "a-gauge",
    "b-gauge",
)
"""Sockets whose name is the plug's too; what goes into them is the male half (common practice, no source)."""


class End(NamedTuple):
    """One end of one circuit. `socket`: what it goes to, as written; `plug`: what is on the cable there, empty where nothing is."""

    node: int
    name: str
    called: str
    socket: str
    how: str
    plug: str
    gender: str
    shared: str
    """The name of the multipin connector, where it is one."""
    circuit: int
    """Its circuit in that connector, from 1; 0 where it is none."""
    cold: str
    shield: str
    whose: str = ""
    """Of a job: the cable whose plug it is soldered into."""

    @property
    def fitted(self) -> str:
        """What is on the cable here, in words."""
        if self.how == IN_PLUG:
            return f"soldered in the plug of {self.whose} ({self.plug} {self.shared}, circuit {self.circuit})"
        if self.how == MULTIPIN:
            return f"{self.plug} ({self.shared}, circuit {self.circuit})"
        if self.how == PLUG:
            return f"{self.plug} {self.gender}".rstrip() if self.gender else self.plug
        at = f" ({self.socket})" if self.socket else ""
        return {
            REAR: f"rear connector{at}",
            SOLDER: f"soldered{at}",
            BARE: f"bare ends{at}",
            UNKNOWN: "connector not said",
        }[self.how]


def mate(socket: str) -> tuple[str, str]:
    """The plug that goes into a socket, and its gender (empty: not known from the word): `xlr-f` takes `xlr-m`, male."""
    if socket[-2:] in _MATES:
        other, gender = _MATES[socket[-2:]]
        return socket[:-2] + other, gender
    return socket, MALE if socket in _PLUGS else UNSAID


def is_behind(plant: Plant, wire: Wire, node: int) -> bool:
    """Whether a cable is wired behind a passive socket, such as a wall box: then it has no plug there."""
    if plant.is_jack(node) or wire.front or plant.direction[node] != EITHER:
        return False
    unit = plant.unit_of(node)
    return node - unit.first not in unit.kit.bonded


def end_of(plant: Plant, words: Words, wire: Wire, node: int, made: Soldering | None) -> End:
    """The end of a wire at one of its two nodes; `made`: its pin table, from `wire.a` to `wire.b`."""
    socket, how, plug, gender = _fitted(plant, wire, node)
    many = plant.multipin_of(node) if how == MULTIPIN else None
    cold, shield = _made(wire, node, made)
    return End(
        node,
        plant.name(node),
        words.node(node),
        socket,
        how,
        plug,
        gender,
        (many[0].name or "") if many else "",
        many[1] if many else 0,
        cold,
        shield,
    )


def _fitted(plant: Plant, wire: Wire, node: int) -> tuple[str, str, str, str]:
    """(socket, how, plug, gender) of an end."""
    if plant.is_jack(node):
        bay = plant.bay_of(node)
        contact = bay.written.contact or ""
        return contact, REAR if bay.has_rear_connectors else SOLDER, "", UNSAID
    many = plant.multipin_of(node)
    if many is not None:
        socket = many[0].connector or ""
        plug, gender = mate(socket) if socket else ("multipin", UNSAID)
        return socket, MULTIPIN, plug, gender
    socket = plant.socket(node).written.connector or ""
    if is_behind(plant, wire, node):
        return socket, SOLDER, "", UNSAID
    if not socket:
        return socket, UNKNOWN, "", UNSAID
    if socket in _BARE:
        return socket, BARE, "", UNSAID
    return socket, PLUG, *mate(socket)


def _made(wire: Wire, node: int, made: Soldering | None) -> tuple[str, str]:
    """How cold and shield are made at an end, in words; empty where nothing is said and no table is published."""
    here = "a" if node == wire.a else "b"
    if made is None or any(joint[0 if here == "a" else 2] == UNPUBLISHED for joint in made.joints):
        details = wire.details
        cold = "open" if details.cold == "open" else "to the shield" if details.cold == here else ""
        shield = "" if details.shield is None else "on" if details.shield in ("both", here) else "open"
        return cold, shield
    which = 0 if here == "a" else 2
    pins = {joint.carries: joint[which] for joint in made.joints}
    linked = any(joint.linked == ("from" if here == "a" else "to") for joint in made.joints)
    return _cold(pins, linked), _on(pins.get(SHIELD)) if SHIELD in pins else ""


def _cold(pins: dict[str, str | None], linked: bool) -> str:
    if COLD not in pins:
        return "none" if HOT in pins else ""
    if pins[COLD] is not None and pins[COLD] == pins.get(SHIELD):
        return f"to {pins[COLD]}, with the shield"
    return _on(pins[COLD]) + (", linked to the shield" if linked else "")


def _on(pin: str | None) -> str:
    return "open" if pin is None else f"on {pin}"
