"""`routecode diff --undo`: which edit is meant by a line of the text, and what undoing it brings back."""

import re
import sys
from collections.abc import Iterator, Sequence
from difflib import SequenceMatcher

from routecode.change.cause import Edit
from routecode.change.changes import Change
from routecode.change.difference import Difference
from routecode.change.matched import AFTER, BEFORE
from routecode.change.undo import Meant, Undone, described, meant, places, setup_undone, setups, together, undone
from routecode.cli.failure import Refused
from routecode.cli.say import page_of, say
from routecode.ground.finding import Mistake
from routecode.ground.place import Spot
from routecode.show.document import written
from routecode.show.escape import visible
from routecode.show.undo import undo_document, undo_text

_PLACE = re.compile(r"(?P<file>.+?):(?P<line>[0-9]{1,9})(?::[0-9]{1,9})?(?: \((?P<side>before|after)\))?")
_HEAD = re.compile(r"\s*\[\[?[A-Za-z0-9_-]")
_SETUP = re.compile(r"\s*\[\[?\s*setup\.([^].]+)")
_ID = re.compile(r"[0-9a-f]{12}")
_MOST = 12
_MOST_LINES = 2_000
"""Differing lines of a file that are paired one by one."""
_WIDEST = 44


def tell(difference: Difference, text: str, setup: str | None, prefix: str, *, as_json: bool) -> None:
    """Print the answer for a place such as `bays/north.toml:14`, or for the id of a change."""
    asked = _meant(difference, text, prefix)
    if asked.whole is not None:
        states: list[Undone] | None = [setup_undone(difference, asked.whole)]
    else:
        states = undone(difference, asked.edits, setup, one=setup is not None)
    if states is None:
        said = f"This edit cannot be undone alone, since others stand on it: {' '.join(asked.said)}"
        raise Refused(Mistake("undo-alone", visible(said), do=_with(difference, asked.edits)))
    if as_json:
        say(written(undo_document(difference, asked, states)))
    else:
        say(undo_text(difference, asked, states, page_of(difference.new, sys.stdout, prefix)))


def _meant(difference: Difference, text: str, prefix: str) -> Meant:
    """What a place or an id stands for (Refused where for nothing)."""
    by_id = {change.id: change for changes in difference.changes.values() for change in changes}
    of_setups = {change.id: whole for change, whole in setups(difference)}
    if text in of_setups:
        return of_setups[text]
    if text in by_id:
        return meant(difference, _edits_of(difference, by_id[text]))
    found = _PLACE.fullmatch(text)
    if found is None:
        raise Refused(_no_place(text))
    file, line = found["file"], int(found["line"])
    sides = [found["side"]] if found["side"] else [AFTER, BEFORE]
    choices = [*(meant(difference, [edit]) for edit in difference.causes.edits), *of_setups.values()]
    for same in (_same_line, _same_table, _same_setup):
        for side in sides:
            chosen = [
                one
                for one in choices
                if any(
                    spot.file in (file, file.removeprefix(prefix)) and same(difference, side, spot, line)
                    for where, spot in _spots(difference, one)
                    if where == side and (same is not _same_setup or one.whole is not None)
                )
            ]
            if chosen:
                return (
                    chosen[0] if len(chosen) == 1 else meant(difference, (edit for one in chosen for edit in one.edits))
                )
    said = f"No edit stands at {visible(text)}."
    if any(edited(*_sides(difference, file, prefix), side, line) for side in sides):
        said = f"What was edited at {visible(text)} changes no wiring."
    raise Refused(Mistake("undo-place", said, do=_known(difference)))


def _edits_of(difference: Difference, change: Change) -> list[Edit]:
    """The edits of a change; of one of levels or phantom power, those that stand where it is told (Refused without any)."""
    edits, told = difference.causes.edits, set(change.cause)
    found = [edit for edit in edits if edit.number in change.edits]
    found = found or [edit for edit in edits if not told.isdisjoint(places(edit))]
    if not found:
        said = f"The change {change.id} rests on no wiring that differs: {visible(change.sentence)}"
        raise Refused(Mistake("undo-change", said, do=_known(difference)))
    return found


def _no_place(text: str) -> Mistake:
    if _ID.fullmatch(text):
        do = "Its changes have their ids in: routecode diff --json"
        return Mistake("undo-change", f"This diff has no change with the id {text}.", do=do)
    do = "Write a line as diff prints it, such as bays/north.toml:14, or the id of a change."
    return Mistake("undo-place", f'"{visible(text)}" is no line of a file.', do=do)


