"""Level and corner of 200 random passive networks, taken from compiled random studios, against ngspice: within 0.1 %."""

from collections.abc import Iterator
from itertools import islice

from routecode.figures.analogue import Analogue
from routecode.figures.ports import Ports
from tests.physics.networks import Network, compiled, farads, networks
from tests.physics.spice import need_ngspice, run

COUNT = 200


def taken() -> Iterator[Network]:
    """The first networks there are; of the plain ones (one net) only every tenth, so that transformers are among them."""
    plain = 0
    for seed in range(2000):
        circuit = compiled(seed)
        for network in networks(circuit) if circuit is not None else ():
            plain += len(network.nets) == 1
            if len(network.nets) > 1 or plain % 10 == 0:
                yield network


def resistors(network: Network) -> Iterator[float]:
    """The ohms of the cables of a network."""
    return (float(line.split()[-1]) for line in network.netlist if line.startswith("rj"))


def test_levels_and_corners_agree_with_the_simulator() -> None:
    need_ngspice()
    found = list(islice(taken(), COUNT))
    assert len(found) == COUNT
    assert sum(len(network.nets) > 1 for network in found) >= 10
    assert sum(any(ohms > 1 for ohms in resistors(network)) for network in found) >= 50
    levels = corners = 0
    for network in found:
        analogue = Analogue(network.state, Ports(network.state.plant))
        hearers = [(node, net) for net in network.nets for node in net.hears if node not in net.drives]
        volts = run(network.netlist, ["op", *(f"print v(p{node})" for node, _ in hearers)])
        for (node, _), theirs in zip(hearers, volts, strict=True):
            ours = analogue.arriving(node)
            assert ours is not None
            assert not ours.default
            assert abs(10 ** (ours.amount / 20) - abs(theirs)) <= 0.001 * abs(theirs), network.state.plant.name(node)
            levels += 1
        for net in network.nets:
            if not set(net.hears) - set(net.drives):
                continue  # nothing hears it: no figure is given
            corner, capacity = analogue.corner(net), farads(network.state, net)
            if corner is None:
                assert capacity == 0
                continue
            name = f"p{net.drives[0]}"
            netlist = [*network.netlist, f"c1 {name} 0 {capacity!r}"]
            hertz = corner.amount
            low, at = run(
                netlist,
                ["ac lin 1 1e-6 1e-6", f"print vm({name})", f"ac lin 1 {hertz!r} {hertz!r}", f"print vm({name})"],
            )
            theirs = hertz / ((low / at) ** 2 - 1) ** 0.5
            assert abs(hertz - theirs) <= 0.001 * theirs
            corners += 1
    assert levels >= COUNT
    assert corners >= COUNT // 4
