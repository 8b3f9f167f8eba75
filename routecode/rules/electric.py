"""The nets that electrical rules look at, found once for all of them. Judges nothing.

Most nets of a studio join like with like and say no figures: they are in none of these lists.
"""

from typing import NamedTuple

from routecode.circuit.nets import Net
from routecode.circuit.plant import IN, Plant
from routecode.figures.ports import ELECTRICAL
from routecode.ground.place import At
from routecode.language.signals import KINDS, kind_of
from routecode.rules.rule import Also, Fault, Scene


class Crossed(NamedTuple):
    """A feed whose two ends are of different kinds of signal, of one family."""

    net: Net
    driver: int
    hearer: int
    gives: str
    takes: str


def kinds(plant: Plant) -> list[str]:
    """Port (node) -> its kind of signal, as the language names it. Ask with `plant.of_units`."""
    own = plant.studio.signal
    found: list[str] = []
    by_kit: dict[int, list[str]] = {}
    for unit in plant.units.values():
        row = by_kit.get(id(unit.kit))
        if row is None:
            row = [kind_of(socket.signal, own) or socket.signal for socket in unit.kit.sockets]
            by_kit[id(unit.kit)] = row
        found += row
    return found


def crossed(scene: Scene) -> list[Crossed]:
    """Feeds from one kind of signal to another kind of input, in the nets to look at. Passive ports take whatever comes."""
    kind, direction = scene.plant.of_units(kinds), scene.plant.direction
    found = []
    for net in scene.nets:
        drives, hears = net.drives, net.hears
        if not drives or not hears:
            continue
        first = kind[drives[0]]
        if (
            len(drives) == 1
            and kind[hears[0]] == first
            and (len(hears) == 1 or all(kind[each] == first for each in hears))
        ):
            continue  # nearly all of them
        if net.kinds & (net.kinds - 1) or net.either:
            continue
        found += [
            Crossed(net, driver, hearer, kind[driver], kind[hearer])
            for driver, hearer in net.pairs()
            if kind[driver] != kind[hearer] and direction[hearer] == IN
        ]
    return found


def figured_ports(plant: Plant) -> list[int]:
    """The ports that say an electrical figure. Ask with `plant.of_units`."""
    found: list[int] = []
    by_kit: dict[int, list[int]] = {}
    says: dict[int, bool] = {}  # many sockets are written as one port
    for unit in plant.units.values():
        row = by_kit.get(id(unit.kit))
        if row is None:
            row = by_kit[id(unit.kit)] = []
            for index, socket in enumerate(unit.kit.sockets):
                port = socket.written
                if id(port) not in says:
                    says[id(port)] = any(getattr(port, key) is not None for key in ELECTRICAL)
                if says[id(port)]:
                    row.append(index)
        found += [unit.first + index for index in row]
    return found


def figured(scene: Scene) -> list[Net]:
    """The nets to look at that a port with figures of its own is in, each once, in the order of their first such port."""
    return _to_look_at(scene, scene.plant.of_units(figured_ports))


def fed_with_phantom(scene: Scene) -> list[tuple[Net, list[int]]]:
    """The nets to look at with phantom power on them, each with the inputs that give it."""
    nets = scene.figures.phantom.nets
    own = {id(net) for net in scene.nets} if nets else set()
    before = set() if scene.setup is None else {tuple(on) for _, on in scene.unpatched.figures.phantom.nets}
    return [(net, on) for net, on in nets if id(net) in own or tuple(on) not in before]


def by_kind(plant: Plant) -> dict[str, list[int]]:
    """Kind of signal -> the ports of that kind. Ask with `plant.of_units`."""
    found: dict[str, list[int]] = {}
    for node, kind in enumerate(plant.of_units(kinds)):
        found.setdefault(kind, []).append(node)
    return found


def of_kind(scene: Scene, *names: str) -> list[Net]:
    """The nets to look at with a port of some kinds of signal in them, each once."""
    assert all(name in KINDS for name in names)
    known = scene.plant.of_units(by_kind)
    nodes = [node for name in names for node in known.get(name, ())]
    return _to_look_at(scene, sorted(nodes)) if nodes else []


def _to_look_at(scene: Scene, nodes: list[int]) -> list[Net]:
    if scene.setup is not None:  # only what the setup makes anew, which is little
        wanted = set(nodes)
        return [net for net in scene.nets if not wanted.isdisjoint(net.nodes)]
    found: dict[int, Net] = {}
    for node in nodes:
        net = scene.state.net_of(node)
        if net is not None:
            found.setdefault(id(net), net)
    return list(found.values())


def place_of_net(scene: Scene, net: Net, nodes: list[int]) -> tuple[At | None, Also]:
    """Where the text or a setup made a net what it is, seen from some of its ports; else where these ports are described."""
    place, also = scene.net_faults_at(net, nodes)
    if place is None:
        place, also = scene.net_faults_at(net, [node for node in net.nodes if scene.plant.is_jack(node)][:1] or nodes)
    if place is None and nodes:
        place = scene.plant.unit_of(nodes[0]).written.place
    return place, also


def of_feed(scene: Scene, one: Crossed, text: str, why: str, do: str) -> Fault:
    """A fault of a feed, told at its input; `text` has places for `{driver}` and `{hearer}`."""
    place, also = place_of_net(scene, one.net, [one.hearer])
    said = text.format(driver=scene.words.node(one.driver), hearer=scene.words.node(one.hearer))
    return Fault(scene.names([one.hearer]), said, why, do, place, also)


SHORTING = ("bantam", "a-gauge", "b-gauge", "minijack", "rca")
"""Kinds of jack that join a leg to ground for a moment as a plug goes in (common practice, no source)."""


def figured_feeds(scene: Scene) -> list[tuple[Net, int, int]]:
    """The analogue feeds of the figured nets: (net, driver, input), each net with one driver."""
    analogue = scene.figures.analogue
    found = []
    for net in scene.kept(figured):
        driver = analogue.driver(net)
        if driver is not None:
            found += [(net, driver, node) for node in net.hears if node not in net.drives]
    return found
