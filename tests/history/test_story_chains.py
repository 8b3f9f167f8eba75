"""The story of places of random studios through random chains of rough edits, held against every revision compiled cold.

Chains in which a comparison takes a name for another one are left out of the exact tests: there the truth would need the
same guess. How many are left is asserted.
"""

from itertools import pairwise
from random import Random
from typing import Any

import pytest

from routecode.change.difference import Difference
from routecode.circuit.circuit import Circuit
from routecode.circuit.plant import IN, OUT
from routecode.files.tree import Files
from routecode.history.story import Story, story
from routecode.history.story_fails import PATH, Since
from routecode.studio.opened import Opened
from tests.change.any_edit import any_edit
from tests.history.story_truth import Ends, Texts, cold, joined, line_of, replayed, through
from tests.reference.studios import random_studio
from tests.reference.toml_text import document
from tests.reference.written import united
from tests.seeds import some

LENGTH = 12
SEEDS = some(range(40), 14)
BROKEN = b"a = [\n"


def chain(seed: int) -> list[Texts]:
    """Revisions, oldest first, each a rough edit of the one before; about one in eight does not compile."""
    rng = Random(seed)
    whole = united(random_studio(seed))
    found: list[Texts] = []
    while len(found) < LENGTH:
        texts = files_of(whole, seed)
        if cold(texts) is not None:
            kept = whole
            found.append(texts)
            if rng.random() < 0.12:
                found.append({**texts, "more.toml": BROKEN})
        whole = any_edit(kept, rng)
    return found


def files_of(whole: dict[str, Any], seed: int) -> dict[str, bytes]:
    """A studio as files: each table of tables in one for every id, so that what an edit leaves alone is in files it leaves alone."""
    parts: dict[str, dict[str, Any]] = {}
    for kind, tables in whole.items():
        if kind == "studio" or isinstance(tables, list):
            parts[kind] = {kind: tables}
            continue
        for number, (name, table) in enumerate(tables.items()):
            parts[f"{kind}-{number:03}"] = {kind: {name: table}}
    return {f"{name}.toml": document(Random(seed), part).encode() for name, part in sorted(parts.items())}


def renamed(revisions: list[Texts]) -> bool:
    opened = [Opened(Files("", dict(texts), ()), "cold") for texts in revisions]
    compiled = [one for one in opened if one.circuit is not None]
    return any(Difference(one, other).renamed for one, other in pairwise(compiled))


def places(circuits: list[Circuit | None], rng: Random) -> list[str]:
    """A few ports of one direction: ends of paths that some revision has and the newest has not, any, and ones that are gone."""
    compiled = [circuit for circuit in circuits if circuit is not None]
    plant = compiled[0].plant
    paths = [{path[:2] for path in circuit.flow().paths() if not path.idle} for circuit in compiled]
    ends = {name.partition(" ch ")[0] for pair in set().union(*paths) - paths[0] for name in pair}
    names = {
        one.plant.name(node)
        for one in compiled
        for node in range(one.plant.ports)
        if one.plant.direction[node] in (IN, OUT)
    }
    gone = {name for name in names if plant.node(name) is None}
    wanted = ((ends & names - gone, 4), (names, 1), (gone, 1))
    return [name for some, count in wanted for name in rng.sample(sorted(some), min(count, len(some)))]


def last_good(truth: list[set[Ends]], ends: Ends) -> int:
    """The newest revision with a path, by looking at each."""
    return next(number for number, paths in enumerate(truth) if ends in paths)


def bisected(good: list[bool]) -> int:
    """The newest revision that is good, as a plain bisection finds it; newest first, good from some number on."""
    low, high = -1, len(good) - 1
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if good[middle] else (middle, high)
    return high


def told_of(found: Story, ends: Ends, setup: str | None, at: int = -1) -> Since | None:
    """What is told of a lost path in a state; what was lost unpatched with the same revision is not told again."""
    rows = [one for one in found.since if one.kind == PATH and ends in one.paths]
    return next((one for one in rows if one.setup == setup or (one.setup is None and one.since == at)), None)


def check(found: Story, circuits: list[Circuit | None], setup: str | None) -> int:
    """Hold one story against the truth (newest first); how many lost paths were held against a search."""
    truth = [through(circuit, found.place.name, setup) for circuit in circuits]
    assert replayed(found, len(circuits), setup) == truth
    compiled = [number for number, circuit in enumerate(circuits) if circuit is not None]
    searched = 0
    for ends in sorted(set().union(*truth)) if found.stands else ():
        good = compiled.index(last_good(truth, ends))
        if good == 0 or joined(circuits[compiled[0]], ends, setup):
            assert told_of(found, ends, setup) is None, ends
            continue
        since = told_of(found, ends, setup, compiled[good - 1])
        if joined(circuits[compiled[good - 1]], ends, setup):
            continue  # it left the place first and was lost later, elsewhere
        gained = truth[compiled[good - 1]] - truth[compiled[good]]
        if since is None:  # only what came for it may be a reason to say nothing
            assert any(ends[0] == source or ends[1] == target for source, target in gained), ends
            continue
        assert (since.since, since.until) == (compiled[good - 1], compiled[good])
        assert since.unsure == compiled[good] - compiled[good - 1] - 1
        there = [ends in truth[number] for number in compiled]
        if there == sorted(there):
            assert compiled[bisected(there)] == since.until
        searched += 1
    return searched


@pytest.fixture(scope="module")
def chains() -> list[tuple[int, list[Texts]]]:
    found = [(seed, chain(seed)) for seed in SEEDS]
    kept = [(seed, revisions) for seed, revisions in found if not renamed(revisions)]
    assert len(kept) > len(found) // 2
    return kept


def test_every_revision_and_every_loss_is_as_a_search_over_cold_compiles_finds_it(
    chains: list[tuple[int, list[Texts]]],
) -> None:
    searched = changed = 0
    for seed, revisions in chains:
        rng = Random(seed)
        circuits = [cold(texts) for texts in reversed(revisions)]
        setups = next(circuit.setups for circuit in circuits if circuit is not None)
        for place in places(circuits, rng):
            setup = rng.choice([None, *setups])
            found = story(line_of(revisions), place, setup)
            assert isinstance(found, Story), place
            assert found.place.name == place
            for state in {None, setup}:
                searched += check(found, circuits, state)
            changed += sum(bool(moment.states) for moment in found.moments)
    assert searched > len(SEEDS) * 0.6
    assert changed > len(SEEDS) * 1.5


def test_any_chain_has_a_story_of_anything(chains: list[tuple[int, list[Texts]]]) -> None:
    """Renames or not, of units, bays, jacks and cables too: it is told, and its moments are in order."""
    kinds = set()
    for seed in SEEDS:
        revisions = chain(seed)
        circuit = cold(revisions[-1]) or cold(revisions[-2])
        assert circuit is not None
        plant, rng = circuit.plant, Random(seed)
        numbers = sorted({wire.number for wire in plant.wires if wire.number})
        jacks = [plant.name(node) for node in range(plant.ports, plant.hubs)]
        for names in (list(plant.units), list(plant.bays), numbers, jacks):
            if not names:
                continue
            found = story(line_of(revisions), rng.choice(names))
            assert isinstance(found, Story)
            assert found.stands
            numbered = [moment.at for moment in found.moments]
            assert numbered == sorted(set(numbered))
            kinds.add(found.place.kind)
    assert kinds == {"unit", "bay", "cable", "jack"}
    assert chains
