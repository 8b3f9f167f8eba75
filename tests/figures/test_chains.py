"""Whole chains, microphone to converter: levels at each step against published figures, and against netlists of the compiled circuit."""

import pytest

from routecode.circuit.circuit import Circuit
from routecode.figures.figures import Figures, StateFigures
from routecode.figures.hops import BALANCED, GROUNDED, ONE_LEG, UNBALANCED, Hop, hop_of
from routecode.physics.levels import DBU_VOLTS
from tests.physics.networks import chain
from tests.physics.spice import need_ngspice, run
from tests.show.studios import circuit_of, opened

CHAIN = """
[studio]
language = 1
[cable_type.pair]
pf_per_metre = 100
[unit.mic]
[[unit.mic.port]]
name = "out"
direction = "out"
signal = "mic"
level = "-50 dBu"
ohms = 150
phantom = "needs"
phantom_ma = 2
[unit.pre]
phantom_on = "mic"
[[unit.pre.port]]
name = "mic"
direction = "in"
signal = "mic"
ohms = 1500
phantom = "supply"
[[unit.pre.port]]
name = "out"
direction = "out"
signal = "line"
ohms = 100
[[unit.pre.inside]]
from = "mic"
to = "out"
gain_db = 54
[unit.conv]
[[unit.conv.port]]
name = "in"
direction = "in"
signal = "line"
ohms = 10000
full_scale = "+24 dBu"
max_level = "+24 dBu"
[[cable]]
from = "mic/out"
to = "pre/mic"
type = "pair"
metres = 100
[[cable]]
from = "pre/out"
to = "conv/in"
type = "pair"
metres = 10
"""


def figured(text: str) -> tuple[Circuit, StateFigures]:
    circuit = circuit_of(opened({"studio.toml": text}))
    return circuit, Figures(circuit).state(None)


def hop(text: str, driver: str, hearer: str) -> Hop:
    circuit, figures = figured(text)
    a, b = circuit.plant.node(driver), circuit.plant.node(hearer)
    assert a is not None
    assert b is not None
    found = hop_of(figures, a, b)
    assert found is not None
    return found


def test_a_microphone_chain_by_hand() -> None:
    first, second = hop(CHAIN, "mic/out", "pre/mic"), hop(CHAIN, "pre/out", "conv/in")
    assert first.arriving is not None
    assert second.arriving is not None
    assert second.dbfs is not None
    assert first.arriving.amount == pytest.approx(
        -50.828, abs=0.001
    )  # 150 ohm into 1.5 kohm: -0.83 dB, check values 10.1
    # F9: -50 dBu with 54 dB of gain is +4 dBu, 20 dB under 0 dBFS = +24 dBu; here less both loading losses
    assert second.arriving.amount == pytest.approx(4 - 0.8279 - 0.0864, abs=0.001)
    assert second.dbfs.amount == pytest.approx(-20.914, abs=0.001)
    assert first.corner is not None
    assert first.corner.amount == pytest.approx(
        106_100 * 1650 / 1500, rel=0.001
    )  # 106.1 kHz unloaded (derived fixture of 5.1)
    assert first.powered is not None
    assert first.powered.volts is not None
    assert first.powered.volts[0] == pytest.approx(36.52)  # P48 at 2 mA, least (check values, section 2)
    assert first.powered.volts[1] == pytest.approx(45.88)
    assert not first.usual
    assert first.metres == 100


def test_the_same_chain_in_the_simulator() -> None:
    need_ngspice()
    netlist, last = chain(figured(CHAIN)[0], "mic/out", "conv/in")
    assert last == "n1"
    first, second = hop(CHAIN, "mic/out", "pre/mic"), hop(CHAIN, "pre/out", "conv/in")
    at_input, at_converter = run(netlist, ["op", "print v(n0)", "print v(n1)"])
    for ours, theirs in ((first.arriving, at_input), (second.arriving, at_converter)):
        assert ours is not None
        assert DBU_VOLTS * 10 ** (ours.amount / 20) == pytest.approx(theirs, rel=0.001)
    assert first.corner is not None
    (treble,) = run(netlist, [f"ac lin 1 {first.corner.amount!r} {first.corner.amount!r}", "print vm(n0)"])
    assert treble / at_input == pytest.approx(0.5**0.5, rel=0.001)


