"""The compiler's answers as the sets that the reference is compared with."""

from collections.abc import Mapping

from attrs import frozen

from routecode.circuit.circuit import Circuit, compile_studio
from routecode.circuit.needs import NeedJudge
from routecode.circuit.plant import PlacedNeed
from routecode.files.toml import parse
from routecode.ground.finding import Mistake
from routecode.language.decode import decode


@frozen
class Answer:
    """One state, as the reference gives it: feeds, paths, points, feedback, and the needs that fail (mode, path)."""

    feeds: frozenset[tuple[str, str, tuple[str, ...], str, bool]]
    paths: frozenset[tuple[str, str, bool]]
    points: frozenset[tuple[str, tuple[str, ...]]]
    feedback: frozenset[tuple[tuple[str, ...], bool]]
    needs: frozenset[tuple[str, tuple[str, ...]]]


def circuit_of(files: Mapping[str, str]) -> tuple[Circuit | None, tuple[Mistake, ...]]:
    """Compile the texts of a studio."""
    tables = []
    for name in sorted(files):
        parsed = parse(name, files[name].encode())
        if parsed.table is None:
            assert parsed.mistake is not None
            return None, (parsed.mistake,)
        tables.append((name, parsed.table))
    studio, mistakes = decode(tables)
    return compile_studio(studio) if studio is not None else (None, mistakes)


def answers(files: Mapping[str, str]) -> dict[str | None, Answer]:
    """What the compiler says of every state; AssertionError with the mistakes where it refuses the text."""
    circuit, mistakes = circuit_of(files)
    assert circuit is not None, [(mistake.id, mistake.text, mistake.place) for mistake in mistakes]
    return {setup: answer(circuit, setup) for setup in circuit.state_names}


def answer(circuit: Circuit, setup: str | None) -> Answer:
    """What the compiler says of one state."""
    flow = circuit.flow(setup)
    judge = NeedJudge(circuit.state(setup), flow)
    placed = circuit.plant.setups[setup].needs if setup is not None else ()
    return Answer(
        frozenset((feed.source, feed.target, feed.jacks, feed.polarity, feed.either) for feed in circuit.feeds(setup)),
        frozenset((path.source, path.target, path.idle) for path in flow.paths()),
        frozenset(circuit.points),
        frozenset((loop.channels, loop.controlled) for loop in flow.feedback()),
        frozenset((mode(need), need.names) for need in placed if not judge.judge(need).met),
    )


def mode(need: PlacedNeed) -> str:
    """`exist`, `never` or `only`, as the reference calls them."""
    return "never" if need.written.never else "only" if need.written.only else "must"
