"""Analogue networks of compiled studios as netlists, made apart from `routecode.figures`: only from nets, sockets and what they say.

An output is a voltage behind its ohms, an input its ohms to ground, a transformer or capacitor between passive ports an ideal transformer,
a cable twice the resistance of its leg, any other joint as good as none, the cables of a net one capacitor at its source. What ngspice
says of them is held against the figures.
"""

from collections.abc import Iterator, Mapping
from random import Random
from typing import Any, NamedTuple

from routecode.circuit.circuit import Circuit, compile_studio
from routecode.circuit.nets import Net
from routecode.circuit.plant import EITHER
from routecode.circuit.state import State
from routecode.language.decode import decode
from routecode.language.quantities import read_quantity
from routecode.language.written import LEVELS
from routecode.physics.levels import DBU_VOLTS
from tests.reference.studios import random_studio
from tests.reference.written import united


def figured(seed: int) -> dict[str, Any]:
    """A random studio in which every analogue port says its figures, and every cable its type and length."""
    rng = Random(seed)
    whole: dict[str, Any] = united(random_studio(seed))
    whole["cable_type"] = {"pair": {"pf_per_metre": 100.0, "awg": 26}, "thin": {"pf_per_metre": 55.0, "mm2": 0.02}}
    whole["cable_type"]["plain"] = {"pf_per_metre": 70.0}
    whole["cable_type"]["wire"] = {"pf_per_metre": 40.0, "ohms_per_km": 700.0}
    owners = [*whole.get("model", {}).values(), *whole.get("unit", {}).values()]
    for owner in owners:
        for port in owner.get("port", []):
            if "direction" in port:
                port["ohms"] = round(
                    rng.uniform(20, 2000) if port["direction"] == "out" else rng.uniform(500, 60_000), 3
                )
                port["level"] = f"{rng.randint(-20, 20)} dBu"
        for inside in owner.get("inside", []):
            if inside.get("kind") == "transformer":
                inside["ratio"] = round(rng.uniform(0.2, 5), 4)
    for cable in whole.get("cable", []):
        cable["type"], cable["metres"] = rng.choice(("pair", "thin", "plain", "wire")), round(rng.uniform(1, 200), 2)
    return whole


def compiled(seed: int) -> Circuit | None:
    """The circuit of such a studio."""
    studio, _ = decode([("studio.toml", figured(seed))])
    return compile_studio(studio)[0] if studio is not None else None


class Network(NamedTuple):
    """Nets that transformers and capacitors join, with one source in all of them, and the netlist: each place is the node `p` and its number."""

    state: State
    nets: list[Net]
    driver: int
    netlist: list[str]


def networks(circuit: Circuit) -> Iterator[Network]:
    """Every network of every state that has one source and something that hears it."""
    for setup in circuit.state_names:
        state = circuit.state(setup)
        nets = {id(net): net for net in state.all_nets() if _is_analogue(state, net)}
        joined = list(_crossings(state))
        groups: dict[int, list[Net]] = {}
        leader = {number: number for number in nets}
        for a, b, _ in joined:
            one, other = state.net_of(a), state.net_of(b)
            if one is not None and other is not None and id(one) in leader and id(other) in leader:
                root, old = leader[id(one)], leader[id(other)]
                leader = {number: root if value == old else value for number, value in leader.items()}
        for number, net in nets.items():
            groups.setdefault(leader[number], []).append(net)
        for group in groups.values():
            yield from _network(state, group, joined)


def _is_analogue(state: State, net: Net) -> bool:
    ports = [node for node in net.nodes if node < state.plant.ports]
    return bool(ports) and all(state.plant.socket(node).family == "analogue" for node in ports)


def _crossings(state: State) -> Iterator[tuple[int, int, float]]:
    """(port, port, turns) of the closed transformers and capacitors between passive ports."""
    for unit in state.plant.units.values():
        for branch in unit.kit.branches:
            a, b = unit.first + branch.source, unit.first + branch.target
            passive = state.plant.direction[a] == state.plant.direction[b] == EITHER
            if passive and branch.kind in ("transformer", "capacitor") and state.closed(unit, branch):
                yield a, b, branch.ratio


