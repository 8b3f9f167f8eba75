"""One kind of change, one way of saying it: short plain sentences in the order of `claims.KINDS`. Escapes nothing.

Titles, not ids; "instead", "now", "still", "before"; two short sentences rather than a long one.
"""

from collections.abc import Callable, Sequence

from routecode.change.claims import GONE, NEW, Claim, Turn
from routecode.change.fold import MOST_WAYS, Channels, Fold, clause, ends, passings, places, subjects, whole
from routecode.change.frontier import Break
from routecode.change.words import Words, in_order, many, names_of, several, sorted_pieces
from routecode.ground.order import natural

LONGEST = 25
"""Words of one sentence."""
SINGLY = 8
"""So many names of which no list can be made are said one by one; of more only the count."""


def told(fold: Fold, words: Words) -> list[tuple[Fold, str]]:
    """The fold in words. Where a sentence grows too long, fewer names are said, then only their count, then the rows one by one."""
    text = ""
    counted = fold.joint or len(fold.rows) > SINGLY
    for most, brief in ((2, False), (1, False), *([(1, True)] if counted else [])):
        words.most = most
        fold.brief = brief
        text = _SENTENCES[fold.claim.kind](fold, words)
        words.most = 2
        if longest(text) <= LONGEST:
            return [(fold, text)]
    if len(fold.rows) > 1 and not fold.joint:
        return [pair for row in fold.rows for pair in told(Fold((row,)), words)]
    return [(fold, text)]


def longest(text: str) -> int:
    """Words of the longest sentence in a text."""
    return max(len(sentence.split()) for sentence in text.split(". "))


def _was(claim: Claim) -> Channels:
    return claim.turns[0].was


def _now(claim: Claim) -> Channels:
    return claim.turns[0].now


def _listed(words: Words, channels: Channels, noun: str = "place") -> str:
    return words.shortened(sorted_pieces(map(words.channel, channels)), len(channels), noun)


def _verb(plural: bool, one: str, more: str) -> str:
    return more if plural else one


def _carried(fold: Fold) -> str:
    """For a trunk: how many signals it stands for."""
    if not fold.rows[0].trunk:
        return ""
    sources = {source for row in fold.rows for source in row.sources}
    paths = sum(len(claim.lost) or len(claim.gained) for row in fold.rows for claim in row.claims)
    return f" {many(len(sources), 'source')} {_verb(len(sources) > 1, 'goes', 'go')} that way ({many(paths, 'path')})."


# -- the kinds -----------------------------------------------------------------------------------------------------------


def _feedback(fold: Fold, words: Words) -> str:
    claim = fold.claim
    loop = claim.turns[0].was if claim.sense == GONE else claim.turns[0].now or claim.turns[0].was
    first, others = _loop(words, loop)
    through = f" through {words.shortened(others, len(others), 'unit')}" if others else ""
    if claim.sense == NEW:
        return f"{first} now comes back to its own input{through} (feedback)."
    if claim.sense == GONE:
        return f"{first} no longer comes back to its own input{through}. That feedback is gone."
    if claim.turns[0].now:
        return f"The feedback of {first}{through} now takes in other channels."
    return f"Before, the feedback of {first}{through} took in other channels."


def _loop(words: Words, loop: Channels) -> tuple[str, list[str]]:
    """The channel a loop is named after (of the unit with most channels in it), and the titles of the other units."""
    by_unit: dict[str, list[int]] = {}
    for channel in loop:
        by_unit.setdefault(words.matched.channel_name(channel).partition("/")[0], []).append(channel)
    main = max(sorted(by_unit), key=lambda unit: len(by_unit[unit]))
    driving = [channel for channel in by_unit[main] if words.drives(channel)]
    others = sorted(words.unit(unit) for unit in by_unit if unit != main)
    return words.channel(min(driving or by_unit[main])).text, others


def _tied(fold: Fold, words: Words) -> str:
    claim = fold.claim
    target = words.channel(claim.turns[0].now[0]).text
    before, after = (
        words.shortened(sorted_pieces(map(words.channel, drivers)), len(drivers), "source", 1) if drivers else "nothing"
        for drivers in claim.drivers
    )
    if claim.sense == GONE:
        only = "only " if claim.drivers[1] else ""
        return f"{target} no longer gets {_number(len(claim.drivers[0]))} signals on one wire. Now: {only}{after}. Before: {before}."
    was = f"only {before}" if claim.sense == NEW and claim.drivers[0] else before
    return f"{target} now gets {_number(len(claim.drivers[1]))} signals on one wire: {after}. Before: {was}."