LINE = """
[studio]
language = 1
[unit.desk]
[[unit.desk.port]]
name = "out"
direction = "out"
signal = "line"
balanced = true
[unit.rec]
[[unit.rec.port]]
name = "in"
direction = "in"
signal = "line"
balanced = {takes}
[[cable]]
from = "desk/out"
to = "rec/in"
{cable}
"""


@pytest.mark.parametrize(
    ("takes", "cable", "legs"),
    [
        ("true", "", BALANCED),
        ("false", "", UNBALANCED),
        ("true", 'cold = "open"', ONE_LEG),
        ("true", 'cold = "shield-at-to"', GROUNDED),
    ],
)
def test_how_a_line_arrives(takes: str, cable: str, legs: str) -> None:
    assert hop(LINE.format(takes=takes, cable=cable), "desk/out", "rec/in").legs == legs


def test_what_nobody_wrote_down_is_said_to_be_usual() -> None:
    assert hop(LINE.format(takes="true", cable=""), "desk/out", "rec/in").usual


PHANTOM = """
[studio]
language = 1
[unit.mic]
[[unit.mic.port]]
name = "out"
direction = "out"
signal = "mic"
[unit.box]
[[unit.box.port]]
name = ["in", "direct", "isolated"]
direction = "either"
signal = "mic"
[[unit.box.inside]]
from = "in"
to = "direct"
kind = "hardwired"
[[unit.box.inside]]
from = "in"
to = "isolated"
kind = "{kind}"
[unit.pre]
phantom_on = "{on}"
[[unit.pre.port]]
name = "mic 1..2"
direction = "in"
signal = "mic"
phantom = "supply"
[[cable]]
from = "mic/out"
to = "box/in"
{cable}
[[cable]]
from = ["box/direct", "box/isolated"]
to = ["pre/mic 1", "pre/mic 2"]
"""


@pytest.mark.parametrize(
    ("on", "kind", "cable", "expected"),
    [
        ("mic 1", "transformer", "", True),  # only the direct output of a splitter passes phantom (check value P14)
        ("mic 2", "transformer", "", None),  # a transformer stops it
        ("mic 2", "capacitor", "", None),
        ("mic 2", "hardwired", "", True),
        ("mic 1", "transformer", 'shield = "to"', False),  # the shield is the way back (P18): exposed, not supplied
        ("mic 1", "transformer", 'cold = "open"', False),
    ],
)
def test_where_phantom_power_goes(on: str, kind: str, cable: str, expected: bool | None) -> None:
    circuit, figures = figured(PHANTOM.format(on=on, kind=kind, cable=cable))
    node = circuit.plant.node("mic/out")
    assert node is not None
    arriving = figures.phantom.at(node)
    assert (None if arriving is None else arriving.supplied) == expected


def test_a_setup_and_a_bank_switch_phantom_power() -> None:
    text = PHANTOM.format(on="mic 1", kind="transformer", cable="").replace(
        'phantom = "supply"', 'phantom = "supply"\nphantom_bank = "1-2"'
    )
    circuit = circuit_of(opened({"studio.toml": text + '[setup.off]\nphantom_off = "pre/mic 2"\n'}))
    names = {setup: [circuit.plant.name(node) for node in sorted(_on(circuit, setup))] for setup in (None, "off")}
    assert names == {None: ["pre/mic 1", "pre/mic 2"], "off": []}


def _on(circuit: Circuit, setup: str | None) -> frozenset[int]:
    return Figures(circuit).state(setup).phantom.on
