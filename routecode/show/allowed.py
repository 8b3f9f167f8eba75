"""What went beyond what is allowed, for people; and a table `[allowed]` written from a difference. Decides nothing."""

import unicodedata
from collections.abc import Iterator

from attrs import frozen

from routecode.change.allowed import (
    KINDS,
    LOSE,
    OTHERS,
    PLACE,
    SETUPS,
    WORST,
    Beyond,
    Judged,
    fingerprint,
    wiring_of,
)
from routecode.change.besides import besides
from routecode.change.changes import Change
from routecode.change.difference import Difference
from routecode.change.fact import Fact
from routecode.change.matched import BEFORE
from routecode.ground.place import At
from routecode.language.allowed import Allowed
from routecode.language.checks import UNPATCHED
from routecode.language.values import LONGEST
from routecode.show.escape import visible

EXCEEDED, PERMIT, AWAITED = "Beyond what is allowed", "What is allowed", "Allowed and not there"
_NAMED = 4
"""Names of a rule that are said before the rest is counted."""

_WORST = {
    "loss": "Everything may come",
    "risk": "Nothing may be lost",
    "gain": "Nothing may be lost or at risk",
    "note": "Nothing may be lost, at risk or gained",
}


@frozen(eq=False)
class Excess:
    """One thing that goes beyond: what it is, the states it is true of, and the rules that forbid it, each with its place.

    `change` is None for wiring.
    """

    sentence: str
    states: tuple[str | None, ...]
    rules: tuple[str, ...]
    change: Change | None


def exceeding(judged: Judged, difference: Difference, setup: str | None = None, one: bool = False) -> list[Excess]:
    """What goes beyond, each thing once; wiring that makes a change told here is not told again."""
    changes: dict[tuple[str, str], list[Beyond]] = {}
    facts: dict[str, list[Beyond]] = {}
    shown = judged.shown(setup, one)
    told = [each.change for each in shown if each.change is not None]
    edits = {edit for change in told for edit in change.edits}
    whole = {change.subjects[0] for change in told if change.kind == "setup"}

    def apart(fact: Fact) -> bool:
        """Whether no change told here is made by it."""
        return fact.setup not in whole and difference.causes.edit_of.get(id(fact)) not in edits

    for each in shown:
        if each.change is not None:
            changes.setdefault((each.print, each.change.sentence), []).append(each)
        elif each.fact is not None and apart(each.fact):
            facts.setdefault(each.print, []).append(each)
    return [*(_of_change(group, difference) for group in changes.values()), *_of_wiring(facts, difference)]


def _of_change(group: list[Beyond], difference: Difference) -> Excess:
    first = group[0].change
    assert first is not None
    states = tuple(dict.fromkeys(each.setup for each in group))
    return Excess(first.sentence, states, _rules(group, difference), first)


def _of_wiring(facts: dict[str, list[Beyond]], difference: Difference) -> Iterator[Excess]:
    """Facts that the same rules forbid, in as few sentences as there can be."""
    groups: dict[tuple[str, ...], list[Fact]] = {}
    for group in facts.values():
        groups.setdefault(_rules(group, difference), []).extend(each.fact for each in group[:1] if each.fact)
    for rules, found in groups.items():
        for sentence in besides(found, difference.words, every=True):
            yield Excess(sentence, (), rules, None)


def _rules(group: list[Beyond], difference: Difference) -> tuple[str, ...]:
    texts = (f"{_rule(each, difference)} ({_spot(each.side, each.at, difference)})." for each in group)
    return tuple(dict.fromkeys(texts))


def _spot(side: str, at: At, difference: Difference) -> str:
    spot = (difference.old if side == BEFORE else difference.new).spot(at)
    assert spot is not None
    return f"{spot.file}:{spot.line}:{spot.column}, {side}"


def _rule(beyond: Beyond, difference: Difference) -> str:
    """The rule as a sentence without its full stop."""
    plant = difference.matched.plant(beyond.side)
    table = plant.studio.allowed
    assert table is not None
    if beyond.rule == PLACE:
        return _only(_titles(table, difference, beyond.side))
    if beyond.rule == SETUPS:
        setups = plant.studio.setup
        named = [
            "the state without a setup" if name == UNPATCHED else f"setup {setups[name].title or name}"
            for name in table.setups or ()
        ]
        return _only(named)
    if beyond.rule == OTHERS:
        listed = len(table.change)
        return f"It is not one of the {listed:,} changes listed" if listed > 1 else "Only what is listed may change"
    return {
        KINDS: f"Only these kinds of change may come: {', '.join(table.kinds or ()) or 'none'}",
        WORST: _WORST[table.worst or "loss"],
        LOSE: "No path may be lost",
    }[beyond.rule]


