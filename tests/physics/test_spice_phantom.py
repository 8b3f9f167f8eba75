"""Phantom power on 200 lines of compiled random studios against ngspice: both legs, both ends of the tolerances, within 0.1 %.

Inputs of the line that are off hold their resistors at 0 V at the low end (check value P16).
"""

from collections.abc import Iterator
from itertools import islice
from random import Random
from typing import Any

from routecode.circuit.circuit import Circuit, compile_studio
from routecode.circuit.nets import Net
from routecode.circuit.state import State
from routecode.figures.figures import Figures
from routecode.language.decode import decode
from tests.physics.spice import need_ngspice, run
from tests.reference.studios import random_studio
from tests.reference.written import united

COUNT = 200
VOLTS, OHMS = {"P48": (48, 4), "P24": (24, 4), "P12": (12, 1)}, {"P48": 6800, "P24": 1200, "P12": 680}
"""As IEC 61938 is summarised in print (check values P1 to P3); resistors within 10 %."""


def powered(seed: int) -> Circuit | None:
    """A random studio whose inputs all give phantom power of one kind, and whose other ports draw some."""
    rng = Random(seed)
    whole: dict[str, Any] = united(random_studio(seed))
    kind = rng.choice(sorted(VOLTS))
    for owner in [*whole.get("model", {}).values(), *whole.get("unit", {}).values()]:
        for port in owner.get("port", []):
            if port.get("direction") == "in":
                port |= {"phantom": "supply", "phantom_kind": kind}
            elif "direction" in port:
                port |= {"phantom": "needs", "phantom_kind": kind, "phantom_ma": round(rng.uniform(0.2, 6), 3)}
    studio, _ = decode([("studio.toml", whole)])
    circuit = compile_studio(studio)[0] if studio is not None else None
    if circuit is not None:
        ports = [node for node in range(circuit.plant.ports) if circuit.plant.socket(node).written.phantom == "supply"]
        circuit.plant.phantom_on.update(node for node in ports if rng.random() < 0.7)
    return circuit


def lines() -> Iterator[tuple[Circuit, State, Net, int]]:
    """Nets with an output on them and phantom power, one output of each."""
    for seed in range(3000):
        circuit = powered(seed)
        for setup in circuit.state_names if circuit is not None else ():
            assert circuit is not None
            state = circuit.state(setup)
            for net in state.nets:
                if net.outs and len(net.outs) == 1 and any(node in circuit.plant.phantom_on for node in net.ins):
                    yield circuit, state, net, net.outs[0]


def test_what_is_left_agrees_with_the_simulator() -> None:
    need_ngspice()
    found = list(islice(lines(), COUNT))
    assert len(found) == COUNT
    several = beside = 0
    for circuit, state, net, port in found:
        ours = Figures(circuit).state(state.setup).phantom.left(port)
        assert ours is not None
        written = circuit.plant.socket(port).written
        kind, amperes = str(written.phantom_kind), (written.phantom_ma or 0) / 1000
        # read here from the state itself: what is switched on and stands in this net
        supplies = [node for node in net.ins if node in circuit.plant.phantom_on]
        off = [node for node in net.ins if circuit.plant.socket(node).written.phantom and node not in supplies]
        several, beside = several + (len(supplies) > 1), beside + bool(off)
        for volts, (sign, mark) in zip(ours, ((-1, 1.1), (1, 0.9)), strict=True):
            supply, ohms = VOLTS[kind][0] + sign * VOLTS[kind][1], OHMS[kind] * mark
            netlist = [f"i1 m 0 dc {amperes!r}", "rh m hot 1u", "rc m cold 1u"]
            for number, _ in enumerate(supplies):
                netlist += [
                    f"v{number} p{number} 0 dc {supply}",
                    f"ra{number} p{number} hot {ohms!r}",
                    f"rb{number} p{number} cold {ohms!r}",
                ]
            for number, _ in enumerate(
                off if sign < 0 else ()
            ):  # off: at the least its resistors, the lowest there are, are at 0 V
                netlist += [f"rc{number} 0 hot {OHMS[kind] * 0.9!r}", f"rd{number} 0 cold {OHMS[kind] * 0.9!r}"]
            (theirs,) = run(netlist, ["op", "print v(m)"])
            assert abs(volts - theirs) <= 0.001 * max(abs(theirs), 0.01)
    assert several > 5
    assert beside > 5