def _sides(difference: Difference, file: str, prefix: str) -> tuple[list[str], list[str]]:
    """The lines of a file before and after; none where a side has no such file."""
    names = (file, file.removeprefix(prefix))
    texts = (opened.files.texts for opened in (difference.old, difference.new))
    before, after = (next((side[name] for name in names if name in side), b"") for side in texts)
    return before.decode(errors="replace").splitlines(), after.decode(errors="replace").splitlines()


def edited(before: Sequence[str], after: Sequence[str], side: str, line: int) -> bool:
    """Whether a line of one side is not on the other; of very much that differs, all between the first and the last such line."""
    start, shorter = 0, min(len(before), len(after))
    while start < shorter and before[start] == after[start]:
        start += 1
    end = 0
    while end < shorter - start and before[-1 - end] == after[-1 - end]:
        end += 1
    middles = before[start : len(before) - end], after[start : len(after) - end]
    index, which = line - 1 - start, side == AFTER
    if not 0 <= index < len(middles[which]):
        return False
    if max(map(len, middles)) > _MOST_LINES:
        return True
    blocks = SequenceMatcher(None, *middles, autojunk=False).get_matching_blocks()
    return not any(block[which] <= index < block[which] + block.size for block in blocks)


def _same_line(_difference: Difference, _side: str, spot: Spot, line: int) -> bool:
    return spot.line == line


def _same_table(difference: Difference, side: str, spot: Spot, line: int) -> bool:
    """Whether a line is in the same table of the text as a place."""
    lines = _lines(difference, side, spot)
    return line <= len(lines) and _head(lines, line) == _head(lines, spot.line)


def _same_setup(difference: Difference, side: str, spot: Spot, line: int) -> bool:
    """Whether a line is in a table of the same setup."""
    lines = _lines(difference, side, spot)
    if line > len(lines):
        return False
    heads = [_SETUP.match(lines[_head(lines, number) - 1]) for number in (line, spot.line) if _head(lines, number)]
    return len({head and head[1] for head in heads}) == 1 and len(heads) == 2 and heads[0] is not None


def _lines(difference: Difference, side: str, spot: Spot) -> list[str]:
    opened = difference.old if side == BEFORE else difference.new
    return opened.files.texts[spot.file].decode(errors="replace").splitlines()


def _head(lines: Sequence[str], line: int) -> int:
    """The line on which the table of a line begins."""
    return next((number for number in range(line, 0, -1) if _HEAD.match(lines[number - 1])), 0)


def _with(difference: Difference, edits: Sequence[Edit]) -> str:
    """What would have to be undone as well."""
    for other in together(difference, edits):
        spot = next((spot for _, spot in _spots(difference, meant(difference, [other]))), None)
        where = f"{visible(spot.file)}:{spot.line}, " if spot is not None else ""
        return f"Undo it together with this one: {where}{visible(' '.join(described([other], difference)))}"
    return (
        "Several would have to be undone with it. What a change rests on is undone with its id: routecode diff --json"
    )


def shortened(text: str, most: int) -> str:
    """A text of at most so many signs."""
    return text if len(text) <= most else f"{text[: most - 3].rstrip()}..."


def _spots(difference: Difference, what: Meant) -> Iterator[tuple[str, Spot]]:
    """(side, place) of all that is meant."""
    for side, at in what.places:
        spot = (difference.old if side == BEFORE else difference.new).spot(at)
        if spot is not None:
            yield side, spot


def _known(difference: Difference) -> str:
    """The edits there are, a line each."""
    choices = [*(meant(difference, [edit]) for edit in difference.causes.edits[:_MOST])]
    choices += [whole for _, whole in setups(difference)]
    if not choices:
        return "The two differ in no wiring, so there is nothing to undo."
    lines = []
    for each in choices[:_MOST]:
        spot = next((spot for _, spot in _spots(difference, each)), None)
        first, *rest = each.said
        what = f"{shortened(first, _WIDEST)}{' ...' if rest else ''}"
        lines.append(f"{visible(spot.file)}:{spot.line}  {visible(what)}" if spot is not None else visible(what))
    more = len(difference.causes.edits) + len(setups(difference)) - min(_MOST, len(choices))
    return "\n".join(["The edits there are:", *lines, *([f"and {more} more"] if more > 0 else [])])
