"""What the rules about phantom power share: the microphones that need it, and how volts, legs and several of one sort are said. Judges nothing."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from routecode.circuit.nets import Net
from routecode.figures.phantom import Arriving
from routecode.ground.place import At
from routecode.physics.phantom import SUPPLIES, outward, shorted_amperes
from routecode.rules.electric import fed_with_phantom, place_of_net
from routecode.rules.rule import Also, Fault, Scene, place_key

OFF = "Switch phantom power off, wait a minute and measure under 1 V; only then unplug."
"""In this order: a microphone that is unplugged under phantom power gets the short that it is to be kept from."""


class Needing(NamedTuple):
    """A port that needs phantom power, in a net that has some with a way back."""

    net: Net
    node: int
    arriving: Arriving
    wanted: str
    milliamperes: float | None


class Told(NamedTuple):
    """What is told of one port: `phrase` follows its name, `several` the names of several; why, and what to do."""

    net: Net
    node: int
    phrase: str
    several: str
    why: str
    do: str


def needing(scene: Scene) -> list[Needing]:
    """The ports that need phantom power where some arrives, and the shield."""
    phantom, found = scene.figures.phantom, []
    for net, _ in scene.kept(fed_with_phantom):
        for node in net.nodes:
            if node >= scene.plant.ports or scene.plant.socket(node).written.phantom != "needs":
                continue
            arriving = phantom.at(node)
            if arriving is not None and arriving.shield:
                milliamperes = scene.plant.socket(node).written.phantom_ma
                found.append(Needing(net, node, arriving, phantom.kind(node), milliamperes))
    return found


def too_much(scene: Scene, one: Needing) -> bool:
    """Whether the supplies of a line give more than the kind that is needed may have."""
    kind = SUPPLIES[one.wanted]
    return scene.figures.phantom.open_volts(one.arriving) > kind.volts + kind.volts_tolerance


def volts(ends: tuple[float, float]) -> str:
    """A range of volts, never narrower than it is."""
    low, high = outward(*ends, digits=1)
    return f"{low:g} to {high:g} V"


def leg_grounded(scene: Scene, arriving: Arriving) -> str:
    """Where a leg is grounded."""
    return f"A leg is grounded at {scene.words.nodes(arriving.grounded, most=2)}"


def milliamperes_of_a_leg(scene: Scene, nodes: Iterable[int]) -> float:
    """The current into a short of one leg of a line that some inputs feed, in mA."""
    kinds = [SUPPLIES[scene.figures.phantom.kind(node)] for node in nodes]
    return sum(shorted_amperes(kind.volts, kind.ohms) for kind in kinds) * 1000


def folded(scene: Scene, found: Iterable[Told]) -> Iterator[Fault]:
    """One fault for all ports of which the same is told, with the places of all of them."""
    groups: dict[tuple[str, str, str], list[Told]] = {}
    for one in found:
        groups.setdefault((one.phrase, one.why, one.do), []).append(one)
    for group in groups.values():
        first, nodes = group[0], [one.node for one in group]
        place, also = _places(scene, group)
        text = f"{scene.words.nodes(nodes, most=2)} {first.phrase if len(nodes) == 1 else first.several}"
        yield Fault(scene.names(nodes), text, first.why, first.do, place, also)


def _places(scene: Scene, group: list[Told]) -> tuple[At | None, Also]:
    place, also = place_of_net(scene, group[0].net, [group[0].node])
    more = {at: (said, at) for said, at in also}
    for one in group[1:]:
        at, _ = place_of_net(scene, one.net, [one.node])
        if at is not None and at != place:
            more.setdefault(at, (f"{scene.words.node(one.node)} is wired here", at))
    return place, tuple(more[at] for at in sorted(more, key=place_key))
