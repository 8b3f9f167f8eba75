"""The answer of `diff` as Markdown for a pull request: the result first, then the worst; what would not fit is left out by harm.

What it says is put in order in `difference_sections`; texts are escaped in `markdown`. A wiring that cannot be read is told here too, so that
a comment never looks as if nothing had changed.
"""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from routecode.change.changes import GAIN, LOSS, NOTE, RISK
from routecode.change.difference import Difference
from routecode.ground.finding import Mistake
from routecode.show.allowed import AWAITED, EXCEEDED, PERMIT
from routecode.show.difference_sections import (
    ASKED,
    CUT,
    FAILING,
    HEADINGS,
    JACKS,
    MET,
    STATES,
    UNASKED,
    Item,
    Scope,
    Section,
    places,
    result_text,
    sections,
)
from routecode.show.markdown import code, escaped, named_at, units
from routecode.show.spoken import counted
from routecode.show.spots import spot_of
from routecode.studio.opened import Opened

LIMIT = 65_000
"""What a report takes at most, in characters. Forges document 65,536 for a comment (a figure from memory); who posts it may add a mark."""
_NEW_FINDINGS = "New findings"
_KEPT = (
    *(
        FAILING,
        EXCEEDED,
        PERMIT,
        HEADINGS[LOSS],
        HEADINGS[RISK],
        UNASKED,
        _NEW_FINDINGS,
        HEADINGS[GAIN],
        MET,
        ASKED,
        STATES,
    ),
    *(HEADINGS[NOTE], AWAITED),
)
"""What is kept longest, first; other sections are lists to look things up in, and go before them."""
_SUMMED = (FAILING, EXCEEDED, HEADINGS[LOSS], HEADINGS[RISK], HEADINGS[GAIN], HEADINGS[NOTE])
_NEVER_FOLDED = (FAILING, EXCEEDED, PERMIT, HEADINGS[LOSS], HEADINGS[RISK])
_FOLDED_FROM = 12
_ALWAYS_FOLDED = (JACKS, "Cabling", "Equipment", "Besides", _NEW_FINDINGS, "Findings gone")
_SHOWN_PLACES = 2
_RESERVE = 300
"""Characters for what is said about leaving out."""


class Named(NamedTuple):
    """What the two sides are called, the command that gives the whole report, what leads from the repository to the studio."""

    before: str
    after: str
    command: str
    prefix: str = ""


class _Block(NamedTuple):
    """A section in lines: those around it are kept together, those in it can be left out from the end."""

    opening: tuple[str, ...]
    lines: tuple[str, ...]
    closing: tuple[str, ...]
    more: str
    """How a line says that more is left out; takes the number."""

    def cut(self, room: int) -> tuple[list[str], int, int]:
        """As many lines as there is room for, how many are left out, the room that is left (0 after a cut)."""
        room -= sum(units(line) + 1 for line in (*self.opening, *self.closing, self.more)) + 10
        for number, line in enumerate(self.lines):
            room -= units(line) + 1
            if room < 0:
                missing = len(self.lines) - number
                shown = [*self.opening, *self.lines[:number], self.more.format(missing), *self.closing]
                return (shown if number else []), missing, 0
        return [*self.opening, *self.lines, *self.closing], 0, room


def difference_markdown(difference: Difference, named: Named, scope: Scope, limit: int = LIMIT) -> str:
    """The report, of at most `limit` characters; where it was cut, it says so and gives the command for all of it."""
    result = f"**{escaped(result_text(difference))}**"
    told = list(sections(difference, scope))
    head = [result, "", *_sides(named), *_summary(told)]
    if any(delta.cut for delta in difference.states):
        head += ["", escaped(CUT)]
    blocks = [_block(section, difference, named.prefix) for section in told]
    room = limit - units("\n".join([*head, "", result, ""])) - units(named.command) - _RESERVE
    shown: dict[int, list[str]] = {}
    left_out = 0
    for number in sorted(range(len(told)), key=lambda number: _weight(told[number].heading)):
        shown[number], missing, room = blocks[number].cut(room)
        left_out += missing
    lines = [line for number in sorted(shown) for line in shown[number]]
    if left_out:
        said = f"{counted(left_out, 'line')} would not fit here, the least harmful first. All of it:"
        head += ["", f"> {said} {code(named.command)}"]
    return "\n".join([*head, *lines, *(["", result] if lines else [])]) + "\n"


def refused_markdown(mistakes: Sequence[Mistake], opened: Opened | None, prefix: str, limit: int = LIMIT) -> str:
    """That nothing was compared, and why."""
    head = f"**Nothing was compared: {counted(len(mistakes), 'error')}.**"
    lines = tuple(_mistake(mistake, opened, prefix) for mistake in mistakes)
    block = _Block(("", "### Errors", ""), lines, (), "- {} more.")
    return "\n".join([head, *block.cut(limit - units(head))[0]]) + "\n"


def _mistake(mistake: Mistake, opened: Opened | None, prefix: str) -> str:
    spot = spot_of(mistake, opened)
    where = code(f"{prefix}{spot.file}:{spot.line}:{spot.column}") if spot is not None else ""
    do, *commands = mistake.do.split("\n")
    texts = (escaped(mistake.text), where, escaped(do), *map(code, commands))
    return f"- {' '.join(filter(None, texts))}"


def _sides(named: Named) -> tuple[str, str]:
    before, after = (escaped(said, named_at(said)) for said in (named.before, named.after))
    return f"Before: {before}  ", f"After: {after}"


def _weight(heading: str) -> int:
    return _KEPT.index(heading) if heading in _KEPT else len(_KEPT)


def _summary(told: Iterable[Section]) -> list[str]:
    """How many of each harm."""
    counts = {section.heading: len(section.items) for section in told}
    words = ", ".join(f"{heading.lower()}: {counts[heading]:,}" for heading in _SUMMED if heading in counts)
    return ["", f"{words[:1].upper()}{words[1:]}."] if words else []


def _block(section: Section, difference: Difference, prefix: str) -> _Block:
    count = len(section.rows or section.items)
    folded = section.heading in _ALWAYS_FOLDED or (count >= _FOLDED_FROM and section.heading not in _NEVER_FOLDED)
    opening = [
        "",
        f"<details><summary>{section.heading} ({count:,})</summary>" if folded else f"### {section.heading}",
        "",
    ]
    closing = ("", "</details>") if folded else ()
    if section.rows:
        opening += ["| jack | was | is |", "|---|---|---|"]
        return _Block(tuple(opening), tuple(_rows(section)), closing, "| {} more | | |")
    lines = (line for item in section.items for line in _item(item, difference, prefix))
    return _Block(tuple(opening), tuple(lines), closing, "- {} more.")


def _rows(section: Section) -> Iterator[str]:
    for row in section.rows:
        yield f"| {escaped(row.jacks)} | {escaped(row.was)} | {escaped(row.now)} |"


def _item(item: Item, difference: Difference, prefix: str) -> Iterator[str]:
    """What is said, with the places of its causes; below it what follows from it."""
    text = f"- {escaped(item.text)}"
    if item.told is not None:
        shown = places(item.told.change, difference, _SHOWN_PLACES)
        text += "".join(f" {code(f'{prefix}{spot.file}:{spot.line}')} ({side})" for side, spot in shown)
    yield text
    if item.below:
        yield "  - Because of this:"
    yield from (f"    - {escaped(each.text)}" for each in item.below)
