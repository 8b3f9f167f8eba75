"""Causes, replayed: the before side with the cause shows the change, the after side without it does not, and no edit can go.

The replays of these tests are made anew, with the whole circuit of the mixture; what they show is read from its paths.
"""

import pytest

from routecode.change.changes import Change
from routecode.change.claims import Claim
from routecode.change.difference import Compared
from routecode.change.matched import AFTER, BEFORE
from routecode.change.replay import mixture
from routecode.circuit.circuit import Circuit
from tests.change.test_raw_sets import SEEDS, compare, pair_of_studios
from tests.change.test_sentences import CASES
from tests.change.wiring import PLAIN, changed, compared

Pair = tuple[str, str]


def ends(circuit: Circuit, setup: str | None) -> set[Pair]:
    return {(path.source, path.target) for path in circuit.flow(setup).paths() if not path.idle}


def replayed(found: Compared, side: str, edits: frozenset[int], setup: str | None) -> set[Pair] | None:
    """The paths of one side with some edits as on the other."""
    flipped = {id(fact) for edit in edits for fact in found.causes.edits[edit].facts}
    made = mixture(found.matched, found.facts, side, flipped, setup)
    return None if made is None else ends(made.circuit, setup)


def named(found: Compared, change: Change) -> tuple[set[Pair], set[Pair]]:
    name = found.matched.channel_name
    lost, gained = ({(name(a), name(b)) for a, b, _ in pairs} for pairs in (change.lost, change.gained))
    return lost, gained


def shows(paths: set[Pair] | None, have: set[Pair], lack: set[Pair]) -> bool:
    return paths is not None and have <= paths and not lack & paths


def check(found: Compared, change: Change, setup: str | None) -> None:
    lost, gained = named(found, change)
    assert shows(replayed(found, BEFORE, change.edits, setup), gained, lost), change.sentence
    assert shows(replayed(found, AFTER, change.edits, setup), lost, gained), change.sentence
    if change.kind not in ("lost", "gained", "redirected", "exchanged"):
        return  # the others say more than their paths
    for edit in change.edits if len(change.edits) > 1 else ():
        fewer = change.edits - {edit}
        forth = shows(replayed(found, BEFORE, fewer, setup), gained, lost)
        back = shows(replayed(found, AFTER, fewer, setup), lost, gained)
        assert not (forth and back), f"without edit {edit}: {change.sentence}"


@pytest.mark.parametrize("name", CASES)
def test_causes_of_single_edits_are_proved(name: str) -> None:
    before, after, *_ = CASES[name]
    for one, other in ((before, after), (after, before)):
        found = compared(one, other)
        for change in found.changes[None]:
            assert change.proof in ("alone", "together")
            assert len(change.cause) == len(change.edits)
            check(found, change, None)


@pytest.mark.parametrize("seed", SEEDS)
def test_causes_of_random_edits(seed: int) -> None:
    found = compare(*pair_of_studios(seed))
    for setup, changes in found.changes.items():
        for change in changes:
            if change.kind != "setup" and change.proof != "not reduced":
                check(found, change, setup)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_side_with_every_fact_of_the_other_is_the_other(seed: int) -> None:
    found = compare(*pair_of_studios(seed))
    every = frozenset(edit.number for edit in found.causes.edits)
    for delta in found.states:
        if delta.presence == "both":
            assert replayed(found, BEFORE, every, delta.setup) == ends(found.after, delta.setup)
            assert replayed(found, AFTER, every, delta.setup) == ends(found.before, delta.setup)
            assert replayed(found, BEFORE, frozenset(), delta.setup) == ends(found.before, delta.setup)


def test_two_edits_that_need_each_other_are_told_together() -> None:
    """A line reaches the converter by a cable to the free preamplifier and by a normal that was out: neither is enough."""
    before = changed(PLAIN, ('bottom = "conv/line 9..16"', 'bottom = "conv/line 9..16"\nnormal = "none"'))
    after = PLAIN + '\n[[cable]]\nfrom = "booth/1"\nto = "pre-b/mic 1"\n'
    found = compared(before, after)
    (change,) = found.changes[None]
    assert (change.kind, change.proof, len(change.cause)) == ("gained", "together", 2)
    assert [at.path[0] for _, at in change.cause] == ["bay", "cable"]
    check(found, change, None)


def test_what_is_not_to_blame_is_not_blamed() -> None:
    """Another edit on the same unit, which the lost line does not pass."""
    lifted = changed(PLAIN, ('bottom = "pre-a/mic 1..8"\n', ""))
    after = lifted + '\n[[cable]]\nfrom = "booth/2"\nto = "pre-b/mic 8"\n'
    found = compared(PLAIN, after)
    lost, gained = found.changes[None]
    assert (lost.kind, lost.proof, gained.kind, gained.proof) == ("lost", "alone", "gained", "alone")
    assert not lost.edits & gained.edits


def test_consequences_stand_under_their_cause() -> None:
    before, after, *_ = CASES["feedback"]
    feedback, other = compared(before, after).changes[None]
    assert (feedback.kind, feedback.under) == ("feedback", None)
    assert other.under == feedback.id


def test_a_claim_holds_what_it_says() -> None:
    found = compared(PLAIN, changed(PLAIN, ('bottom = "pre-a/mic 1..8"\n', "")))
    (change,) = found.changes[None]
    claims: tuple[Claim, ...] = change.claims
    assert sum(len(claim.lost) for claim in claims) == len(change.lost) == 8
