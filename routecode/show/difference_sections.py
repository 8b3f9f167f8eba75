"""What a difference says, in the order of telling, before it is broken into lines: for text, for pages, for anything that shows it.

What it says is decided in `change`; how it looks is decided by who shows it (`difference`, `review`).
"""

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from attrs import frozen

from routecode.change.allowed import judged
from routecode.change.changes import GAIN, HARMS, LOSS, NOTE, RISK, Change
from routecode.change.delta import BOTH
from routecode.change.difference import ENDS_CHANGED, IDENTICAL, SAME_ENDS, TEXT_ONLY, Difference
from routecode.change.matched import BEFORE
from routecode.change.needs import NeedChange, told_needs
from routecode.change.patching import patching_lines
from routecode.change.records import JackRow, Listed
from routecode.ground.finding import Finding, Severity
from routecode.ground.place import Spot
from routecode.show.allowed import AWAITED, EXCEEDED, PERMIT, Excess, awaited_lines, exceeding, permit_lines
from routecode.show.spoken import counted

HEADINGS = {LOSS: "Lost", RISK: "At risk", GAIN: "Gained", NOTE: "To note"}
FAILING, MET, JACKS, STATES = "Needs that now fail", "Needs that are met again", "By jack", "By setup"
UNASKED, ASKED = "No longer asked for", "Newly asked for"
CUT = "Of very many paths only the ends were compared, not the ways between them."


@frozen
class Told:
    """A change with the states it is true of."""

    change: Change
    states: tuple[str | None, ...]


class Item(NamedTuple):
    """One thing that is said, with what it is said of; `below`: what follows from it. Texts are not escaped."""

    text: str
    told: Told | None = None
    needs: tuple[NeedChange, ...] = ()
    finding: Finding | None = None
    listed: Listed | None = None
    below: tuple["Item", ...] = ()


class Section(NamedTuple):
    """A heading with its items, or (under `By jack`) its rows."""

    heading: str
    items: tuple[Item, ...]
    rows: tuple[JackRow, ...] = ()


class Scope(NamedTuple):
    """What is asked for: with `one` the state `setup` alone; `expand` where every pair is listed as well, else `how` to list them."""

    setup: str | None = None
    one: bool = False
    expand: bool = False
    how: str = "--expand"


def result_text(difference: Difference) -> str:
    """The result in words, with how many paths were compared."""
    words = {
        IDENTICAL: "The two are identical.",
        TEXT_ONLY: "Only text differs: wiring, paths and what is behind the jacks are the same.",
        SAME_ENDS: "The wiring differs; all paths connect the same ends.",
        ENDS_CHANGED: "Paths connect other ends than before.",
    }[difference.result]
    if difference.result == TEXT_ONLY:
        words = _besides_wiring(difference) or words
    count = difference.compared
    return f"{words} {count:,} of {counted(count, 'path')} compared."


def _besides_wiring(difference: Difference) -> str:
    """What differs although everything is wired as it was; empty where nothing does that is told."""
    if any(line.made for line in difference.cables):
        return "Everything is joined as before; how cables are made off differs."
    if difference.asked:
        return "The wiring is the same; what setups ask for differs."
    if difference.findings_new or difference.findings_gone:
        return "Everything is joined as before, and paths are the same; what is found differs."
    return ""


def sections(difference: Difference, scope: Scope) -> Iterator[Section]:
    """All that is said, section by section; sections with nothing in them are left out."""
    needs = [need for need in difference.needs if not scope.one or need.setup == scope.setup]
    asked = [need for need in difference.asked if not scope.one or need.setup == scope.setup]
    yield from _section(FAILING, _needs(difference, [need for need in needs if need.after is False]))
    yield from _section(UNASKED, _needs(difference, [need for need in asked if need.gone]))
    yield from _permit(difference, scope)
    told = over_states(difference, scope)
    for harm in HARMS:
        heads = [each for each in told if each.change.harm == harm and each.change.under is None]
        items = [_change(each, told, difference) for each in heads]
        guesses = map(Item, difference.guessed) if harm == RISK else ()
        yield from _section(HEADINGS[harm], [*items, *guesses])
    yield from _section(MET, _needs(difference, [need for need in needs if need.after is True]))
    yield from _section(ASKED, _needs(difference, [need for need in asked if need.after is True]))
    yield from _section(STATES, map(Item, _by_setup(difference, scope)))
    if difference.jacks:
        yield Section(JACKS, (), tuple(difference.jacks))
    yield from _section("Cabling", (Item(line.text, listed=line) for line in difference.cables))
    yield from _section("Equipment", (Item(line.text, listed=line) for line in difference.things))
    yield from _section("Besides", map(Item, _besides(difference, scope)))
    yield from _section("New findings", _findings(difference.findings_new))
    yield from _section("Findings gone", _findings(difference.findings_gone))