def _titles(table: Allowed, difference: Difference, side: str) -> list[str]:
    studio = difference.matched.plant(side).studio
    found: list[str] = []
    for key in ("room", "rack", "unit", "bay"):
        named = getattr(studio, key)
        word = f"{key} " if key in ("room", "rack") else ""
        found += [f"{word}{named[name].title or name}" for name in getattr(table, f"{key}s") or ()]
    return found


def _only(names: list[str]) -> str:
    if not names:
        return "Nothing may change: no name is given"
    more = len(names) - _NAMED
    shown = [*names[:_NAMED], f"{more} more"] if more > 0 else names
    listed = shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} and {shown[-1]}"
    return f"Only {listed} may change"


# -- the table itself, and what did not come -----------------------------------------------------------------------------


def permit_lines(judged: Judged, difference: Difference) -> list[str]:
    """What is said where the two sides allow otherwise."""
    if not judged.differs:
        return []
    before, after = (
        _spot(side, table.place, difference) if table is not None else ""
        for side, table in ((BEFORE, judged.before), ("after", judged.after))
    )
    if not before:
        return [f"What a rewiring may change is stated now and was not before ({after})."]
    if not after:
        return [f"What a rewiring may change is no longer stated; what was stated still holds here ({before})."]
    return [f"What a rewiring may change is stated otherwise. Here both statements hold ({before}; {after})."]


def awaited_lines(judged: Judged, difference: Difference) -> list[str]:
    """The listed changes that are not there."""
    if len(judged.awaited) == judged.listed and judged.listed > 1:
        side, table = next((side, table) for side, table in judged.tables if table.change)
        return [f"None of the {judged.listed:,} listed changes is there ({_spot(side, table.place, difference)})."]
    lines = []
    for each in judged.awaited:
        written = each.written
        lines.append(
            f"{written.says or written.title or f'The change {written.id}.'} "
            f"({_spot(each.side, written.where('id'), difference)})"
        )
    return lines


# -- written from a difference -------------------------------------------------------------------------------------------

_HEAD = """\
# What this rewiring changes; whatever goes beyond it is told by routecode diff.
# Written by routecode diff --write-allowed. Sentences are for readers; ids are compared.

[allowed]
others = false
"""


def allowed_text(difference: Difference) -> str:
    """A file of the wiring language with a table `[allowed]` that lists what this difference changes, and nothing else."""
    prints = sorted({fingerprint(fact, difference.matched) for fact in wiring_of(difference)})
    lines = [_HEAD.rstrip("\n"), "wiring = [", *_rows(prints), "]"]
    seen: set[str] = set()
    for changes in difference.changes.values():
        for change in changes:
            if change.id not in seen:
                seen.add(change.id)
                lines += ["", "[[allowed.change]]", f'id = "{change.id}"', f"says = {quoted(_says(change.sentence))}"]
    return "\n".join(lines) + "\n"


def _rows(prints: list[str]) -> Iterator[str]:
    for start in range(0, len(prints), 5):
        yield "  " + " ".join(f'"{text}",' for text in prints[start : start + 5])


def _says(sentence: str) -> str:
    """A sentence as the language takes a text: what cannot be seen is escaped, and it is not longer than a text may be."""
    text = unicodedata.normalize("NFC", visible(sentence))
    text = "".join(sign if sign.isprintable() else f"\\u{ord(sign):04x}" for sign in text)
    return text if len(text) <= LONGEST else text[: LONGEST - 3] + "..."


def quoted(text: str) -> str:
    """A printable text as a TOML basic string: only the quote and the backslash mean something in it."""
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def drafted(judged: Judged, difference: Difference) -> list[str]:
    """What a commit message says of it."""
    told = [f"{EXCEEDED}: {each.sentence}" for each in exceeding(judged, difference)]
    return [*told, *permit_lines(judged, difference)]
