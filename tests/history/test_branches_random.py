"""Random studios with random edits on both sides and in what comes out: what is told against the paths of all four, one by one.

What comes out need be no merge here: which paths are told is a matter of the four texts alone.
"""

from collections.abc import Iterator
from random import Random
from typing import Any

import pytest

from routecode.history.branches import Branches
from routecode.history.branches_kinds import BACK, GAINED, LOST, THEIRS, UNDONE
from routecode.show.paths import paths_document
from routecode.studio.opened import Opened
from tests.change.any_edit import any_edit
from tests.reference.studios import random_studio
from tests.reference.toml_text import document
from tests.reference.written import united
from tests.seeds import some
from tests.show.studios import circuit_of, opened

Path = tuple[str | None, str, str]
SEEDS = some(range(40), 30)


def compiled(whole: dict[str, Any]) -> Opened | None:
    found = opened({"studio.toml": document(Random(0), whole)})
    return found if not found.mistakes else None


def edited(whole: dict[str, Any], rng: Random) -> dict[str, Any]:
    """One to three rough edits that compile."""
    for _ in range(rng.choice((1, 2, 3))):
        for _ in range(10):
            tried = any_edit(whole, rng)
            if compiled(tried) is not None:
                whole = tried
                break
    return whole


def quartets() -> Iterator[tuple[Opened, Opened, Opened, Opened]]:
    """Base, ours, theirs and what is taken for joined: in turn ours edited further, and theirs. All of them compile."""
    for seed in SEEDS:
        rng, whole = Random(seed), united(random_studio(seed))
        ours, theirs = edited(whole, rng), edited(whole, rng)
        for side in (ours, theirs):
            sides = [compiled(each) for each in (whole, ours, theirs, edited(side, rng))]
            one, two, three, four = sides
            if one is not None and two is not None and three is not None and four is not None:
                yield one, two, three, four


def paths_of(side: Opened, *, idle: bool = False) -> set[Path]:
    """Every path of every state; of idle sources only where they are asked for."""
    circuit = circuit_of(side)
    rows = ((setup, row) for setup in circuit.state_names for row in paths_document(side, circuit, setup)["paths"])
    return {(setup, row["from"], row["to"]) for setup, row in rows if idle or not row["idle"]}


@pytest.fixture(scope="module")
def all_quartets() -> list[tuple[Opened, Opened, Opened, Opened]]:
    return list(quartets())


def renamed(found: Branches) -> bool:
    onto = (found._onto.from_ours, found._onto.from_theirs, found._onto.ours, found._onto.theirs)
    return any(reading.difference.renamed for reading in onto)


def test_what_is_told_of_paths_is_so(all_quartets: list[tuple[Opened, Opened, Opened, Opened]]) -> None:
    seen: dict[str, int] = dict.fromkeys((LOST, GAINED, UNDONE, BACK), 0)
    for base, ours, theirs, whole in all_quartets:
        found = Branches(base, ours, theirs, whole, guessing=False)
        if renamed(found):
            continue
        before, one, other, after = map(paths_of, (base, ours, theirs, whole))
        for wrong in found.wrong:
            for setup in wrong.setups:
                told = {(setup, *ends) for ends in wrong.paths}
                mine, its = (other, one) if wrong.side == THEIRS else (one, other)
                meant = {
                    LOST: (one & other) - after,
                    GAINED: after - (one | other),
                    UNDONE: mine - its - before - after,
                    BACK: (after & before & its) - mine,
                }
                if wrong.kind in seen and len(wrong.setups) == 1:
                    every = meant[wrong.kind] if wrong.side is not None else meant[LOST] | meant[GAINED]
                    assert told <= every | (meant[UNDONE] | meant[BACK]), (wrong, told - every)
                    seen[wrong.kind] += 1
    assert all(seen[kind] for kind in (LOST, GAINED, UNDONE)), seen


def test_a_path_on_both_sides_that_is_gone_is_never_passed_over(
    all_quartets: list[tuple[Opened, Opened, Opened, Opened]],
) -> None:
    """Where any path is lost that both sides have, or is there that neither has, something is told."""
    odd = 0
    for base, ours, theirs, whole in all_quartets:
        found = Branches(base, ours, theirs, whole, guessing=False)
        one, other, after = map(paths_of, (ours, theirs, whole))
        had = paths_of(ours, idle=True) | paths_of(theirs, idle=True)
        odd_ones = (after - had) | ((one & other) - paths_of(whole, idle=True))
        shared = set.intersection(*(set(circuit_of(side).state_names) for side in (ours, theirs, whole)))
        if any(path[0] in shared for path in odd_ones) and not renamed(found):
            odd += 1
            assert found.wrong, (ours.files.texts, theirs.files.texts)
    assert odd


def test_sides_exchanged_tell_the_same(all_quartets: list[tuple[Opened, Opened, Opened, Opened]]) -> None:
    other_side = {"ours": "theirs", "theirs": "ours", None: None}
    for base, ours, theirs, whole in all_quartets[:40]:
        one, other = (Branches(base, *sides, whole, guessing=False) for sides in ((ours, theirs), (theirs, ours)))
        pairs = [
            {
                (wrong.kind, wrong.side, setup, ends)
                for wrong in found.wrong
                for setup in wrong.setups
                for ends in wrong.paths
            }
            for found in (one, other)
        ]
        mirrored = {(kind, other_side[side], setup, ends) for kind, side, setup, ends in pairs[1]}
        assert {each[2:] for each in pairs[0]} == {each[2:] for each in mirrored}
        assert {(each.kind, each.names, each.theirs, each.ours) for each in other.both} == {
            (each.kind, each.names, each.ours, each.theirs) for each in one.both
        }


def test_a_side_that_did_nothing_or_the_same_makes_nothing_wrong(
    all_quartets: list[tuple[Opened, Opened, Opened, Opened]],
) -> None:
    for base, ours, theirs, _ in all_quartets:
        for sides in ((base, theirs, theirs), (ours, base, ours), (ours, ours, ours)):
            assert Branches(base, *sides).fine
        assert Branches(base, ours, base, ours).both == []