def _section(heading: str, items: Iterable[Item]) -> Iterator[Section]:
    listed = tuple(items)
    if listed:
        yield Section(heading, listed)


def _needs(difference: Difference, needs: list[NeedChange]) -> list[Item]:
    return [Item(text, needs=tuple(group)) for text, group in told_needs(needs, difference.words)]


def _permit(difference: Difference, scope: Scope) -> Iterator[Section]:
    """What goes beyond what is allowed, whether that is stated otherwise, and what was expected and is not there."""
    verdict = judged(difference)
    yield from _section(EXCEEDED, (_excess(each, difference) for each in exceeding(verdict, difference, *scope[:2])))
    yield from _section(PERMIT, map(Item, permit_lines(verdict, difference)))
    yield from _section(AWAITED, map(Item, awaited_lines(verdict, difference)))


def _excess(excess: Excess, difference: Difference) -> Item:
    where = _where(Told(excess.change, excess.states), difference) if excess.change is not None else ""
    return Item(" ".join(filter(None, (excess.sentence, where, *excess.rules))))


def _by_setup(difference: Difference, scope: Scope) -> list[str]:
    """What each state gains, loses and needs, and which cords would do instead of soldering."""
    states = [each for each in difference.patching if not scope.one or each.setup == scope.setup]
    failing = Counter[str | None](need.setup for need in difference.needs if need.after is False)
    return patching_lines(states, failing, difference.words)


def _besides(difference: Difference, scope: Scope) -> list[str]:
    """What differs and is not told above, so that nothing that differs is passed over in silence."""
    lines = difference.besides(scope.setup, one=scope.one)
    count = difference.untold(scope.setup, one=scope.one)
    if count and not scope.expand:
        they = "carry nothing, or are parts" if count > 1 else "carries nothing, or is part"
        ways = "longer ways" if count > 1 else "a longer way"
        lines.append(f"{counted(count, 'more path')} {they} of {ways}; {scope.how} lists all.")
    return lines


def in_order(findings: Iterable[Finding]) -> list[Finding]:
    """Findings, worst first."""
    return sorted(findings, key=lambda each: (each.severity.rank, each.rule, each.at, each.setup or ""))


def _findings(findings: Iterable[Finding]) -> list[Item]:
    listed = in_order(findings)
    notes = sum(1 for finding in listed if finding.severity is Severity.NOTE)
    items = []
    for finding in listed:
        if finding.severity is not Severity.NOTE:
            setup = f" (in setup {finding.setup})" if finding.setup else ""
            items.append(Item(f"{finding.severity.value}: {finding.text}{setup}", finding=finding))
    return items + ([Item(f"{counted(notes, 'note')}.")] if notes else [])


# -- changes -------------------------------------------------------------------------------------------------------------


def over_states(difference: Difference, scope: Scope) -> list[Told]:
    """Every change once, with the states it is true of, worst first."""
    found: dict[tuple[str, str], list[str | None]] = {}
    first: dict[tuple[str, str], Change] = {}
    for delta in difference.states:
        if scope.one and delta.setup != scope.setup:
            continue
        for change in difference.changes[delta.setup]:
            key = (change.id, change.sentence)
            first.setdefault(key, change)
            found.setdefault(key, []).append(delta.setup)
    told = [Told(first[key], tuple(states)) for key, states in found.items()]
    return sorted(told, key=lambda each: HARMS.index(each.change.harm))


def _change(told: Told, all_told: list[Told], difference: Difference) -> Item:
    change = told.change
    where = _where(told, difference)
    under = [each for each in all_told if each.change.under == change.id and set(each.states) & set(told.states)]
    below = tuple(Item(each.change.sentence, told=each) for each in under)
    return Item(change.sentence + (f" {where}" if where else ""), told=told, below=below)


def _where(told: Told, difference: Difference) -> str:
    """The states, where it is not true of all that both sides have."""
    if told.change.kind == "setup":
        return ""
    usual = tuple(delta.setup for delta in difference.states if delta.presence == BOTH)
    if told.states == usual or len(usual) == 1:
        return ""
    setups = [difference.words.setup(setup) for setup in told.states if setup is not None]
    parts = (["unpatched"] if None in told.states else []) + ([f"in {', '.join(setups)}"] if setups else [])
    return f"({' and '.join(parts)})"


def places(change: Change, difference: Difference, most: int | None = None) -> list[tuple[str, Spot]]:
    """Where the causes of a change stand in the text: (side, place), the first `most`."""
    found = []
    for side, at in change.cause[:most]:
        spot = (difference.old if side == BEFORE else difference.new).spot(at)
        if spot is not None:
            found.append((side, spot))
    return found
