"""Changes: claims with words, harm, cause and a name that survives unrelated commits; in the order in which they are told."""

import hashlib
from collections.abc import Callable

from attrs import evolve, field, frozen

from routecode.change.cause import Causes, Placed
from routecode.change.claims import GONE, KINDS, NEW, Claim, Claims, spoken
from routecode.change.delta import ADDED, BOTH, Pair, StateDelta
from routecode.change.fold import Fold, folded
from routecode.change.moves import Move, Moves
from routecode.change.reasons import Reason, pair_of_reasons
from routecode.change.reroutes import Reroutes
from routecode.change.sentence import told
from routecode.change.words import Words
from routecode.circuit.setups import whole_cords
from routecode.ground.order import natural

LOSS, RISK, GAIN, NOTE = "loss", "risk", "gain", "note"
HARMS = (LOSS, RISK, GAIN, NOTE)
"""In the order of telling. loss: a destination lost its source or hears another. risk: two signals on one wire, feedback, a
polarity that is not kept. gain: a destination gets what it did not get. note: the rest."""

NOT_REDUCED = "not reduced"
MOST_REASONS = 500
"""Breaks of one claim that are put into words."""


@frozen(eq=False)
class Change:
    """One change of one state. `subjects`, `channels`: canonical names; `names`: ids of units and bays it touches.

    `cause`: places in the text, by side; `under`: the id of the change it follows from; `lost`, `gained`: its raw paths.
    """

    id: str
    kind: str
    sense: str | None
    harm: str
    subjects: tuple[str, ...]
    channels: tuple[str, ...]
    names: tuple[str, ...]
    under: str | None
    cause: tuple[Placed, ...]
    edits: frozenset[int]
    proof: str
    sentence: str
    lost: tuple[Pair, ...]
    gained: tuple[Pair, ...]
    claims: tuple[Claim, ...] = ()
    nearest: dict[int, Placed] = field(factory=dict)
    """Edit -> the place of its fact that is nearest to the change."""


def changes_of(
    delta: StateDelta, causes: Causes, words: Words, moved: Moves, proved: Callable[[Change, str | None], Change]
) -> tuple[Change, ...]:
    """The changes of one state, worst first, each with its cause as `proved` reduces it."""
    if delta.presence != BOTH:
        return (_setup_change(delta, words),)
    if delta.empty and not delta.touched:
        return ()
    assert delta.before is not None
    assert delta.after is not None
    before, after = delta.before, delta.after
    claims = Claims(delta)
    found = list(spoken(claims.run()))
    reroutes = Reroutes(delta, claims.breaking, claims.making, moved)
    found += reroutes.run()
    delta.cut = reroutes.cut
    stops, starts = pair_of_reasons(words, before, after)

    def reason(claim: Claim) -> list[Reason]:
        if claim.kind == "lost":
            return [stops.stop(one, stops.start(one)) for one in claim.breaks[:MOST_REASONS]]
        if claim.kind == "gained":
            return [starts.start(one, starts.stop(one)) for one in claim.makes[:MOST_REASONS]]
        return []

    parts: list[Fold] = []
    for group in _by_cause(found, lambda claim: causes.sort_of(causes.of(claim, delta.setup, before, after).edits)):
        parts += folded(group, words, reason)
    spelt = [pair for fold in parts for pair in told(fold, words)]
    made = [_change(fold, text, delta, causes, words) for fold, text in spelt]
    quiet = not delta.ends_changed and not made
    made += [_move_change(move, delta, causes, words, quiet) for move in moved.runs]
    several = {
        change.id
        for change in made
        if len({causes.of(claim, delta.setup, before, after).edits for claim in change.claims}) > 1
    }
    return _under(sorted((proved(change, delta.setup) for change in made), key=order_of), several)


def _by_cause(claims: list[Claim], sort_of: Callable[[Claim], object]) -> list[list[Claim]]:
    """Claims with causes of one sort together: what 48 statements do alike is told as what one range does."""
    groups: dict[object, list[Claim]] = {}
    for claim in claims:
        groups.setdefault(sort_of(claim), []).append(claim)
    return list(groups.values())


