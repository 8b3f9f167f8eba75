"""What must hold of any two studios, however they came to differ: rough edits, strangers, names, order, comments.

The reference (`tests.reference.flood`) reads both texts by itself; ordinary edits against it are in `test_raw_sets`.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from random import Random
from typing import Any

import pytest

from routecode.change.claims import KINDS, SILENT, Claims
from routecode.change.delta import BOTH
from routecode.change.difference import Difference
from routecode.show.difference_document import difference_document
from tests.change.any_edit import Files, called_otherwise, roughly_edited
from tests.change.test_raw_sets import Raw, compare, marks
from tests.change.wiring import asked
from tests.reference import compiler
from tests.reference.heavy import diff_disagreements
from tests.reference.studios import mutate, random_studio
from tests.reference.toml_text import document
from tests.reference.written import united
from tests.seeds import some
from tests.show.studios import opened

ROUGH = some(range(60), 30)
STRANGERS = some(range(20), 10)
PLAIN = some(range(0, 150, 3), 25)
Sets = dict[str, set[Any]]


@cache
def rough(seed: int) -> tuple[Files, Files]:
    return roughly_edited(seed)


def strangers(seed: int) -> tuple[Files, Files]:
    """Two random studios that have nothing in common but some names."""
    return random_studio(seed), random_studio(seed + 1000)


Pairing = Callable[[int], tuple[Files, Files]]
PAIRS: list[tuple[Pairing, int]] = [*((rough, seed) for seed in ROUGH), *((strangers, seed) for seed in STRANGERS)]
NAMED = [f"{'rough' if pair is rough else 'strangers'} {seed}" for pair, seed in PAIRS]


@pytest.mark.parametrize(("pair", "seed"), PAIRS, ids=NAMED)
def test_the_raw_sets_are_those_of_the_reference(pair: Pairing, seed: int) -> None:
    assert list(diff_disagreements(*pair(seed))) == []


@pytest.mark.parametrize(("pair", "seed"), PAIRS, ids=NAMED)
def test_every_raw_path_is_claimed_once(pair: Pairing, seed: int) -> None:
    found = compare(*pair(seed))
    for delta in found.states:
        if delta.presence != BOTH:
            continue
        claims = Claims(delta).run()
        assert {claim.kind for claim in claims} <= {*KINDS, *SILENT}
        for which in ("lost", "gained"):
            claimed = Counter(path for claim in claims for path in getattr(claim, which))
            assert claimed == Counter(getattr(delta, which))


@pytest.mark.parametrize(("pair", "seed"), PAIRS, ids=NAMED)
def test_read_backwards_the_raw_sets_and_the_kinds_are_mirrored(pair: Pairing, seed: int) -> None:
    before, after = pair(seed)
    forward, backward = compare(before, after), compare(after, before)
    assert (forward.result, forward.compared) == (backward.result, backward.compared)
    back = {(one.kind, one.after, one.before, one.how) for one in backward.renamed}
    assert {tuple(one) for one in forward.renamed} == back
    assert asked(forward, back=False) == asked(backward, back=True)
    for one, other in zip(forward.states, backward.states, strict=True):
        if not forward.renamed:
            there, here = Raw(one, forward), Raw(other, backward)
            assert (there.paths, there.feeds, there.points) == (here.paths[::-1], here.feeds[::-1], here.points[::-1])
            told = marks(forward.changes[one.setup], back=False), marks(backward.changes[other.setup], back=True)
            assert told[0] == told[1] or pair is strangers, (
                "what folds is read from titles, and those of strangers differ"
            )
        assert _told(forward.changes[one.setup], 1) == _told(backward.changes[other.setup], -1)


def _told(changes: Any, way: int) -> dict[tuple[str, str | None], tuple[int, int]]:
    """(kind, sense) -> how many paths are lost and gained by it; read backwards with `way` -1."""
    turn = {"lost": "gained", "gained": "lost", "new": "gone", "gone": "new"} if way < 0 else {}
    found: Counter[tuple[str, str | None, int]] = Counter()
    for change in changes:
        key = turn.get(change.kind, change.kind), turn.get(change.sense, change.sense)
        counts = (len(change.lost), len(change.gained))[::way]
        found += Counter({(*key, which): count for which, count in enumerate(counts)})
    return {key[:2]: (found[*key[:2], 0], found[*key[:2], 1]) for key in found}


# -- the document --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", [*PLAIN])
def test_the_document_applied_to_one_side_gives_the_other(seed: int) -> None:
    """Read from the JSON alone; what both sides are comes from their own compilation."""
    before = random_studio(seed)
    rng = Random(seed)
    after = mutate(mutate(before, rng), rng)
    old, new = compiler.answers(before), compiler.answers(after)
    states = difference_document(Difference(opened(dict(before)), opened(dict(after))))["states"]
    assert {state["setup"] for state in states} == old.keys() | new.keys()
    for state in states:
        sets = _sets(old.get(state["setup"]))
        _apply(state, sets)
        assert sets == _sets(new.get(state["setup"])), state["setup"]


def _sets(answer: compiler.Answer | None) -> Sets:
    if answer is None:
        return {"paths": set(), "feeds": set(), "points": set()}
    return {"paths": set(answer.paths), "feeds": set(answer.feeds), "points": set(answer.points)}


def _apply(state: Mapping[str, Any], sets: Sets) -> None:
    for kind, have in sets.items():
        lost, gained = ({_frozen(row) for row in state[kind][word]} for word in ("lost", "gained"))
        assert lost <= have, "what is lost was there"
        assert not gained & (have - lost), "what is gained was not"
        sets[kind] = (have - lost) | gained
    for row in state["feeds"]["rerouted"]:
        old, new = (
            {(row["from"], row["to"], tuple(way["jacks"]), way["polarity"], either) for either in (False, True)}
            for way in (row["before"], row["after"])
        )
        (gone,) = old & sets["feeds"]
        sets["feeds"] ^= {gone, *(feed for feed in new if feed[4] is gone[4])}


def _frozen(row: Mapping[str, Any]) -> tuple[Any, ...]:
    return tuple(tuple(value) if isinstance(value, list) else value for value in row.values())


# -- what changes no path ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", PLAIN)
def test_a_studio_and_itself_are_identical(seed: int) -> None:
    files = random_studio(seed)
    found = Difference(opened(files), opened(files))
    assert found.result == "identical"
    assert all(delta.empty for delta in found.states)
    assert not any(found.changes.values())
    document = difference_document(found)
    assert (document["renamed"], document["findings"]) == ([], {"new": [], "gone": []})


@pytest.mark.parametrize("seed", PLAIN)
def test_another_order_is_only_text(seed: int) -> None:
    """All tables in one file, in another order; and the same files with what they say in another order."""
    files = random_studio(seed)
    one = {"studio.toml": document(Random(seed + 1), united(files))}
    _only_text(files, one)
    _only_text(one, {"studio.toml": document(Random(seed + 2), united(files))})


@pytest.mark.parametrize("seed", PLAIN)
def test_a_comment_is_only_text(seed: int) -> None:
    files = random_studio(seed)
    after = {name: f"# {name}\n{text}# the end\n" for name, text in files.items()}
    _only_text(files, after)
    found = Difference(opened(files), opened(after))
    assert (found.findings_new, found.findings_gone) == ((), ())


def _only_text(before: Files, after: Files) -> None:
    for found in (
        Difference(opened(dict(before)), opened(dict(after))),
        Difference(opened(dict(after)), opened(dict(before))),
    ):
        assert found.result == "text-only"
        assert found.facts == []
        assert not any(found.changes.values())
        assert not any((found.needs, found.jacks, found.cabling, found.equipment, found.renamed))
        assert (found.findings_new, found.findings_gone) == ((), ())


@pytest.mark.parametrize("seed", PLAIN)
def test_names_that_all_read_otherwise_change_no_path(seed: int) -> None:
    files = random_studio(seed)
    other = called_otherwise(files)
    ids = {(kind, ident) for kind in ("unit", "bay", "setup") for ident in united(files).get(kind, {})}
    for before, after in ((files, other), (other, files)):
        found = compare(before, after)
        assert {(one.kind, min(one.before, one.after, key=len)) for one in found.renamed} == ids
        assert {one.how for one in found.renamed} == {"declared"}
        assert all(delta.presence == BOTH and delta.empty for delta in found.states)
        assert not any(found.changes.values())
        assert (found.result, found.facts, found.needs) == ("text-only", [], [])


@pytest.mark.parametrize("seed", PLAIN)
def test_an_edit_under_other_names_is_the_same_edit(seed: int) -> None:
    """The raw sets are given in names as they read after."""
    before = random_studio(seed)
    after = mutate(before, Random(seed))
    there, renamed = (
        compare(called_otherwise(before), called_otherwise(after)),
        compare(before, called_otherwise(after)),
    )
    assert there.result == renamed.result
    assert [_raw(*one) for one in _states(there)] == [_raw(*one) for one in _states(renamed)]


def _states(found: Any) -> Iterator[tuple[Any, Any]]:
    return ((delta, found) for delta in found.states)


def _raw(delta: Any, found: Any) -> tuple[Any, ...]:
    raw = Raw(delta, found)
    return delta.setup, delta.presence, raw.paths, raw.feeds, raw.points
