"""Folded paths stand for exactly the pairs they were folded from."""

from hypothesis import given
from hypothesis import strategies as st

from routecode.show.listing import Line, Way, folded, ways
from tests.show.studios import circuit_of, millrace, small

NAMES = st.builds(
    "{}/{}{}".format,
    st.sampled_from(["a", "b"]),
    st.sampled_from(["in ", "out ", "x", ""]),
    st.integers(0, 12).map(str),
) | st.sampled_from(["a/left", "a/right", "b/01", "b/02", "b/1"])
WAYS = st.lists(st.builds(Way, NAMES, NAMES, st.sampled_from([(), ("p",), ("p", "q")]), st.booleans()), max_size=40)


def spread(line: Line) -> set[Way]:
    """The pairs of a line, by what `parallel` says and nothing else."""
    if line.parallel and len(line.sources) > 1:
        return {Way(a, b, line.through, line.idle) for a, b in zip(line.sources, line.targets, strict=True)}
    return {Way(a, b, line.through, line.idle) for a in line.sources for b in line.targets}


@given(WAYS)
def test_spreading_the_lines_gives_back_every_pair(found: list[Way]) -> None:
    assert {way for line in folded(found) for way in spread(line)} == set(found)


@given(st.permutations(range(1, 9)))
def test_exchanged_lines_are_never_folded_into_a_straight_run(order: list[int]) -> None:
    found = [Way(f"a/out {number}", f"b/in {to}", (), False) for number, to in enumerate(order, 1)]
    for line in folded(found):
        numbers = [(int(a.split()[-1]), int(b.split()[-1])) for a, b in zip(line.sources, line.targets, strict=True)]
        assert len({a - b for a, b in numbers}) == 1


def test_every_path_of_the_example_has_one_way() -> None:
    for studio in (small(), millrace()):
        circuit = circuit_of(studio)
        for setup in circuit.state_names:
            flow = circuit.flow(setup)
            assert sorted((way.source, way.target, way.idle) for way in ways(flow)) == sorted(flow.paths())


def test_what_lies_between_is_named() -> None:
    circuit = circuit_of(small())
    found = {(way.source, way.target): way.through for way in ways(circuit.flow("voice"))}
    assert found["live/line 1", "rec/line 1"] == ("pre", "comp")
    assert found["live/line 2", "rec/line 2"] == ("pre",)
    assert found["rec/mix 1", "near/in 1"] == ()
