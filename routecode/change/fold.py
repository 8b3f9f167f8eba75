"""Claims that say the same of neighbouring names, put together: lines 1 to 8 are told once.

Only claims of equal kind, sense and way fold; rows keep their pairing, so a permutation stays visible. What can be said of a
fold (its columns of names) is worked out here; the sentence is made in `sentence`.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from attrs import frozen

from routecode.change.claims import Claim, Passing
from routecode.change.reasons import Reason, Slot
from routecode.change.words import Label, Words, in_order, shortened, sorted_pieces
from routecode.ground.order import natural

FOLDED = ("redirected", "split", "lost", "gained", "rerouted")
"""Kinds that fold; the others are told one by one."""
Channels = tuple[int, ...]


@frozen(eq=False)
class Row:
    """One claim with its reason; `subject`: the channel the sentence starts from, or None where it starts from a list."""

    claim: Claim
    subject: int | None
    trunk: bool
    reason: Reason | None

    @property
    def sources(self) -> Channels:
        """The channels at the end the sentence starts from."""
        return self.claim.turns[0].sources


@frozen(eq=False)
class Fold:
    """Rows told together, in natural order of their subjects."""

    rows: tuple[Row, ...]

    @property
    def claim(self) -> Claim:
        """The first one: kind, sense and end are those of all."""
        return self.rows[0].claim


def folded(claims: Iterable[Claim], words: Words, reason: Callable[[Claim], Reason | None]) -> list[Fold]:
    """The claims in groups, each claim once."""
    groups: dict[Any, list[Row]] = defaultdict(list)
    for number, claim in enumerate(claims):
        row = _row(claim, words, reason(claim))
        key = _key(row, words) if row.subject is not None and claim.kind in FOLDED else number
        groups[key].append(row)
    folds: list[Fold] = []
    for rows in groups.values():
        rows.sort(key=lambda row: natural(words.channel(row.subject).text) if row.subject is not None else ())
        folds += [Fold(tuple(part)) for part in _alike(rows, words)]
    return folds


def _row(claim: Claim, words: Words, reason: Reason | None) -> Row:
    turn = claim.turns[0] if claim.turns else None
    if turn is None or claim.kind not in FOLDED:
        return Row(claim, None, False, reason)
    if len(turn.sources) == 1:
        return Row(claim, turn.sources[0], False, reason)
    if claim.end == "source" and len(sorted_pieces(map(words.channel, turn.sources))) > 2:
        drivers = {found.edge[0] // 2 for found in (*claim.breaks, *claim.makes)}
        if len(drivers) == 1:
            return Row(claim, drivers.pop(), True, reason)
    return Row(claim, None, False, reason)


def _key(row: Row, words: Words) -> Any:
    claim = row.claim
    assert row.subject is not None
    passes = tuple((one.side, one.units, tuple(words.node(jack)[:2] for jack in one.jacks), one.polarity) for one in claim.passes)
    return (claim.kind, claim.sense, claim.end, row.trunk, words.channel(row.subject)[:2], _template(row.reason, words), passes)


def _template(reason: Reason | None, words: Words) -> Any:
    if reason is None:
        return None
    parts = tuple(words.node(part.node)[:2] if isinstance(part, Slot) else part for part in reason.parts)
    return (reason.kind, words.node(reason.at)[:2] if reason.at >= 0 else None, parts)


def _alike(rows: list[Row], words: Words) -> list[list[Row]]:
    """Rows parted so that in each part the other ends are alike: the same stems, one for one."""
    if len(rows) < 2:
        return [rows]
    common = _common([row.claim.turns[0].was for row in rows]), _common([row.claim.turns[0].now for row in rows])
    parts: dict[Any, list[Row]] = defaultdict(list)
    for row in rows:
        turn = row.claim.turns[0]
        own = [sorted(words.channel(end)[:2] for end in set(ends) - both) for ends, both in zip((turn.was, turn.now), common, strict=True)]
        parts[repr(own)].append(row)
    return list(parts.values())


def _common(sets: Sequence[Channels]) -> set[int]:
    return set(sets[0]).intersection(*sets[1:]) if len(sets) > 1 else set()


# -- columns of names ----------------------------------------------------------------------------------------------------


def subjects(fold: Fold, words: Words) -> tuple[str, bool]:
    """What the sentence starts from, and whether it is several."""
    if fold.rows[0].subject is None:
        channels = fold.rows[0].sources
        return shortened(sorted_pieces(map(words.channel, channels)), len(channels), "source"), len(channels) > 1
    labels = [words.channel(row.subject) for row in fold.rows if row.subject is not None]
    return shortened(in_order(labels), len(labels), "source", most=3), len(labels) > 1


def ends(fold: Fold, words: Words, which: Callable[[Claim], Channels]) -> str:
    """The other ends of all rows: each row's own in step with the subjects, then what all share."""
    sets = [which(row.claim) for row in fold.rows]
    common = _common(sets)
    if len(sets) == 1:
        return shortened(sorted_pieces(map(words.channel, sets[0])), len(sets[0]), "place")
    rows = [sorted((words.channel(end) for end in set(one) - common), key=lambda label: natural(label.text)) for one in sets]
    columns = [in_order(column) for column in zip(*rows, strict=True)]
    shared = sorted_pieces(map(words.channel, common))
    if not columns:
        return shortened(shared, len(common), "place")
    first = _in_step(columns[0])
    more = len(columns) - 1 + len(common)
    if more == 0:
        return first
    if len(columns) == 1 and len(shared) == 1:
        return f"{first} and {shared[0]}"
    return f"{first} and {more} more place{'s' if more > 1 else ''}"


def _in_step(pieces: list[str]) -> str:
    if len(pieces) == 1:
        return pieces[0]
    return f"{', '.join(pieces[:-1])} and {pieces[-1]} in this order"


def places(fold: Fold, words: Words, nodes: Sequence[int]) -> str:
    """Nodes of all rows, in step with the subjects."""
    if len(set(nodes)) == 1:
        return words.node(nodes[0]).text
    return shortened(in_order([words.node(node) for node in nodes]), len(nodes), "place")


def clause(fold: Fold, words: Words) -> str:
    """The reason of all rows, its names in step with the subjects."""
    reasons = [row.reason for row in fold.rows if row.reason is not None]
    if not reasons:
        return ""
    text = ""
    for position, part in enumerate(reasons[0].parts):
        if isinstance(part, str):
            text += part
            continue
        slots = [slot for one in reasons if isinstance(slot := one.parts[position], Slot)]
        labels = [words.node(slot.node) for slot in slots]
        if not part.whole:
            labels = [label._replace(head="") if label.stem or label.digits else label for label in labels]
        text += shortened(in_order(labels), len(labels), "place") if len(set(labels)) > 1 else labels[0].text
    return text


def passings(fold: Fold, words: Words, side: int) -> tuple[list[str], list[str], str | None]:
    """(titles of units, jacks, polarity) passed on one side only by the rows of a reroute."""
    first: Passing = fold.claim.passes[side]
    units = [words.unit(name) for name in first.units]
    columns: list[list[Label]] = [[words.node(row.claim.passes[side].jacks[at]) for row in fold.rows] for at in range(len(first.jacks))]
    jacks = [piece for column in columns for piece in (in_order(column) if len(set(column)) > 1 else [column[0].text])]
    return units, jacks, first.polarity
