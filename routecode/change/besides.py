"""What is wired or set otherwise and is told by no change and in no list: an inside, a route or a cord that no path needs.

Without it a diff could say that wiring differs and not say where. What changes a path is told in `changes`, what stands behind
jacks, cables and equipment in `records`.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator

from routecode.change.cause import statement
from routecode.change.fact import Fact
from routecode.change.sentence import LONGEST, longest
from routecode.change.words import Label, Words, in_order, label, several, shortened, sorted_pieces
from routecode.ground.order import natural

IN_LISTS = ("cable", "normal", "unit")
"""Kinds of fact that `records` always tells."""


def besides(facts: Iterable[Fact], words: Words, *, every: bool = False) -> list[str]:
    """A line for each setup, kind of fact and way it differs, in natural order.

    What `records` tells is left out, unless `every` fact is to be told.
    """
    groups: dict[tuple[str, str, str], list[Label]] = defaultdict(list)
    lines: list[str] = []
    for legs in _whole(facts):
        fact = legs[0]
        if fact.kind in ("switch", "position"):
            lines.append(_switch(fact, words))
        elif every or not _listed(fact):
            noun, name = _named(fact, words) if len(legs) == 1 else _forked(legs, words)
            groups[_where(fact, words), noun, _head(fact)].append(name)
    lines += [_line(*key, names) for key, names in groups.items()]
    return sorted(set(lines), key=natural)


def _listed(fact: Fact) -> bool:
    """Whether `records` tells it: of bays those that are new, gone, or of another size."""
    if fact.kind == "bay":
        return fact.before is None or fact.after is None or fact.before[0] != fact.after[0]
    return fact.kind in IN_LISTS


def _whole(facts: Iterable[Fact]) -> Iterator[list[Fact]]:
    """Facts one by one, but the legs of a Y-cord together: cords of one statement that have one end in common."""
    statements: dict[object, list[Fact]] = defaultdict(list)
    for number, fact in enumerate(facts):
        cord = fact.kind == "cord" and None in (fact.before, fact.after)
        statements[(fact.setup, _head(fact), statement(fact.place[1])) if cord else number].append(fact)
    for legs in statements.values():
        if len(set.intersection(*(set(leg.nodes) for leg in legs))) == 1:
            yield legs
        else:
            yield from ([leg] for leg in legs)


def _forked(legs: list[Fact], words: Words) -> tuple[str, Label]:
    """A Y-cord with all its ends."""
    (start,) = set.intersection(*(set(leg.nodes) for leg in legs))
    stops = sorted_pieces(words.node(node) for leg in legs for node in leg.nodes if node != start)
    return "Y-cord", _between([words.node(start).text, several(stops)])


def _named(fact: Fact, words: Words) -> tuple[str, Label]:
    """The noun of a fact and what it is of."""
    key = fact.key
    if fact.kind == "inside":
        return "inside", label(words.unit(key[0]), key[3] if key[1] == key[3] else f"{key[1]} to {key[3]}")
    if fact.kind == "port":
        return "port", label(words.unit(key[0]), key[1])
    if fact.kind in ("bay", "unit"):
        return fact.kind, Label(words.unit(key[0]), "", -1, "")
    if fact.kind == "route":
        return "route", _between([words.channel(channel).text for channel in key])
    nodes = [words.node(node) for node in key if isinstance(node, int)]
    if fact.kind in ("cord", "cable", "normal"):
        return fact.kind, _between([one.text for one in nodes])
    return fact.kind, Label(several(in_order(nodes[:4])) + (" and more" if len(nodes) > 4 else ""), "", -1, "")


def _between(ends: list[str]) -> Label:
    return Label(" to ".join(ends), "", -1, "")


def _head(fact: Fact) -> str:
    return "New" if fact.before is None else "Gone" if fact.after is None else "Changed"


def _where(fact: Fact, words: Words) -> str:
    return f" (in setup {words.setup(fact.setup)})" if fact.setup is not None else ""


def _switch(fact: Fact, words: Words) -> str:
    """Where a switch rests, or what a setup sets it to."""
    *_, unit, name = fact.key
    now, was = ("not set" if value is None else str(value) for value in (fact.after, fact.before))
    return f"Switch {name} of {words.unit(unit)}: {now}{_where(fact, words)}. Before: {was}."


def _line(where: str, noun: str, head: str, names: list[Label]) -> str:
    distinct = sorted(set(names), key=lambda one: natural(one.text))
    pieces = in_order(distinct)
    for most in (2, 1):
        listed = shortened(pieces, len(distinct), noun, most)
        text = f"{head}: {noun}{'s' if len(distinct) > 1 else ''} {listed}{where}."
        if longest(text) <= LONGEST:
            break
    return text
