"""Every normal and link plug position against every combination of cords, against the published table.

Half, full, isolated: themusictelegraph.com/363, av-info.eu/data/cables/patchbays.html and tvtechnology.com/opinions/
when-to-use-fullnormals-and-halfnormals; parallel and link plugs: common practice, no source. A is the source behind the one row, B the
destination behind the other; L listens by a cord in the row of sources, P plays by a cord into the row of destinations.
"""

import pytest

from routecode.circuit.circuit import Circuit
from tests.reference.compiler import circuit_of

#            pattern    cords: none        source row only     destination row only   both
TABLE: dict[str, tuple[str, str, str, str]] = {
    "none": ("", "A-L", "P-B", "A-L P-B"),
    "half": ("A-B", "A-B A-L", "P-B", "A-L P-B"),
    "full": ("A-B", "A-L", "P-B", "A-L P-B"),
    "parallel": ("A-B", "A-B A-L", "A-B P-B", "A-B A-L P-B P-L"),
    "plug makes it": ("A-B", "A-B A-L", "P-B", "A-L P-B"),
    "plug holds off": ("", "A-L", "P-B", "A-L P-B"),
    "plug out": ("", "A-L", "P-B", "A-L P-B"),
}
CORDS = ((), ("listen",), ("play",), ("listen", "play"))

PLANT = """
[studio]
title = "One column"
language = 1
[unit.A]
port = [{ name = "out", direction = "out", signal = "line" }]
[unit.B]
port = [{ name = "in", direction = "in", signal = "line" }]
[unit.L]
port = [{ name = "in", direction = "in", signal = "line" }]
[unit.P]
port = [{ name = "out", direction = "out", signal = "line" }]
"""


def column(pattern: str, sources: str) -> tuple[str, str, str]:
    """The bay's text, and the names of its row of sources and of destinations."""
    source, target = ("top", "bottom") if sources == "top" else ("bottom", "top")
    word = {"plug makes it": target, "plug holds off": source, "plug out": "none"}.get(pattern, pattern)
    key, kind = ("plug", "plugs") if pattern.startswith("plug") else ("normal", "switched")
    text = (
        f'[bay.x]\ncolumns = 1\nsources = "{sources}"\nnormalling = "{kind}"\n'
        f'[[bay.x.column]]\nat = 1\n{source} = "A/out"\n{target} = "B/in"\n{key} = "{word}"\n'
    )
    return text, source, target


def studio(pattern: str, sources: str, cords: tuple[str, ...]) -> Circuit:
    """The plant with one column and a setup of these cords."""
    text, source, target = column(pattern, sources)
    made = {"listen": f'{{ from = "x/{source} 1", to = "L/in" }}', "play": f'{{ from = "P/out", to = "x/{target} 1" }}'}
    setup = f"[setup.s]\ncord = [{', '.join(made[cord] for cord in cords)}]\n"
    circuit, mistakes = circuit_of({"studio.toml": PLANT + text + setup})
    assert circuit is not None, mistakes
    return circuit


@pytest.mark.parametrize("sources", ["top", "bottom"])
@pytest.mark.parametrize("number", range(4))
@pytest.mark.parametrize("pattern", TABLE)
def test_column(pattern: str, number: int, sources: str) -> None:
    circuit = studio(pattern, sources, CORDS[number])
    told = {f"{feed.source[0]}-{feed.target[0]}" for feed in circuit.feeds("s")}
    assert told == set(TABLE[pattern][number].split())


@pytest.mark.parametrize("pattern", TABLE)
def test_no_cord_leaves_the_unpatched_state(pattern: str) -> None:
    circuit = studio(pattern, "top", ("listen", "play"))
    assert {f"{feed.source[0]}-{feed.target[0]}" for feed in circuit.feeds(None)} == set(TABLE[pattern][0].split())


@pytest.mark.parametrize(
    ("pattern", "jack", "joined"),
    [
        ("half", "top", True),
        ("half", "bottom", False),
        ("full", "top", False),
        ("full", "bottom", False),
        ("parallel", "top", True),
        ("parallel", "bottom", True),
    ],
)
def test_a_dummy_plug_breaks_what_a_cord_breaks(pattern: str, jack: str, joined: bool) -> None:
    text, _, _ = column(pattern, "top")
    setup = f'[setup.s]\nplug = [{{ at = "x/{jack} 1", set = "broken" }}]\n'
    circuit, mistakes = circuit_of({"studio.toml": PLANT + text + setup})
    assert circuit is not None, mistakes
    assert bool(circuit.feeds("s")) is joined


@pytest.mark.parametrize(("to", "joined"), [("bottom", True), ("top", False), ("out", False)])
@pytest.mark.parametrize("pattern", ["plug makes it", "plug holds off", "plug out"])
def test_a_setup_moves_the_link_plug(pattern: str, to: str, joined: bool) -> None:
    text, _, _ = column(pattern, "top")
    setup = f'[setup.s]\nplug = [{{ at = "x/top 1", set = "{to}" }}]\n'
    circuit, mistakes = circuit_of({"studio.toml": PLANT + text + setup})
    assert circuit is not None, mistakes
    assert bool(circuit.feeds("s")) is joined


@pytest.mark.parametrize(
    ("breaks", "plugged", "joined"),
    [
        (breaks, plugged, breaks == "never" or (breaks == "to" and plugged != 3) or (breaks == "from" and plugged != 1))
        for breaks in ("to", "from", "both", "never")
        for plugged in (1, 3)
    ],
)
def test_a_normal_across_columns(breaks: str, plugged: int, joined: bool) -> None:
    text = (
        '[bay.x]\ncolumns = 3\ncolumn = [{ at = 1, top = "A/out" }, { at = 3, bottom = "B/in" }]\n'
        f'[[normal]]\nfrom = "x/top 1"\nto = "x/bottom 3"\nbreaks = "{breaks}"\n'
        f'[setup.s]\nplug = [{{ at = "x/{"top" if plugged == 1 else "bottom"} {plugged}", set = "broken" }}]\n'
    )
    circuit, mistakes = circuit_of({"studio.toml": PLANT + text})
    assert circuit is not None, mistakes
    assert len(circuit.feeds(None)) == 1
    assert bool(circuit.feeds("s")) is joined
