"""Small texts that stand for very much are refused at once, and a flood of mistakes is told in bounds.

The bound is on harm, in seconds of processor; it is no measurement (see tests/bench).
"""

import pytest

from routecode.files.tree import Files
from routecode.show.diagnostic import Page, all_mistakes
from routecode.studio.opened import Opened
from tests.bounds import with_an_end

HEAD = '[studio]\ntitle = "x"\nlanguage = 1\n'

PORT = '[[model.m.port]]\nname = "{name}"\ndirection = "{direction}"\nsignal = "line"\n'
BOMBS: dict[str, tuple[str, str]] = {
    "ranges by the thousand": (
        "too-many-names",
        "".join(PORT.format(name=f"x{number} 1..10000", direction="in") for number in range(3000)),
    ),
    "one huge range": ("too-many-names", PORT.format(name="x 1..99999999999", direction="in")),
    "a large model, used often": (
        "too-large",
        PORT.format(name="x 1..10000", direction="in")
        + "".join(f'[unit.u{number}]\nmodel = "m"\n' for number in range(5000)),
    ),
    "wide bays by the thousand": (
        "too-large",
        "".join(f"[bay.b{number}]\ncolumns = 10000\n" for number in range(2000)),
    ),
    "very many channels": (
        "too-large",
        PORT.format(name="x 1..10000", direction="in").replace('"line"', '"madi"\nchannels = 4096')
        + '[unit.u]\nmodel = "m"\n',
    ),
    "ten thousand by ten thousand insides": (
        "too-large",
        PORT.format(name="a 1..10000", direction="in")
        + PORT.format(name="b 1..10000", direction="out")
        + '[[model.m.inside]]\nfrom = "a 1..10000"\nto = "b 1..10000"\npairing = "all-to-all"\n[unit.u]\nmodel = "m"\n',
    ),
    "setups that include one another": (
        "",
        "".join(
            f'[setup.s{number}]\ninclude = ["s{number + 1}", "t{number + 1}"]\n[setup.t{number}]\ninclude = ["s{number + 1}", "t{number + 1}"]\n'
            for number in range(60)
        )
        + "[setup.s60]\n[setup.t60]\n",
    ),
    "a loop of setups": ("include-loop", '[setup.a]\ninclude = "b"\n[setup.b]\ninclude = "a"\n'),
}


def opened(text: str) -> Opened:
    return Opened(Files("studio", {"studio.toml": (HEAD + text).encode()}, ()), "worktree")


@pytest.mark.parametrize("which", BOMBS)
def test_a_bomb_is_refused_at_once(which: str) -> None:
    wanted, text = BOMBS[which]
    with with_an_end():
        studio = opened(text)
        mistakes = studio.mistakes
        if not mistakes:
            assert studio.report is not None
    assert {mistake.id for mistake in mistakes} == ({wanted} if wanted else set())


def test_forty_splits_in_series_have_their_paths_counted() -> None:
    """Two ways at each of forty stages: 2^40 ways, one path."""
    stages = "".join(
        f"[unit.u{number}]\n"
        'port = [{ name = "in 1..2", direction = "in", signal = "line" }, { name = "out 1..2", direction = "out", signal = "line" }]\n'
        'inside = [{ from = "in 1..2", to = "out 1..2", pairing = "all-to-all" }]\n'
        + (f'[[cable]]\nfrom = "u{number}/out 1..2"\nto = "u{number + 1}/in 1..2"\n' if number < 40 else "")
        for number in range(41)
    )
    source = '[unit.s]\nport = [{ name = "out", direction = "out", signal = "line" }]\n[[cable]]\nfrom = "s/out"\nto = "u0/in 1"\n'
    sink = '[unit.d]\nport = [{ name = "in", direction = "in", signal = "line" }]\n[[cable]]\nfrom = "u40/out 1"\nto = "d/in"\n'
    circuit = opened(stages + source + sink).circuit
    assert circuit is not None
    assert [(path.source, path.target) for path in circuit.flow().paths()] == [("s/out", "d/in")]


def test_a_flood_of_mistakes_is_told_in_bounds() -> None:
    studio = opened("".join(f"[unit.u{number}]\nnosuch = 1\n" for number in range(20_000)))
    assert len(studio.mistakes) == 20_000
    with with_an_end():
        told = all_mistakes(studio.mistakes, Page(studio))
    assert told.count("\n") < 1000
    assert "20,000" in told
