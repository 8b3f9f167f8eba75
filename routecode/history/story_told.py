"""What a comparison says of a part of it: the sentences of its changes, told of some claims alone, and the lines that made them."""

from collections.abc import Callable, Iterable, Iterator

from attrs import frozen

from routecode.change.changes import MOST_REASONS, Change
from routecode.change.claims import Claim
from routecode.change.delta import StateDelta
from routecode.change.fold import folded
from routecode.change.matched import BEFORE
from routecode.change.reasons import Reason, pair_of_reasons
from routecode.change.sentence import told
from routecode.change.words import Words
from routecode.ground.place import At, Spot
from routecode.history.story_keys import key_of
from routecode.history.story_place import Step

Wanted = Callable[[Change, Claim | None], bool]
"""Whether a change (None), or one of its claims, is meant."""


@frozen
class Mark:
    """A line of text that changed something: side before or after, where it stands, what it says."""

    side: str
    spot: Spot
    text: str


@frozen
class Told:
    """Sentences, each once, and the lines of text that did it."""

    sentences: tuple[str, ...]
    marks: tuple[Mark, ...]


def told_of(step: Step, setup: str | None, wanted: Wanted) -> Told:
    """The changes of a state (as it reads after) that are meant, told of the claims that are meant and of no other."""
    sentences: list[str] = []
    places: list[tuple[str, At]] = []
    delta = next((each for each in step.difference.states if each.setup == setup), None)
    for change in step.difference.changes.get(setup, ()):
        if not wanted(change, None):
            continue
        claims = [claim for claim in change.claims if wanted(change, claim)]
        if delta is None or len(claims) in (0, len(change.claims)):
            sentences.append(change.sentence)
        else:
            sentences += _sentences(delta, claims, step.difference.words)
        places += _places(step, change, delta, claims)
    return Told(tuple(dict.fromkeys(sentences)), marks_of(step, places))


def channels_of(step: Step, claim: Claim) -> set[str]:
    """The channels that a claim names."""
    name = step.difference.matched.channel_name
    return {name(channel) for turn in claim.turns for channel in (*turn.sources, *turn.was, *turn.now)}


def _sentences(delta: StateDelta, claims: list[Claim], words: Words) -> Iterator[str]:
    """Some claims of one change in words, as the comparison would say them if they were all."""
    assert delta.before is not None
    assert delta.after is not None
    stops, starts = pair_of_reasons(words, delta.before, delta.after)

    def reason(claim: Claim) -> list[Reason]:
        if claim.kind == "lost":
            return [stops.stop(one, stops.start(one)) for one in claim.breaks[:MOST_REASONS]]
        if claim.kind == "gained":
            return [starts.start(one, starts.stop(one)) for one in claim.makes[:MOST_REASONS]]
        return []

    for fold in folded(claims, words, reason):
        yield from (text for _, text in told(fold, words))


def _places(step: Step, change: Change, delta: StateDelta | None, claims: list[Claim]) -> list[tuple[str, At]]:
    """The causes of some claims of a change, as far as they are causes of the whole; else those of the whole."""
    if delta is None or delta.before is None or delta.after is None:
        return list(change.cause)
    found: list[tuple[str, At]] = []
    for claim in claims:
        cause = step.difference.causes.of(claim, delta.setup, delta.before, delta.after)
        for edit, place in zip(sorted(cause.edits), cause.places, strict=False):
            if edit in change.edits and place not in found:
                found.append(place)
    return found or list(change.cause)


# -- lines ---------------------------------------------------------------------------------------------------------------


def marks_of(step: Step, places: Iterable[tuple[str, At]]) -> tuple[Mark, ...]:
    """Places in the text of either side as lines, each once. Of a statement that both have, the key that differs."""
    found: dict[tuple[str, str, int], Mark] = {}
    unchanged: dict[tuple[str, str, int], Mark] = {}
    for given, place in places:
        side, at, differs = key_of(step, given, place)
        opened = step.older if side == BEFORE else step.newer
        spot = opened.spot(at)
        if spot is None:
            continue
        mark = Mark(side, spot, opened.line(spot).strip())
        (found if differs else unchanged).setdefault((side, spot.file, spot.line), mark)
    return tuple((found or unchanged).values())


def at_nodes(step: Step, nodes: Iterable[int], setup: str | None) -> tuple[Mark, ...]:
    """The lines of the facts that differ at some shared nodes."""
    return marks_of(step, step.difference.causes.at(sorted(set(nodes)), setup).places)