def _network(state: State, group: list[Net], joined: list[tuple[int, int, float]]) -> Iterator[Network]:
    names = {id(net) for net in group}
    crossing = {node for a, b, _ in joined for node in (a, b)}
    sources = [node for net in group for node in net.drives if node not in crossing]
    loads = [node for net in group for node in net.hears if node not in crossing and node not in net.drives]
    between = [(a, b, turns) for a, b, turns in joined if id(state.net_of(a)) in names or id(state.net_of(b)) in names]
    taken = state.passives.taken
    if any((a, b) not in taken and (b, a) not in taken for a, b, _ in between):
        return  # nothing decides which way it works: no signal is said to go through it
    if (
        len(sources) != 1
        or not loads
        or any(net.either or len(net.drives) != 1 for net in group)
        or len(between) != len(group) - 1
    ):
        return
    driver = sources[0]
    volts = 10 ** (_level(state, driver) / 20)
    netlist = [f"vs src 0 dc {volts!r} ac {volts!r}", f"rs src p{driver} {_ohms(state, driver)!r}"]
    netlist += [line for net in group for line in _joints(state, net)]
    for number, node in enumerate(loads):
        netlist.append(f"rl{number} p{node} 0 {_ohms(state, node)!r}")
    for number, (a, b, turns) in enumerate(between):
        one, other = f"p{a}", f"p{b}"
        # an ideal transformer: v(other) = turns v(one), i(one) = turns i(other)
        netlist += [f"e{number} x{number} 0 {one} 0 {turns!r}", f"vx{number} x{number} {other} dc 0"]
        netlist.append(f"f{number} {one} 0 vx{number} {turns!r}")
    netlist += [f"rleak{number} p{net.nodes[0]} 0 1e12" for number, net in enumerate(group)]
    yield Network(state, group, driver, netlist)


JOINT = 1e-4
"""Ohms of a joint that is no cable with a resistance: as good as none, and loops of them stay solvable."""


def _joints(state: State, net: Net) -> Iterator[str]:
    """The joints of a net as resistors; a bus of a bay is a place like any other."""
    places = list(net.nodes)
    seen = set(places)
    for place in places:
        near = state.joined(place)
        for other in sorted(set(near)):
            if other not in seen:
                seen.add(other)
                places.append(other)
            if other < place:
                continue
            cables = [wire for wire in state.plant.wires_of(place) if {wire.a, wire.b} == {place, other}]
            found = [cable_ohms(state, wire.type, wire.metres) for wire in cables]
            found += [JOINT] * (near.count(other) - len(found))
            for number, ohms in enumerate(found):
                yield f"rj{place}x{other}x{number} p{place} p{other} {ohms!r}"


def cable_ohms(state: State, type_: str | None, metres: float | None) -> float:
    """Both legs of a cable: from copper of 1/58 ohm mm2 / m (IEC 60028), its gauge by steps of 92^(1/39) from 0.127 mm at 36 (ASTM B258)."""
    kind = state.plant.studio.cable_type.get(type_ or "")
    if kind is None or metres is None:
        return JOINT
    area = kind.mm2
    if kind.awg is not None:
        area = 0.785398163 * (0.127 * 92.0 ** ((36 - kind.awg) / 39)) ** 2
    per_metre = kind.ohms_per_km / 1000 if kind.ohms_per_km is not None else 1 / 58 / area if area else 0.0
    return 2 * metres * per_metre or JOINT


def farads(state: State, net: Net) -> float:
    """The capacitance of a net's cables that say their length."""
    types: Mapping[str, Any] = state.plant.studio.cable_type
    members = set(net.nodes)
    wires = {id(wire): wire for node in net.nodes for wire in state.plant.wires_of(node) if {wire.a, wire.b} <= members}
    return float(
        sum((wire.metres or 0) * types[wire.type].pf_per_metre * 1e-12 for wire in wires.values() if wire.type)
    )


def _ohms(state: State, node: int) -> float:
    ohms = state.plant.socket(node).written.ohms
    assert ohms is not None
    return ohms


def _level(state: State, node: int) -> float:
    found = read_quantity(state.plant.socket(node).written.level or "", LEVELS)
    assert found is not None
    return found[0]


def chain(circuit: Circuit, source: str, end: str) -> tuple[list[str], str]:
    """A whole way from a source to an input, amplifiers with a gain among it, as a netlist of the compiled circuit; and the last node's name."""
    state, plant = circuit.state(None), circuit.plant
    driver, wanted = plant.node(source), plant.node(end)
    assert driver is not None
    volts = DBU_VOLTS * 10 ** (_level(state, driver) / 20)
    netlist = [f"vs g0 0 dc {volts!r} ac {volts!r}"]
    for stage in range(20):
        net = state.net_of(driver)
        assert net is not None
        netlist += [
            f"rs{stage} g{stage} n{stage} {_ohms(state, driver)!r}",
            f"cn{stage} n{stage} 0 {farads(state, net)!r}",
        ]
        loads = [node for node in net.hears if node != driver]
        netlist += [f"rl{stage}x{number} n{stage} 0 {_ohms(state, node)!r}" for number, node in enumerate(loads)]
        if wanted in loads:
            return netlist, f"n{stage}"
        hearer = loads[0]
        unit = plant.unit_of(hearer)
        branch = next(one for one in unit.kit.branches if unit.first + one.source == hearer)
        assert branch.gain_db is not None
        netlist.append(f"e{stage} g{stage + 1} 0 n{stage} 0 {10 ** (branch.gain_db / 20)!r}")
        driver = unit.first + branch.target
    raise AssertionError("the chain does not end")
