"""Claims that say the same of neighbouring names, put together: lines 1 to 8 are told once.

Only claims of equal kind, sense and way fold; rows keep their pairing, so a permutation stays visible. What can be said of a
fold (its columns of names) is worked out here; the sentence is made in `sentence`.
"""

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from functools import cached_property
from typing import Any

from attrs import define, frozen

from routecode.change.claims import Claim
from routecode.change.reasons import Parts, Reason, Slot, Verb
from routecode.change.words import Label, Words, in_order, several, sorted_pieces
from routecode.ground.order import natural

FOLDED = ("redirected", "split", "lost", "gained", "rerouted")
"""Kinds that fold; the others are told one by one."""
Channels = tuple[int, ...]
Explain = Callable[[Claim], Sequence[Reason]]
"""Why the ways of a claim stop, or what makes them; nothing where it is not told."""
_VARYING = re.compile(r"[0-9]+|\b(?:left|right|L|R)\b")


@frozen(eq=False)
class Row:
    """Claims of the same sources and way; `subject`: the channel the sentence starts from, None where it is a list of them."""

    claims: tuple[Claim, ...]
    reasons: tuple[Reason, ...]
    subject: int | None
    trunk: bool

    @property
    def sources(self) -> Channels:
        """The channels at the end the sentence starts from."""
        return self.claims[0].turns[0].sources

    def ends(self, which: Callable[[Claim], Channels]) -> frozenset[int]:
        """The channels at the other end."""
        return frozenset(channel for claim in self.claims for channel in which(claim))


@define(slots=False, eq=False)
class Fold:
    """Rows told together, in natural order of their subjects."""

    rows: tuple[Row, ...]

    @property
    def claim(self) -> Claim:
        """The first one: kind, sense and end are those of all."""
        return self.rows[0].claims[0]

    @cached_property
    def reasons(self) -> list[Reason]:
        """The reasons of all rows, in their order."""
        return [reason for row in self.rows for reason in row.reasons]


def folded(claims: Iterable[Claim], words: Words, reason: Explain) -> list[Fold]:
    """The claims in groups, each claim once."""
    groups: dict[Any, list[Row]] = defaultdict(list)
    for number, row in enumerate(_rows(claims, words, reason)):
        groups[_key(row, words) if row.subject is not None else number].append(row)
    folds: list[Fold] = _exchanges(groups, words)
    for rows in groups.values():
        rows.sort(key=lambda row: natural(words.channel(row.subject).text) if row.subject is not None else ())
        folds += [Fold(tuple(part)) for part in _alike(rows, words)]
    return folds


def _exchanges(groups: dict[Any, list[Row]], words: Words) -> list[Fold]:
    """More than two exchanges among names of one stem are told as one; taken out of the groups."""
    alike: dict[Any, list[Any]] = defaultdict(list)
    for key, rows in groups.items():
        claim = rows[0].claims[0]
        stems = {_stem(words.channel(channel)) for turn in claim.turns for channel in turn.sources}
        if claim.kind == "exchanged" and len(stems) == 1:
            alike[stems.pop()].append(key)
    return [Fold(tuple(row for key in keys for row in groups.pop(key))) for keys in alike.values() if len(keys) > 2]


def _rows(claims: Iterable[Claim], words: Words, reason: Explain) -> list[Row]:
    """Claims of the same sources and the same way in one row."""
    groups: dict[Any, list[tuple[Claim, tuple[Reason, ...]]]] = defaultdict(list)
    for number, claim in enumerate(claims):
        why = _of_one_kind(reason(claim), words)
        if claim.kind in FOLDED:
            groups[
                claim.kind,
                claim.sense,
                claim.end,
                claim.turns[0].sources,
                _template(why[:1], words),
                _passed(claim, words),
            ].append((claim, why))
        else:
            groups[number].append((claim, why))
    return [
        _row(tuple(claim for claim, _ in group), tuple(dict.fromkeys(one for _, why in group for one in why)), words)
        for group in groups.values()
    ]


