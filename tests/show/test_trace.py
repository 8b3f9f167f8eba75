"""Upstream and downstream agree with the paths of the state, and the list says where a signal stops."""

import pytest

from routecode.circuit.circuit import Circuit
from routecode.show.measure import width
from routecode.show.starter import starter
from routecode.show.trace import trace_document, trace_text
from routecode.show.tracing import Trace
from tests.show.studios import circuit_of, millrace, opened, small

CIRCUITS = {"small": circuit_of(small()), "millrace": circuit_of(millrace())}


@pytest.mark.parametrize("name", CIRCUITS)
def test_sources_and_destinations_are_those_of_the_paths(name: str) -> None:
    circuit = CIRCUITS[name]
    for setup in circuit.state_names:
        reached: dict[str, set[str]] = {}
        heard: dict[str, set[str]] = {}
        for path in circuit.flow(setup).paths():
            reached.setdefault(path.source, set()).add(path.target)
            heard.setdefault(path.target, set()).add(path.source)
        for source in sorted(reached)[::5]:
            assert set(Trace(circuit, setup, source).destinations) == reached[source]
        for target in sorted(heard)[::5]:
            assert set(Trace(circuit, setup, target).sources) == heard[target]


@pytest.mark.parametrize("name", CIRCUITS)
def test_every_place_can_be_traced_in_every_state(name: str) -> None:
    circuit = CIRCUITS[name]
    plant = circuit.plant
    for setup in circuit.state_names:
        for node in range(0, len(plant.direction), 7):
            trace = Trace(circuit, setup, plant.name(node))
            assert all(width(line) <= 80 for line in trace_text(trace).splitlines())
            assert trace_document(trace, "worktree")["place"] == plant.name(node)


def test_jacks_of_the_steps_are_those_of_the_feeds() -> None:
    circuit = CIRCUITS["millrace"]
    feeds = {(feed.source, feed.target): list(feed.jacks) for feed in circuit.feeds(None)}
    document = trace_document(Trace(circuit, None, "pre-a/mic 1"), "worktree")
    told = [step for way in ("upstream", "downstream") for step in document[way] if step["by"] == "feed"]
    assert told
    assert all(feeds[step["from"], step["to"]] == step["jacks"] for step in told)


def lines(circuit: Circuit, place: str, setup: str | None = None) -> str:
    return trace_text(Trace(circuit, setup, place))


def test_a_jack_shows_what_passes_it_both_ways() -> None:
    assert lines(CIRCUITS["small"], "main/top 3") == (
        "Main bay top 3 (main/top 3), unpatched\n"
        "Wired behind it: Preamp out 3.\n"
        "\n"
        "Comes from:\n"
        "  Preamp out 3\n"
        "    inside from mic 3\n"
        "      Live room box line 3, over cable L3\n"
        "        (-50.8 dBu arrive, by usual figures; 12 m)\n"
        "        It starts here.\n"
        "\n"
        "Goes to:\n"
        "  Recorder line 3, over normal, Main bay bottom 3\n"
        "    It ends here.\n"
    )


def test_a_cord_is_named_where_it_is_passed() -> None:
    text = lines(CIRCUITS["small"], "comp/in", "voice")
    assert "Preamp out 1, over Main bay bottom 17, cord, Main bay top 1" in " ".join(text.split())


def test_where_nothing_is_wired_it_says_so() -> None:
    text = lines(CIRCUITS["small"], "comp/out")
    assert "It stops at Main bay top 17: nothing is wired there." in text
    assert "Nothing is wired there." in lines(CIRCUITS["small"], "main/top 20")


def test_a_passive_port_that_is_passed_shows_both_sides() -> None:
    texts = {name: text for name, text in starter("Small").items() if name.endswith(".toml")}
    texts["more.toml"] = (
        '[unit.wall]\nroom = "live"\n[[unit.wall.port]]\nname = "tie"\ndirection = "either"\nsignal = "line"\n'
        '[[cable]]\nfrom = "wall/tie"\nto = "main/bottom 20"\n'
        '[setup.tie]\n[[setup.tie.cord]]\nfrom = "main/top 1"\nto = "wall/tie"\n'
    )
    circuit = circuit_of(opened(texts))
    text = lines(circuit, "wall/tie", "tie")
    assert "Preamp out 1, over cord, Main bay top 1" in " ".join(text.split())
