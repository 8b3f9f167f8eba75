"""left-right-exchanged: left goes to right, and right to left.

Both ends say which side they are (`left`, `right`, `L` or `R` in the name of the port or the unit), both wires of the
pair are there, and they cross. One pair crossed by mistake is easily crossed back by a second one somewhere else;
then both are found.

Bad:

    [unit.tape]
    model = "stereo-player"
    rack = "left"
    [unit.amp]
    model = "stereo-amplifier"
    rack = "left"
    [[cable]]
    from = ["tape/out left", "tape/out right"]
    to = ["amp/in right", "amp/in left"]

Good:

    [unit.tape]
    model = "stereo-player"
    rack = "left"
    [unit.amp]
    model = "stereo-amplifier"
    rack = "left"
    [[cable]]
    from = ["tape/out left", "tape/out right"]
    to = ["amp/in left", "amp/in right"]

Accept:

    [[accept]]
    rule = "left-right-exchanged"
    at = ["tape", "amp"]
    because = "The loudspeakers are exchanged too."
"""

import re
from collections.abc import Iterator

from routecode.circuit.nets import Net
from routecode.circuit.plant import Kit, PlacedUnit, Plant
from routecode.ground.finding import Severity
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.words import MUTE

_SIDE = re.compile(r"(?<![^\W_])(left|right|l|r)(?![^\W_])", re.IGNORECASE)
_OTHER = {"left": "right", "right": "left", "l": "r", "r": "l"}


def check(scene: Scene) -> Iterator[Fault]:
    """Pairs of feeds between sided ports that cross."""
    partner = scene.plant.of_units(_partners)
    state = scene.state
    for left, (right, side) in partner.items():
        if side != "left" or (left not in state.net_at and right not in state.net_at):
            continue
        nets = (state.net_of(left), state.net_of(right))
        if nets[0] is None or nets[1] is None or nets[0] is nets[1]:
            continue
        for hearer in _crossed(nets[0], left, partner):
            other = partner[hearer][0]
            if right in nets[1].drives and other in nets[1].hears and hearer not in nets[1].hears:
                yield _fault(scene, (left, right), (other, hearer), nets)


def _crossed(net: Net, left: int, partner: dict[int, tuple[int, str]]) -> Iterator[int]:
    """The right-hand inputs that a left-hand output feeds, their left-hand partners not among what it feeds."""
    if left in net.drives and not net.either and not net.mixed:
        for hearer in net.hears:
            if hearer != left and partner.get(hearer, (0, ""))[1] == "right" and partner[hearer][0] not in net.hears:
                yield hearer


def _fault(
    scene: Scene, givers: tuple[int, int], takers: tuple[int, int], nets: tuple[Net | None, Net | None]
) -> Fault:
    words = scene.words
    assert nets[0] is not None
    place, also = scene.net_faults_at(nets[0], [givers[0], takers[1]])
    return Fault(
        scene.names([*givers, *takers]),
        f"{words.node(givers[0])} goes to {words.node(takers[1])}, and right to left.",
        f"{words.node(givers[1])} goes to {words.node(takers[0])}: both wires of the pair cross.",
        f"{MUTE} Exchange the two at one end.",
        place,
        also,
    )


def _partners(plant: Plant) -> dict[int, tuple[int, str]]:
    """Port -> (the port of the other side, its own side), for ports that name one side and have a partner."""
    found: dict[int, tuple[int, str]] = {}
    sided: dict[int, dict[int, tuple[int, str]]] = {}
    for unit in plant.units.values():
        kit = unit.kit
        if id(kit) not in sided:
            sided[id(kit)] = {
                index: (kit.index[other], side)
                for index, socket in enumerate(kit.sockets)
                for other, side in [_turned(socket.name)]
                if other in kit.index
            } | _pairs(kit)
        found |= {unit.first + index: (unit.first + other, side) for index, (other, side) in sided[id(kit)].items()}
        _unit_partners(plant.units, unit, found)
    return found


def _pairs(kit: Kit) -> dict[int, tuple[int, str]]:
    """Sockets of ranges that say `pairs`: left and right in turn."""
    found: dict[int, tuple[int, str]] = {}
    ranges: dict[int, list[int]] = {}
    for index, socket in enumerate(kit.sockets):
        if socket.written.pairs:
            ranges.setdefault(id(socket.written), []).append(index)
    for indices in ranges.values():
        for left, right in zip(indices[::2], indices[1::2], strict=False):
            found |= {left: (right, "left"), right: (left, "right")}
    return found


def _unit_partners(units: dict[str, PlacedUnit], unit: PlacedUnit, found: dict[int, tuple[int, str]]) -> None:
    """The ports of a unit for one side (`main-left`), with the same ports of the unit for the other."""
    other_id, side = _turned(unit.id)
    other = units.get(other_id)
    if other is None or other is unit:
        return
    for socket in unit.kit.sockets:
        node = unit.first + unit.kit.index[socket.name]
        if node not in found and socket.name in other.kit.index and not _turned(socket.name)[1]:
            found[node] = (other.first + other.kit.index[socket.name], side)


def _turned(name: str) -> tuple[str, str]:
    """The name of the other side and the side of this one; empty where it names no side, or more than one."""
    marks = list(_SIDE.finditer(name))
    if len(marks) != 1:
        return "", ""
    word = marks[0][0]
    other = _OTHER[word.lower()]
    other = other.upper() if word.isupper() else (other.capitalize() if word[0].isupper() else other)
    side = "left" if word.lower() in ("left", "l") else "right"
    return name[: marks[0].start()] + other + name[marks[0].end() :], side


RULE = Rule("left-right-exchanged", Severity.WARNING, check)