def _change(fold: Fold, text: str, delta: StateDelta, causes: Causes, words: Words) -> Change:
    before, after = delta.before, delta.after
    assert before is not None
    assert after is not None
    claims = [claim for row in fold.rows for claim in row.claims]
    sources = {channel for claim in claims for turn in claim.turns for channel in turn.sources}
    others = {channel for claim in claims for turn in claim.turns for channel in (*turn.was, *turn.now)}
    drivers = {channel for claim in claims for side in claim.drivers for channel in side}
    jacks = {jack for claim in claims for one in claim.passes for jack in one.jacks}
    ends = {
        node for claim in claims for one in (*claim.breaks, *claim.makes) for node in (one.at, one.beyond) if node >= 0
    }
    units = {unit for claim in claims for one in claim.passes for unit in one.units}
    name = words.matched.channel_name
    found = [causes.of(claim, delta.setup, before, after) for claim in claims]
    places = tuple(dict.fromkeys(place for cause in found for place in cause.places))
    subjects, channels = tuple(sorted(map(name, sources))), tuple(sorted(map(name, others | drivers)))
    first = fold.claim
    return Change(
        identity_of(first.kind, first.sense, subjects, channels),
        first.kind,
        first.sense,
        _harm(first),
        subjects,
        channels,
        tuple(sorted(words.units_of(sources | others | drivers, jacks | ends) | units)),
        None,
        places,
        frozenset().union(*(cause.edits for cause in found)),
        NOT_REDUCED,
        text,
        tuple(sorted(pair for claim in claims for pair in claim.lost)),
        tuple(sorted(pair for claim in claims for pair in claim.gained)),
        tuple(claims),
        {edit: place for cause in found for edit, place in zip(sorted(cause.edits), cause.places, strict=True)},
    )


def _setup_change(delta: StateDelta, words: Words) -> Change:
    sense = NEW if delta.presence == ADDED else GONE
    view = delta.after if delta.after is not None else delta.before
    assert view is not None
    assert view.state.placed is not None
    assert delta.setup is not None
    placed = view.state.placed
    never = sum(need.written.never for need in placed.needs)
    counts = (len(whole_cords(placed.cords)), len(placed.needs) - never, never)
    claim = Claim("setup", sense, (), delta.lost, delta.gained, setup=delta.setup, counts=counts)
    (fold,) = folded([claim], words, lambda _: ())
    return Change(
        identity_of("setup", sense, (delta.setup,), ()),
        "setup",
        sense,
        NOTE,
        (delta.setup,),
        (),
        (),
        None,
        ((view.side, placed.written.place),),
        frozenset(),
        "alone",
        told(fold, words)[0][1],
        tuple(sorted(delta.lost)),
        tuple(sorted(delta.gained)),
    )


def _move_change(move: Move, delta: StateDelta, causes: Causes, words: Words, quiet: bool) -> Change:
    cause = causes.at(move.jacks, delta.setup)
    jacks = tuple(sorted(map(words.matched.node_name, move.jacks)))
    numbers = (str(move.first), str(move.last)), (str(move.first + move.shift), str(move.last + move.shift))
    was, now = (one if one == last else f"{one}-{last}" for one, last in numbers)
    several = move.first != move.last
    text = (
        f"{words.unit(move.bay)} column{'s' if several else ''} {was}{words.group(move.jacks)} {'are' if several else 'is'} now "
        f"column{'s' if several else ''} {now}, with all that is wired there.{' No path changed.' if quiet else ''}"
    )
    return Change(
        identity_of("moved", move.bay, move.first, move.last, move.shift),
        "moved",
        None,
        NOTE,
        jacks,
        (),
        (move.bay,),
        None,
        cause.places,
        cause.edits,
        NOT_REDUCED,
        text,
        (),
        (),
    )


def _harm(claim: Claim) -> str:
    if claim.kind in ("exchanged", "redirected", "lost"):
        return LOSS
    if claim.kind == "split":
        return GAIN if claim.sense == NEW else LOSS
    if claim.kind in ("tied", "feedback"):
        return NOTE if claim.sense == GONE else RISK
    if claim.kind == "gained":
        return GAIN
    polarity = claim.passes[1].polarity if claim.passes else None
    return RISK if polarity in ("reversed", "mixed") else NOTE


def identity_of(*parts: object) -> str:
    """Twelve digits made of what is said of it and of nothing else."""
    return hashlib.sha256(repr(parts).encode()).hexdigest()[:12]


def order_of(change: Change) -> tuple[object, ...]:
    """The order of telling: the worst first, then by kind."""
    start = change.subjects or change.channels
    return (HARMS.index(change.harm), KINDS.index(change.kind), natural(start[0]) if start else (), change.id)


def _under(changes: list[Change], several: set[str]) -> tuple[Change, ...]:
    """Each change under the first worse one whose cause is all of its own cause, or part of it.

    `several`: the changes that are told of several causes side by side; the cause of another is not all that made them.
    """
    heads: list[Change] = []
    by_edits: dict[frozenset[int], Change] = {}
    found: list[Change] = []
    for change in changes:
        head = by_edits.get(change.edits) if change.edits else None
        if head is None and change.id not in several:
            head = next((one for one in heads[:50] if one.edits and one.edits < change.edits), None)
        worse = head is not None and (head.harm != change.harm or head.edits < change.edits)
        if head is not None and worse and change.harm != GAIN:
            found.append(evolve(change, under=head.id))
            continue
        heads.append(change)
        by_edits.setdefault(change.edits, change)
        found.append(change)
    return tuple(found)
