"""The answer of `diff` as Markdown for a pull request: the worst first, cut from the end where it would not fit into a comment.

What it says is put in order in `difference_sections`; texts are escaped in `markdown`.
"""

from collections.abc import Iterator

from routecode.change.changes import HARMS
from routecode.change.difference import Difference
from routecode.show.difference_sections import (
    CUT,
    HEADINGS,
    Item,
    Scope,
    Section,
    over_states,
    places,
    result_text,
    sections,
)
from routecode.show.markdown import code, escaped

LIMIT = 65_536
"""The longest comment that the usual forges take, in characters (from memory)."""
_RESERVE = 400
_FOLDED = ("By jack", "Cabling", "Equipment", "Besides", "New findings", "Findings gone")
"""Sections that open on request."""
_SHOWN_PLACES = 2


def difference_markdown(
    difference: Difference, before: str, after: str, scope: Scope, command: str, limit: int = LIMIT
) -> str:
    """The report of at most `limit` characters. `command` gives the whole of it."""
    result = f"**{escaped(result_text(difference))}**"
    head = [result, "", f"Before: {escaped(before)}  ", f"After: {escaped(after)}", *_counts(difference, scope)]
    if any(delta.cut for delta in difference.states):
        head += ["", escaped(CUT)]
    room = limit - _RESERVE - len("\n".join(head)) - len(result)
    body: list[str] = []
    left_out = 0
    for section in sections(difference, scope):
        told, missing, room = _fitted(section, difference, room)
        body += told
        left_out += missing
    notice = [] if not left_out else ["", f"> {left_out:,} more could not be shown here. All of it: {code(command)}"]
    return "\n".join([*head, *body, *notice, "", result]) + "\n"


def _counts(difference: Difference, scope: Scope) -> list[str]:
    told = [each for each in over_states(difference, scope) if each.change.under is None]
    counts = [(HEADINGS[harm], sum(1 for each in told if each.change.harm == harm)) for harm in HARMS]
    words = ", ".join(f"{name.lower()}: {count}" for name, count in counts if count)
    return ["", f"{words[:1].upper()}{words[1:]}."] if words else []


def _fitted(section: Section, difference: Difference, room: int) -> tuple[list[str], int, int]:
    """The lines of a section as far as there is room, how much of it is left out, and the room that is left."""
    rows = list(_rows(section)) if section.rows else [_item(item, difference) for item in section.items]
    folded = section.heading in _FOLDED
    count = f" ({len(rows)})" if folded else ""
    lines = (
        ["", f"<details><summary>{section.heading}{count}</summary>", ""]
        if folded
        else ["", f"### {section.heading}", ""]
    )
    if section.rows:
        lines += ["| jack | was | is |", "|---|---|---|"]
    end = ["", "</details>"] if folded else []
    room -= sum(len(line) + 1 for line in (*lines, *end))
    for number, row in enumerate(rows):
        room -= len(row) + 1
        if room < 0:
            return ([*lines, *end] if number else []), len(rows) - number, 0
        lines.append(row)
    return [*lines, *end], 0, room


def _rows(section: Section) -> Iterator[str]:
    for row in section.rows:
        yield f"| {escaped(row.jacks)} | {escaped(row.was)} | {escaped(row.now)} |"


def _item(item: Item, difference: Difference) -> str:
    text = f"- {escaped(item.text)}"
    if item.told is not None:
        spots = places(item.told.change, difference, _SHOWN_PLACES)
        text += "".join(f" {code(f'{spot.file}:{spot.line}')}" for _, spot in spots)
    for each in item.below:
        text += f"\n  - {escaped(each.text)}"
    return text
