"""The answer of `before-merge` for people, as text and as Markdown: the verdict first and last."""

from collections.abc import Iterator

from attrs import evolve

from routecode.history.branches import Branches
from routecode.history.branches_kinds import AHEAD, CONTAINED, SAME
from routecode.show.branches_sections import Called, Item, Section, sections, verdict
from routecode.show.diagnostic import Page, all_mistakes
from routecode.show.difference_markdown import LIMIT
from routecode.show.escape import visible
from routecode.show.markdown import code, escaped, units
from routecode.show.measure import padded, width, wrapped
from routecode.show.spoken import counted
from routecode.show.spots import in_order, spot_of

MOST = 12
"""Things that both sides changed which are told of one kind; the document lists all."""
_BROKEN = "What comes out does not compile"
_WIDEST = 20
"""Columns for the name of a side."""
_ALL = "--json lists all."


def nothing_to_join(called: Called) -> str:
    """What is said where one side holds all of the other."""
    if called.relation == SAME:
        if called.theirs == called.ours:
            return f"{called.theirs} is what it would be joined into: {called.said[0]}. There is nothing to join."
        return f"{called.theirs} and {called.ours} are the same commit: {called.said[0]}. There is nothing to join."
    return f"All of {called.theirs} is already in {called.ours}. There is nothing to join."


def is_settled(called: Called) -> bool:
    """Whether there is nothing to join."""
    return called.relation in (SAME, CONTAINED)


def _parted(called: Called) -> str:
    ours, theirs = (counted(number, "commit") for number in called.counts)
    if called.relation == AHEAD:
        return f"{called.ours} has not moved since: git will take {called.theirs} over as it is ({theirs})."
    return f"They parted at {called.base_said}: since then {ours} on {called.ours}, {theirs} on {called.theirs}."


# -- text ----------------------------------------------------------------------------------------------------------------


def branches_text(branches: Branches, called: Called, page: Page) -> str:
    """The whole report."""
    said = verdict(branches)
    lines = [*_wrap(f"Into: {called.ours}, {called.said[0]}", page, 6)]
    lines += _wrap(f"From: {called.theirs}, {called.said[1]}", page, 6)
    lines += _wrap(_parted(called), page, 0)
    for note in called.notes:
        lines += _wrap(note, page, 0)
    lines += ["", *(page.paint(line, "strong") for line in _wrap(said, page, 0))]
    body: list[str] = []
    if branches.mistakes:
        body += ["", page.paint(_BROKEN, "strong"), ""]
        body += _mistakes_text(branches, page)
    for section in sections(branches, called):
        body += ["", page.paint(section.heading, "strong"), *_section(section, page)]
    if branches.notes:
        body += ["", *_wrap(f"{counted(branches.notes, 'note')} besides that neither side has.", page, 0)]
    lines += [*body, *(["", *_wrap(said, page, 0)] if body else [])]
    return "\n".join(lines) + "\n"


def _mistakes_text(branches: Branches, page: Page) -> list[str]:
    """The mistakes as they are shown everywhere, without the count below them."""
    told = all_mistakes(branches.mistakes, evolve(page, opened=branches.joined, prefix="")).rstrip("\n").split("\n")
    return told if len(branches.mistakes) < 2 else told[:-2]


def _section(section: Section, page: Page) -> Iterator[str]:
    shown = section.items[:MOST] if section.heading.startswith("Both") else section.items
    for item in shown:
        yield from _wrap(f"- {item.text}", page, 2)
        yield from _sides(item, page)
        if item.places:
            where = ", ".join(f"{spot.file}:{spot.line}:{spot.column} ({who})" for spot, who in item.places)
            yield from (page.paint(line, "quiet") for line in _wrap(f"    {where}", page, 6))
    if len(shown) < len(section.items):
        yield from _wrap(f"- and {len(section.items) - len(shown)} more: {_ALL}", page, 2)


def _sides(item: Item, page: Page) -> Iterator[str]:
    """What each side did, beside its name."""
    indent = min(max((width(f"{visible(who)}:") for who, _ in item.sides), default=0), _WIDEST) + 5
    last = ""
    for who, text in item.sides:
        label = f"    {visible(who)}:" if who != last else ""
        first, *rest = wrapped(visible(text), page.width - indent)
        if width(label) >= indent:  # a long name has a line of its own
            yield from _wrap(label, page, 4)
            label = ""
        yield padded(label, indent) + first
        yield from (" " * indent + line for line in rest)
        last = who


def _wrap(text: str, page: Page, indent: int) -> list[str]:
    shown = visible(text)
    lead = len(shown) - len(shown.lstrip(" "))
    first, *rest = wrapped(shown[lead:], page.width - max(lead, indent))
    return [" " * lead + first, *(" " * max(lead, indent) + line for line in rest)]


# -- Markdown ------------------------------------------------------------------------------------------------------------


def branches_markdown(branches: Branches, called: Called, prefix: str) -> str:
    """The report for a pull request; `prefix` leads from the repository to the studio."""
    said = f"**{escaped(verdict(branches))}**"
    into, other = (f"{called.names[side]}, {called.said[side]}" for side in (0, 1))
    lines = [said, "", f"Into: {escaped(into, called.ids)}  ", f"From: {escaped(other, called.ids)}", ""]
    lines.append(escaped(_parted(called), called.ids))
    for note in called.notes:
        lines += ["", f"> {escaped(note, called.ids)}"]
    body: list[str] = []
    if branches.mistakes:
        body += ["", f"### {_BROKEN}", "", *_mistakes(branches, prefix)]
    for section in sections(branches, called):
        body += ["", f"### {section.heading}", ""]
        body += [line for item in section.items for line in _item(item, prefix, called.ids)]
    body, left_out = _cut(body, LIMIT - units("\n".join(lines)) - units(said) - _RESERVE)
    if left_out:
        lines += ["", f"> {counted(left_out, 'line')} would not fit here. All of it: {code(_COMMAND)}"]
    return "\n".join([*lines, *body, *(["", said] if body else [])]) + "\n"


def _cut(lines: list[str], room: int) -> tuple[list[str], int]:
    """As many lines as there is room for, and how many are left out."""
    for number, line in enumerate(lines):
        room -= units(line) + 1
        if room < 0:
            return lines[:number], len(lines) - number
    return lines, 0


_RESERVE = 300
"""Characters for what is said about leaving out."""
_COMMAND = "routecode before-merge --json"


def _mistakes(branches: Branches, prefix: str) -> Iterator[str]:
    found = in_order(branches.mistakes, branches.joined)
    for mistake in found:
        spot = spot_of(mistake, branches.joined)
        where = f" {code(f'{prefix}{spot.file}:{spot.line}:{spot.column}')}" if spot is not None else ""
        yield f"- {escaped(mistake.text)}{where}"


def _item(item: Item, prefix: str, ids: tuple[str, ...]) -> Iterator[str]:
    where = "".join(f" {code(f'{prefix}{spot.file}:{spot.line}')} ({escaped(who, ids)})" for spot, who in item.places)
    yield f"- {escaped(item.text, ids)}{where}"
    yield from (f"  - {escaped(who, ids)}: {escaped(text, ids)}" for who, text in item.sides)