def _number(count: int) -> str:
    return {2: "two", 3: "three", 4: "four"}.get(count, str(count))


def _exchanged(fold: Fold, words: Words) -> str:
    turns = [turn for row in fold.rows for claim in row.claims for turn in claim.turns]
    turns.sort(key=lambda turn: natural(words.channel(turn.sources[0]).text))
    names = [_listed(words, turn.sources, "source") for turn in turns]
    if len(turns) > 2:
        return _rotated(turns, names, words)
    one, other = _short_pair(names)
    reach = _verb(len(turns[0].sources) > 1, "reaches", "reach"), _verb(len(turns[1].sources) > 1, "reaches", "reach")
    both = f"{names[0]} and {other}" if one != names[0] else f"{names[0]} and {names[1]}"
    return (
        f"{both} are exchanged. {one[:1].upper()}{one[1:]} now {reach[0]} {_listed(words, turns[0].now)}, "
        f"{other} {reach[1]} {_listed(words, turns[1].now)}."
    )


def _rotated(turns: list[Turn], names: list[str], words: Words) -> str:
    now = [_listed(words, turn.now) for turn in turns]
    said, reached = several(names), several(now)
    if all(len(turn.sources) == len(turn.now) == 1 for turn in turns):
        said = several(in_order([words.channel(turn.sources[0]) for turn in turns]))
        reached = several(in_order([words.channel(turn.now[0]) for turn in turns]))
    return f"{said} have changed places. They now reach {reached}, in this order."


def _short_pair(names: list[str]) -> tuple[str, str]:
    """`left`, `right` where two names differ in nothing else."""
    heads = [name.rpartition(" ") for name in names]
    if heads[0][0] == heads[1][0] and {heads[0][2], heads[1][2]} in ({"left", "right"}, {"L", "R"}):
        return heads[0][2], heads[1][2]
    return names[0], names[1]


def _redirected(fold: Fold, words: Words) -> str:
    subject, plural = subjects(fold, words)
    now, was = ends(fold, words, _now), ends(fold, words, _was)
    before = f". Before: {was}." if fold.brief else f" instead of {was}."
    if fold.claim.end == "target":
        return f"{subject} now {_verb(plural, 'gets', 'get')} {now}{before}"
    return f"{subject} now {_verb(plural, 'reaches', 'reach')} {now}{before}{_carried(fold)}"


def _split(fold: Fold, words: Words) -> str:
    subject, plural = subjects(fold, words)
    if fold.claim.sense == NEW:
        return f"{subject} now also {_verb(plural, 'reaches', 'reach')} {ends(fold, words, _now)}.{_carried(fold)}"
    still = ends(fold, words, lambda claim: claim.kept)
    return (
        f"{subject} no longer {_verb(plural, 'reaches', 'reach')} {ends(fold, words, _was)}. "
        f"{_verb(plural, 'It still feeds', 'They still feed')} {still}.{_carried(fold)}"
    )


def _lost(fold: Fold, words: Words) -> str:
    if fold.joint:
        sources, others, paths = whole(fold, words)
        return (
            f"{sources} no longer reach {others} ({paths}). They stop at {places(fold, words)}: {clause(fold, words)}."
        )
    subject, plural = subjects(fold, words)
    text = f"{subject} no longer {_verb(plural, 'reaches', 'reach')} {ends(fold, words, _was)}."
    if fold.reasons:
        text += f" {_verb(plural, 'It stops', 'They stop')} at {places(fold, words)}: {clause(fold, words)}."
    return text + _carried(fold)


def _gained(fold: Fold, words: Words) -> str:
    if fold.joint:
        sources, others, paths = whole(fold, words)
        return f"{sources} now reach {others} ({paths}). {clause(fold, words)}."
    subject, plural = subjects(fold, words)
    text = f"{subject} now {_verb(plural, 'reaches', 'reach')} {ends(fold, words, _now)}."
    made = clause(fold, words)
    return text + (f" {made}." if made else "") + _carried(fold)


