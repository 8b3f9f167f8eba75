"""Causes, replayed: the before side with the cause shows the change, the after side without it does not, and no edit can go.

The replays of these tests are made anew, with the whole circuit of the mixture; what they show is read from its paths. Where the two
edits of a difference are known, their texts are mixed instead, and read by the reference: nothing of the tool's replay is in that.
"""

from collections.abc import Iterator
from copy import deepcopy
from functools import cache
from random import Random

import pytest

from routecode.change.changes import Change
from routecode.change.claims import Claim
from routecode.change.difference import Compared
from routecode.change.matched import AFTER, BEFORE
from routecode.change.replay import mixture
from routecode.circuit.circuit import Circuit
from tests.change import edit_kinds as kinds
from tests.change.edit_kinds import Base, Kind, plain_cables
from tests.change.loosened import text_of
from tests.change.test_raw_sets import SEEDS, compare, pair_of_studios
from tests.change.test_sentences import CASES
from tests.change.wiring import PLAIN, changed, compared
from tests.reference.compiler import circuit_of
from tests.reference.flood import Answer, answers
from tests.reference.studios import random_studio

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
    """An output back on the input of the same channel: what the line now also passes follows from the feedback."""
    after = PLAIN + '\n[[cable]]\nfrom = "pre-a/out 3"\nto = "pre-a/mic 3"\n'
    feedback, *tied, other = compared(PLAIN, after).changes[None]
    assert (feedback.kind, feedback.under) == ("feedback", None)
    assert {(one.kind, one.under) for one in tied} == {("tied", None)}
    assert (other.kind, other.under) == ("rerouted", feedback.id)


def test_a_claim_holds_what_it_says() -> None:
    found = compared(PLAIN, changed(PLAIN, ('bottom = "pre-a/mic 1..8"\n', "")))
    (change,) = found.changes[None]
    claims: tuple[Claim, ...] = change.claims
    assert sum(len(claim.lost) for claim in claims) == len(change.lost) == 8


# -- two known edits, mixed as text --------------------------------------------------------------------------------------

Cables = frozenset[frozenset[str]]
CABLE_KINDS: tuple[Kind, ...] = (kinds.cable_removed, kinds.cable_added, kinds.cable_moved, kinds.cables_exchanged)
MIXED = (*range(100), 121, 131, 136)


def cables_of(whole: kinds.Table) -> Cables:
    """The cables of a studio in the loose form that are no splits, each by its two ends."""
    return frozenset(frozenset((entry["from"], entry["to"])) for entry in plain_cables(whole))


class Mixed:
    """A studio and two edits of its cables, which touch different ones; any of the four mixtures as text."""

    def __init__(self, seed: int) -> None:
        rng = Random(f"mixed {seed}")
        self.base = Base.of(random_studio(seed, "large"))
        self.own = {frozenset((entry["from"], entry["to"])): entry for entry in plain_cables(self.base.whole)}
        self.plain = cables_of(self.base.whole)
        self.seen: dict[frozenset[int], dict[str | None, Answer]] = {}
        self.edits = [self._edit(rng, frozenset())]
        self.edits.append(self._edit(rng, frozenset().union(*self.edits[0])))

    def _edit(self, rng: Random, taken: frozenset[str]) -> Cables:
        """The cables that only one side of an edit has; none of them at a place that is taken."""
        for _ in range(200):
            whole = deepcopy(self.base.whole)
            if rng.choice(CABLE_KINDS)(self.base, whole, rng) is not None:
                differing = cables_of(whole) ^ self.plain
                if differing and not taken & frozenset().union(*differing):
                    return differing
        raise AssertionError("a large studio has many cables")

    def text(self, edits: frozenset[int]) -> dict[str, str]:
        """The studio with some of the edits."""
        cables = self.plain
        for number in edits:
            cables = cables ^ self.edits[number]
        whole = deepcopy(self.base.whole)
        splits = [entry for entry in whole["cable"] if entry not in plain_cables(whole)]
        ends = ({"from": pair[0], "to": pair[1]} for pair in sorted(map(sorted, cables)))
        whole["cable"] = [*splits, *(self.own.get(frozenset((one["from"], one["to"])), one) for one in ends)]
        return {"studio.toml": text_of(whole)}

    def paths(self, edits: frozenset[int], setup: str | None) -> set[Pair]:
        """What the reference sees in a mixture: the ends of paths that are not idle."""
        if edits not in self.seen:
            self.seen[edits] = answers(self.text(edits))
        return {(a, b) for a, b, idle in self.seen[edits][setup].paths if not idle}

    def edits_of(self, found: Compared, change: Change) -> list[frozenset[int]]:
        """Of each edit of the cause, the known edits that its facts are of."""
        wanted = []
        for edit in sorted(change.edits):
            pairs = [frozenset(map(found.matched.node_name, fact.nodes)) for fact in found.causes.edits[edit].facts]
            wanted.append(frozenset(which for which in (0, 1) for pair in pairs if pair in self.edits[which]))
        return wanted

    def held(self, found: Compared, change: Change, setup: str | None, edits: frozenset[int]) -> bool:
        """Whether before with these edits shows the change as after does, and after without them as before does."""
        lost, gained = named(found, change)
        forth = shows(self.paths(edits, setup), gained, lost)
        return forth and shows(self.paths(BOTH - edits, setup), lost, gained)


BOTH = frozenset((0, 1))


def proved_changes(mixed: Mixed) -> Iterator[tuple[Compared, str | None, Change]]:
    """The changes of the difference that both edits make, with a proved cause and paths."""
    old, new = circuit_of(mixed.text(frozenset()))[0], circuit_of(mixed.text(BOTH))[0]
    if old is not None and new is not None:
        found = Compared(old, new)
        for setup, changes in found.changes.items():
            for change in changes:
                if change.proof != "not reduced" and change.kind in (
                    "lost",
                    "gained",
                    "redirected",
                    "exchanged",
                    "split",
                ):
                    yield found, setup, change


@cache
def outcomes() -> list[tuple[str, int, str]]:
    """Of every proved change: its proof, how many known edits made it, and what does not hold of its cause."""
    found: list[tuple[str, int, str]] = []
    for seed in MIXED:
        mixed = Mixed(seed)
        for said, setup, change in proved_changes(mixed):
            parts = mixed.edits_of(said, change)
            cause = frozenset[int]().union(*parts)
            wrong = (
                ""
                if mixed.held(said, change, setup, cause)
                else f"seed {seed}: the cause does not show it: {change.sentence}"
            )
            fewer = [
                cause - part
                for part in parts
                if cause - part and all(part.isdisjoint(other) or part == other for other in parts)
            ]
            wrong += "".join(
                f"seed {seed}: a part is enough: {change.sentence}"
                for less in fewer
                if mixed.held(said, change, setup, less)
            )
            found.append((change.proof, len(cause), wrong))
    return found


def test_causes_hold_when_texts_are_mixed() -> None:
    assert [wrong for _, _, wrong in outcomes() if wrong] == []


def test_the_mixed_texts_have_causes_of_every_sort() -> None:
    sorts = {(proof, count) for proof, count, _ in outcomes()}
    assert {("alone", 1), ("together", 2)} <= sorts
    assert len(outcomes()) >= 50
