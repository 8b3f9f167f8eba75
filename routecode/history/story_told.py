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
from routecode.files.hostile import readable
from routecode.ground.place import At, Spot
from routecode.history.story_place import Step
from routecode.studio.opened import Opened

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
    """Places in the text of either side as lines, each once. Of a whole table the line in it that differs, where one does."""
    found: dict[tuple[str, str, int], Mark] = {}
    unchanged: dict[tuple[str, str, int], Mark] = {}
    for side, at in places:
        opened, other = (step.older, step.newer) if side == BEFORE else (step.newer, step.older)
        spot = opened.spot(at)
        if spot is None:
            continue
        spot, differs = narrowed(opened, other, spot)
        mark = Mark(side, spot, opened.line(spot).strip())
        (found if differs else unchanged).setdefault((side, spot.file, spot.line), mark)
    return tuple((found or unchanged).values())


def narrowed(opened: Opened, other: Opened, spot: Spot) -> tuple[Spot, bool]:
    """The first line of the table at `spot` that the other revision has not got there; and whether the table differs at all.

    Only the head of a table is narrowed, and only where it stands once on both sides; everything else is as it was given.
    """
    head = opened.line(spot)
    if not head.startswith("["):
        return spot, True
    own, others = _table(opened, spot.file, head), _table(other, spot.file, head)
    if own is None or others is None:
        return spot, True
    known = set(others[1])
    for offset, line in enumerate(own[1]):
        if line not in known:
            return Spot(spot.file, own[0] + offset, 1 + len(line) - len(line.lstrip())), True
    return spot, own[1] != others[1]


def _table(opened: Opened, file: str, head: str) -> tuple[int, list[str]] | None:
    """The lines of a table with the number of the first, where its head stands exactly once."""
    if file not in opened.files.texts:
        return None
    lines = readable(opened.files.texts[file]).split("\n")
    starts = [number for number, line in enumerate(lines) if line == head]
    if len(starts) != 1:
        return None
    stop = starts[0] + 1
    while stop < len(lines) and not lines[stop].startswith("["):
        stop += 1
    return starts[0] + 1, lines[starts[0] : stop]


def at_nodes(step: Step, nodes: Iterable[int], setup: str | None) -> tuple[Mark, ...]:
    """The lines of the facts that differ at some shared nodes."""
    return marks_of(step, step.difference.causes.at(sorted(set(nodes)), setup).places)
