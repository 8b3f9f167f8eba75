"""Claims that say the same of neighbouring names, put together: lines 1 to 8 are told once.

Only claims of equal kind, sense and way fold; rows keep their pairing, so a permutation stays visible. What can be said of a
fold (its columns of names) is worked out here; the sentence is made in `sentence`.
"""

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cached_property
from typing import Any

from attrs import define, frozen

from routecode.change.claims import Claim, parted
from routecode.change.reasons import Parts, Reason, Slot, Verb
from routecode.change.words import Label, Piece, Words, in_order, many, several, shortened, sorted_pieces
from routecode.ground.order import natural
from routecode.ground.reading import channel

FOLDED = ("redirected", "split", "lost", "gained", "rerouted")
"""Kinds that fold; the others are told one by one."""
MOST_WAYS = 100
"""Ways between two ends above which it is said how many there are, and that they are not listed."""
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
    brief: bool = False
    """Say how many names there are where naming them in step would be too long."""
    joint: bool = False
    """Rows of any sources and ends that break off, or begin, at the same joints: a trunk. Told with their count."""

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
    return _trunks(folds, words)


_MOST_ALIKE = 2
"""Folds that say the same of the same joints and are still told one by one."""


def _trunks(folds: list[Fold], words: Words) -> list[Fold]:
    """What many sources lose, or get, at one joint (or at joints side by side) in one fold, whatever its ends are."""
    groups: dict[Any, list[Fold]] = defaultdict(list)
    for number, fold in enumerate(folds):
        claim, reasons = fold.claim, fold.reasons[:1]
        at_joint = claim.kind in ("lost", "gained") and bool(reasons) and min(reasons[0].at, reasons[0].beyond) >= 0
        groups[(claim.kind, _template(reasons, words)) if at_joint else number].append(fold)
    found: list[Fold] = []
    for group in groups.values():
        if len(group) > _MOST_ALIKE:
            rows = [row for fold in group for row in fold.rows]
            rows.sort(key=lambda row: natural(words.node(row.reasons[0].at).text))
            found.append(Fold(tuple(rows), joint=True))
        else:
            found += group
    return found


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
    for number, (claim, trunk) in enumerate(_parts_of(claims, words)):
        why = _of_one_kind(reason(claim), words)
        if claim.kind in FOLDED:
            groups[
                claim.kind,
                claim.sense,
                claim.end,
                claim.turns[0].sources,
                trunk,
                _template(why[:1], words),
                _passed(claim, words),
            ].append((claim, why))
        else:
            groups[number].append((claim, why))
    return [
        _row(tuple(claim for claim, _ in group), tuple(dict.fromkeys(one for _, why in group for one in why)), words)
        for group in groups.values()
    ]


def _parts_of(claims: Iterable[Claim], words: Words) -> Iterator[tuple[Claim, int | None]]:
    """Claims of which every source has every end, each with its trunk; what is told of a trunk needs no parting."""
    for claim in claims:
        trunk = _trunk(claim, words)
        parts = parted(claim) if trunk is None and claim.kind in ("split", "lost", "gained") else [claim]
        yield from ((part, trunk) for part in parts)