def _rerouted(fold: Fold, words: Words) -> str:
    subject, plural = subjects(fold, words)
    start = f"{subject} still {_verb(plural, 'reaches', 'reach')} {ends(fold, words, _now)}"
    they = _verb(plural, "It", "They")
    old, new = fold.claim.passes
    if old.polarity != new.polarity:
        return f"{start}, now {_POLARITY[new.polarity or 'kept']}. Before: {_POLARITY[old.polarity or 'kept']}."
    (old_units, old_jacks), (new_units, new_jacks) = passings(fold, words, 0), passings(fold, words, 1)
    cords = f" {_cords(fold, old.cords, new.cords)}" if old.cords != new.cords else ""
    many_ways = _ways(fold)
    if old_units or new_units:
        return f"{start}. {they} {_exchange(words, plural, 'pass', old_units, new_units)}.{cords}{many_ways}"
    if old_jacks or new_jacks:
        return f"{start}. {they} {_exchange(words, plural, 'go by', old_jacks, new_jacks)}.{cords}{many_ways}"
    if cords:
        return f"{start}.{cords}{many_ways}"
    was, now = (_feeds(side, words) for side in (fold.claim.breaks, fold.claim.makes))
    if was == now and not many_ways:
        return f"{start}, by the same jacks in another order."
    if len(was) == 1 and not now and not many_ways:
        return f"{start}. One way is gone: {was[0]}."
    if len(now) == 1 and not was and not many_ways:
        return f"{start}. There is another way now: {now[0]}."
    turned = [f" {word}: {several(edges)}." for word, edges in (("Gone", was), ("New", now)) if 0 < len(edges) < 3]
    other = "another way" if not many_ways else "fewer ways" if not now else "more ways" if not was else "other ways"
    return f"{start}, by {other}.{''.join(turned)}{many_ways}"


def _ways(fold: Fold) -> str:
    """Where there are too many ways to list: how many, so that nothing seems to be told whole that is not."""
    old, new = fold.claim.ways
    if max(old, new) <= MOST_WAYS:
        return ""
    each = " each" if len(fold.rows) > 1 else ""
    before = "" if old == new else f" Before: {old:,}."
    return (
        f" {many(new, 'way')}{each}, too many to list.{before}"
        if new > MOST_WAYS
        else f" {many(new, 'way')}{each}.{before}"
    )


def _feeds(breaks: tuple[Break, ...], words: Words) -> list[str]:
    """`Desk bus 1 to Converter line 5` of each feed or inside that differs."""
    edges = [[words.channel(vertex // 2).text for vertex in found.edge] for found in breaks]
    return [f"{source} to {target}" for source, target in edges]


def _cords(fold: Fold, old: int, new: int) -> str:
    """How many cords the way takes, and took."""
    each = " each" if len(fold.rows) > 1 else ""
    if not new:
        return f"That takes no cord now. Before: {old}{each}."
    return f"That takes {many(new, 'cord')}{each} now. Before: {old or 'none'}."


def _exchange(words: Words, plural: bool, verb: str, old: Sequence[str], new: Sequence[str]) -> str:
    """`now passes B, not A`; `now also passes B`; `no longer passes A`."""
    first, space, rest = verb.partition(" ")
    said = verb if plural else f"{first}{'es' if first.endswith(('s', 'o')) else 's'}{space}{rest}"
    noun = "unit" if verb == "pass" else "jack"
    one, other = (words.shortened(pieces, names_of(pieces), noun) for pieces in (new, old))
    if old and new:
        return f"now {said} {one}, not {other}"
    return f"now also {said} {one}" if new else f"no longer {said} {other}"


_POLARITY = {
    "kept": "the right way round",
    "reversed": "with hot and cold exchanged",
    "mixed": "with hot and cold shorted by two ways of opposite polarity",
}


def _setup(fold: Fold, words: Words) -> str:
    claim = fold.claim
    cords, needs, never = claim.counts
    title = words.setup(claim.setup or "")
    state = "new" if claim.sense == NEW else "gone"
    asked = [many(needs, "needed path")] if needs else [] if never else ["no needed path"]
    asked += [many(never, "forbidden path")] if never else []
    return f"Setup {title} is {state}: {', '.join([many(cords, 'cord') if cords else 'no cord', *asked])}."


_SENTENCES: dict[str, Callable[[Fold, Words], str]] = {
    "feedback": _feedback,
    "tied": _tied,
    "exchanged": _exchanged,
    "redirected": _redirected,
    "split": _split,
    "lost": _lost,
    "gained": _gained,
    "rerouted": _rerouted,
    "setup": _setup,
}
