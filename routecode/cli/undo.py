"""`routecode diff --undo`: which edit is meant by a line of the text, and what undoing it brings back."""

import re
import sys
from collections.abc import Iterator

from routecode.change.cause import Edit
from routecode.change.difference import Difference
from routecode.change.matched import BEFORE
from routecode.change.undo import described, places, undone
from routecode.cli.failure import Refused
from routecode.cli.say import page_of, say
from routecode.ground.finding import Mistake
from routecode.ground.place import Spot
from routecode.show.document import written
from routecode.show.escape import visible
from routecode.show.undo import undo_document, undo_text

_PLACE = re.compile(r"(?P<file>.+?):(?P<line>[0-9]{1,9})(?::[0-9]{1,9})?")
_MOST = 12
_WIDEST = 44


def tell(difference: Difference, text: str, setup: str | None, prefix: str, *, as_json: bool) -> None:
    """Print the answer for a place such as `bays/north.toml:14`, or for the id of a change."""
    edits = _meant(difference, text, prefix)
    states = undone(difference, edits, setup, one=setup is not None)
    if states is None:
        said = "This edit cannot be undone alone: what others changed since stands on it."
        raise Refused(Mistake("undo-alone", said, do="Undo them together: give the id of a change, from diff --json."))
    if as_json:
        say(written(undo_document(difference, edits, states)))
    else:
        say(undo_text(difference, edits, states, page_of(difference.new, sys.stdout, prefix)))


def _meant(difference: Difference, text: str, prefix: str) -> list[Edit]:
    by_id = {change.id: change for changes in difference.changes.values() for change in changes}
    if text in by_id:
        return [difference.causes.edits[number] for number in sorted(by_id[text].edits)]
    found = _PLACE.fullmatch(text)
    if found is None:
        do = "Write a line as diff prints it, such as bays/north.toml:14, or the id of a change."
        raise Refused(Mistake("undo-place", f'"{visible(text)}" is no line of a file.', do=do))
    file, line = found["file"], int(found["line"])
    files = {file, file.removeprefix(prefix)}
    edits = [
        edit
        for edit in difference.causes.edits
        if any(s.file in files and s.line == line for s in _spots(difference, edit))
    ]
    if not edits:
        raise Refused(Mistake("undo-place", f"No edit stands at {visible(text)}.", do=_known(difference)))
    return edits


def shortened(text: str, most: int) -> str:
    """A text of at most so many signs."""
    return text if len(text) <= most else f"{text[: most - 3].rstrip()}..."


def _spots(difference: Difference, edit: Edit) -> Iterator[Spot]:
    for side, at in places(edit):
        spot = (difference.old if side == BEFORE else difference.new).spot(at)
        if spot is not None:
            yield spot


def _known(difference: Difference) -> str:
    """The edits there are, a line each."""
    if not difference.causes.edits:
        return "The two differ in no wiring, so there is nothing to undo."
    lines = []
    for edit in difference.causes.edits[:_MOST]:
        spot = next(_spots(difference, edit), None)
        first, *rest = described([edit], difference)
        what = f"{shortened(first, _WIDEST)}{' ...' if rest else ''}"
        lines.append(f"{visible(spot.file)}:{spot.line}  {visible(what)}" if spot is not None else visible(what))
    more = len(difference.causes.edits) - _MOST
    return "\n".join(["The edits there are:", *lines, *([f"and {more} more"] if more > 0 else [])])