def _trunk(claim: Claim, words: Words) -> int | None:
    """The one channel through which many sources go, where it can stand for them."""
    if claim.kind not in FOLDED or claim.end != "source":
        return None
    if len(sorted_pieces(map(words.channel, claim.turns[0].sources))) < 3:
        return None
    drivers = {found.edge[0] // 2 for found in (*claim.breaks, *claim.makes)}
    if len(drivers) != 1 or (claim.kind == "rerouted" and not drivers <= set(claim.kept)):
        return None
    return drivers.pop()


def _row(claims: tuple[Claim, ...], reasons: tuple[Reason, ...], words: Words) -> Row:
    first = claims[0]
    if first.kind not in FOLDED:
        return Row(claims, reasons, None, False)
    sources = first.turns[0].sources
    if len(sources) == 1:
        return Row(claims, reasons, sources[0], False)
    trunk = _trunk(first, words)
    return Row(claims, reasons, trunk, trunk is not None)


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
    passed = (
        (one.side, one.units, tuple(_stem(words.node(jack)) for jack in one.jacks), one.polarity, one.cords)
        for one in claim.passes
    )
    return (*passed, claim.ways if max(claim.ways) > MOST_WAYS else None)


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
    if fold.brief:
        return words.shortened(_run(labels), len(labels), noun), len(labels) > 1
    return _in_step(_run(labels), quiet=True), len(labels) > 1


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
    if fold.brief and not common:
        return _counted([label for row in rows for label in row], len(rows[0]), noun)
    columns = [_run(column) for column in zip(*rows, strict=True)]
    first = _in_step(columns[0])
    more = len(columns) - 1 + len(common)
    if more == 0:
        return first
    if len(columns) == 1 and len(shared) == 1:
        return f"{first} and {shared[0]}"
    return f"{first} and {more} more {noun}{'s' if more > 1 else ''} each"


def whole(fold: Fold, words: Words) -> tuple[str, str, str]:
    """Of a trunk: its sources, its other ends, and how many paths there are between them."""
    claims = [claim for row in fold.rows for claim in row.claims]
    sources = {source for claim in claims for source in claim.turns[0].sources}
    found = {end for claim in claims for end in (*claim.turns[0].was, *claim.turns[0].now)}
    pieces, ends = sorted_pieces(map(words.channel, sources)), sorted_pieces(map(words.channel, found))
    said = many(len(sources), "source") if fold.brief else shortened(pieces, len(sources), "source", 1)
    others = (
        several(ends) if len(ends) == 1 and not fold.brief else _counted(list(map(words.channel, found)), 0, "place")
    )
    return said, others, many(sum(len(claim.lost) + len(claim.gained) for claim in claims), "path")


def _counted(labels: Sequence[Label], each: int, noun: str) -> str:
    """How many names there are, and of which unit where it is one."""
    heads = {label.head for label in labels}
    of = f" of {heads.pop()}" if len(heads) == 1 else ""
    return many(len(labels), noun) + of + (f", {'one' if each == 1 else each} each" if each else "")


_WIDE = re.compile(r"(.*?) ?([0-9]{1,9}) ch", re.DOTALL)


def _run(labels: Sequence[Label]) -> list[Piece]:
    """Names as phrases in the order given; the same channels of ports that follow each other as `in 1-8 ch 1-2`."""
    found = [_WIDE.fullmatch(label.stem) for label in labels]
    ports = [Label(label.head, one[1], int(one[2]), one[2]) for label, one in zip(labels, found, strict=True) if one]
    distinct = list(dict.fromkeys(ports))
    numbers = [label.number for label, port in zip(labels, ports, strict=False) if port == distinct[0]]
    grid = [(port, number) for port in distinct for number in numbers]
    if (
        len(distinct) > 1
        and len(numbers) > 1
        and list(zip(ports, (label.number for label in labels), strict=False)) == grid
    ):
        named, wide = in_order(distinct), in_order([Label("", "", number, str(number)) for number in numbers])
        if len(ports) == len(labels) and len(named) == len(wide) == 1:
            return [Piece(channel(named[0], wide[0]), len(labels))]
    return in_order(labels)


def _in_step(pieces: Sequence[str], *, quiet: bool = False) -> str:
    """Every piece, since the order pairs them with others; said so unless it can be seen."""
    return pieces[0] if len(pieces) == 1 else several(pieces) + ("" if quiet else ", in this order")


def places(fold: Fold, words: Words) -> str:
    """Where the rows stop, in step with the subjects."""
    nodes = [reason.at for reason in fold.reasons]
    return _labels([words.node(node) for node in nodes], words) + words.group(set(nodes))


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


def passings(fold: Fold, words: Words, side: int) -> tuple[list[str], list[Piece]]:
    """(titles of units, jacks each once) passed on one side only by the rows of a reroute."""
    first = fold.claim.passes[side]
    units = [words.unit(name) for name in first.units]
    said: dict[Label, None] = {}
    pieces: list[Piece] = []
    for at in range(len(first.jacks)):
        column = dict.fromkeys(words.node(row.claims[0].passes[side].jacks[at]) for row in fold.rows)
        pieces += in_order([label for label in column if label not in said])
        said |= column
    return units, pieces
