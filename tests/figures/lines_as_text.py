"""One output, one cable, one input as text: what tests of legs, headroom and resistance stand on."""

from routecode.figures.figures import Figures
from routecode.figures.hops import Hop, hop_of
from tests.show.studios import circuit_of, opened

TEXT = """
[studio]
language = 1
{types}
[unit.m]
[[unit.m.port]]
name = "a"
direction = "out"
signal = "{signal}"
{gives}
[unit.p]
[[unit.p.port]]
name = "b"
direction = "in"
signal = "{signal}"
{takes}
[[cable]]
from = "m/a"
to = "p/b"
{cable}
"""


def line(gives: str, takes: str, cable: str = "", *, signal: str = "line", types: str = "") -> Hop:
    """The figures of such a line; keys of its parts are separated by `;`."""
    keys = {name: text.replace(";", "\n") for name, text in (("gives", gives), ("takes", takes), ("cable", cable))}
    circuit = circuit_of(opened({"studio.toml": TEXT.format(signal=signal, types=types.replace(";", "\n"), **keys)}))
    ends = [circuit.plant.node(name) for name in ("m/a", "p/b")]
    assert ends[0] is not None
    assert ends[1] is not None
    found = hop_of(Figures(circuit).state(None), ends[0], ends[1])
    assert found is not None
    return found