def _row(claims: tuple[Claim, ...], reasons: tuple[Reason, ...], words: Words) -> Row:
    first = claims[0]
    if first.kind not in FOLDED:
        return Row(claims, reasons, None, False)
    sources = first.turns[0].sources
    if len(sources) == 1:
        return Row(claims, reasons, sources[0], False)
    if first.end == "source" and len(sorted_pieces(map(words.channel, sources))) > 2:
        drivers = {found.edge[0] // 2 for claim in claims for found in (*claim.breaks, *claim.makes)}
        if len(drivers) == 1:
            return Row(claims, reasons, drivers.pop(), True)
    return Row(claims, reasons, None, False)


def _key(row: Row, words: Words) -> Any:
    claim = row.claims[0]
    assert row.subject is not None
    why = _template(row.reasons[:1], words), len(row.reasons) > 1
    return (
        claim.kind,
        claim.sense,
        claim.end,
        row.trunk,
        _stem(words.channel(row.subject)),
        why,
        _passed(claim, words),
    )


def _passed(claim: Claim, words: Words) -> Any:
    return tuple(
        (one.side, one.units, tuple(_stem(words.node(jack)) for jack in one.jacks), one.polarity, one.cords)
        for one in claim.passes
    )


def _of_one_kind(reasons: Sequence[Reason], words: Words) -> tuple[Reason, ...]:
    """The reasons that say the same as the first one, of other places."""
    first = _template(reasons[:1], words)
    return tuple(reason for reason in reasons if _template((reason,), words) == first)


def _template(reasons: Sequence[Reason], words: Words) -> Any:
    """What the first reason says, but for numbers and sides."""
    if not reasons:
        return None
    reason = reasons[0]
    said = [(reason.at, reason.parts), *((reason.twin,) if reason.twin is not None else ())]
    return (reason.kind, *((_stem(words.node(at)) if at >= 0 else None, _parts(parts, words)) for at, parts in said))


def _parts(parts: Parts, words: Words) -> tuple[object, ...]:
    return tuple(_stem(words.node(part.node)) if isinstance(part, Slot) else part for part in parts)


def _stem(label: Label) -> tuple[str, str, bool]:
    """What names in step have in common: all but their numbers and sides."""
    return (_VARYING.sub("0", label.head), _VARYING.sub("0", label.stem), label.number >= 0)


def _alike(rows: list[Row], words: Words) -> list[list[Row]]:
    """Rows parted so that in each part the other ends are alike: the same stems, one for one."""
    if len(rows) < 2:
        return [rows]
    sides: list[list[frozenset[int]]] = [[row.ends(which) for row in rows] for which in (_was, _now)]
    common = [frozenset.intersection(*side) for side in sides]
    parts: dict[Any, list[Row]] = defaultdict(list)
    for number, row in enumerate(rows):
        own = [
            sorted(_stem(words.channel(end)) for end in side[number] - both)
            for side, both in zip(sides, common, strict=True)
        ]
        parts[repr(own)].append(row)
    return [piece for part in parts.values() for piece in _distinct(part)]


def _distinct(rows: list[Row]) -> list[list[Row]]:
    """Rows parted once more where two of them have an end in common that not all have: those of equal ends together."""
    for which in (_was, _now):
        sets = [row.ends(which) for row in rows]
        common = frozenset.intersection(*sets)
        own = [end for one in sets for end in one - common]
        if len(own) != len(set(own)):
            alike: dict[object, list[Row]] = defaultdict(list)
            for row in rows:
                alike[row.ends(_was), row.ends(_now)].append(row)
            return list(alike.values())
    return [rows]


def _was(claim: Claim) -> Channels:
    return claim.turns[0].was


def _now(claim: Claim) -> Channels:
    return claim.turns[0].now


# -- columns of names ----------------------------------------------------------------------------------------------------


def subjects(fold: Fold, words: Words) -> tuple[str, bool]:
    """What the sentence starts from, and whether it is several."""
    noun = "source" if fold.claim.end == "source" else "place"
    if fold.rows[0].subject is None:
        channels = fold.rows[0].sources
        return words.shortened(sorted_pieces(map(words.channel, channels)), len(channels), noun), len(channels) > 1
    labels = [words.channel(row.subject) for row in fold.rows if row.subject is not None]
    return _in_step(in_order(labels), quiet=True), len(labels) > 1


def ends(fold: Fold, words: Words, which: Callable[[Claim], Channels]) -> str:
    """The other ends of all rows: each row's own in step with the subjects, then what all share."""
    noun = "place" if fold.claim.end == "source" else "source"
    sets = [row.ends(which) for row in fold.rows]
    if len(sets) == 1:
        return words.shortened(sorted_pieces(map(words.channel, sets[0])), len(sets[0]), noun)
    common = frozenset.intersection(*sets)
    rows = [sorted((words.channel(end) for end in one - common), key=lambda label: natural(label.text)) for one in sets]
    shared = sorted_pieces(map(words.channel, common))
    if len({len(row) for row in rows}) > 1 or not rows[0]:
        return words.shortened(shared, len(common), noun) if common else f"several {noun}s"
    columns = [in_order(column) for column in zip(*rows, strict=True)]
    first = _in_step(columns[0])
    more = len(columns) - 1 + len(common)
    if more == 0:
        return first
    if len(columns) == 1 and len(shared) == 1:
        return f"{first} and {shared[0]}"
    return f"{first} and {more} more {noun}{'s' if more > 1 else ''} each"


def _in_step(pieces: Sequence[str], *, quiet: bool = False) -> str:
    """Every piece, since the order pairs them with others; said so unless it can be seen."""
    return pieces[0] if len(pieces) == 1 else several(pieces) + ("" if quiet else ", in this order")


def places(fold: Fold, words: Words) -> str:
    """Where the rows stop, in step with the subjects."""
    return _labels([words.node(reason.at) for reason in fold.reasons], words)


def _labels(labels: Sequence[Label], words: Words) -> str:
    distinct = list(dict.fromkeys(labels))
    return words.shortened(in_order(distinct), len(distinct), "place")


def clause(fold: Fold, words: Words) -> str:
    """The reason of all rows, its names in step with the subjects."""
    reasons = fold.reasons
    if not reasons:
        return ""
    plural = len({reason.at for reason in reasons}) > 1
    text = ""
    for position, part in enumerate(reasons[0].parts):
        if isinstance(part, str):
            text += part
        elif isinstance(part, Verb):
            text += part.more if plural else part.one
        else:
            text += _slot(part, [one.parts[position] for one in reasons], words)
    return text


def _slot(slot: Slot, slots: Sequence[object], words: Words) -> str:
    labels = [words.node(one.node) for one in slots if isinstance(one, Slot)]
    if not slot.whole:
        labels = [label._replace(head="") if label.stem or label.digits else label for label in labels]
    return _labels(labels, words)


def passings(fold: Fold, words: Words, side: int) -> tuple[list[str], list[str]]:
    """(titles of units, jacks) passed on one side only by the rows of a reroute."""
    first = fold.claim.passes[side]
    units = [words.unit(name) for name in first.units]
    columns: list[list[Label]] = [
        [words.node(row.claims[0].passes[side].jacks[at]) for row in fold.rows] for at in range(len(first.jacks))
    ]
    return units, [piece for column in columns for piece in in_order(list(dict.fromkeys(column)))]
