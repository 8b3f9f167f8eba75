"""What comes back if an edit is undone: the answer of `diff --undo` as text and as a document."""

from collections.abc import Iterator, Sequence

from routecode.change.cause import Edit
from routecode.change.changes import GAIN, LOSS, RISK
from routecode.change.delta import Pair
from routecode.change.difference import Difference
from routecode.change.matched import BEFORE
from routecode.change.undo import Undone, described, places
from routecode.ground.place import At
from routecode.show.diagnostic import Page
from routecode.show.difference_document import causes
from routecode.show.document import Row
from routecode.show.documents import PATH, UNDO, UNDONE
from routecode.show.escape import visible
from routecode.show.measure import wrapped

_HEADINGS = ((GAIN, "Comes back"), (LOSS, "Goes again"), (RISK, "At risk then"))


def undo_text(difference: Difference, edits: Sequence[Edit], states: Sequence[Undone], page: Page) -> str:
    """The whole answer."""
    lines = ["If this edit is undone, and nothing else:"]
    for text in described(edits, difference):
        lines += _item(text, page)
    for edit in edits:
        spots = [_spot(difference, side, at) for side, at in places(edit)]
        lines += [page.paint(f"    {spot}", "quiet") for spot in spots if spot]
    for state in states:
        lines += ["", *_state(state, page)]
    return "\n".join(lines) + "\n"


def _spot(difference: Difference, side: str, at: At) -> str:
    spot = (difference.old if side == BEFORE else difference.new).spot(at)
    return f"{visible(spot.file)}:{spot.line}:{spot.column} ({side})" if spot is not None else ""


def _state(state: Undone, page: Page) -> Iterator[str]:
    name = "Unpatched" if state.setup is None else visible(state.names.words.setup(state.setup))
    told = [(heading, [one for one in state.changes if one.harm == harm]) for harm, heading in _HEADINGS]
    rest = [one for one in state.changes if one.harm not in {harm for harm, _ in _HEADINGS}]
    if not state.changes:
        yield f"{name}: no path changes."
        return
    yield f"{name}:"
    for heading, changes in (*told, ("To note", rest)):
        if changes:
            yield page.paint(f"  {heading}", "strong")
            for change in changes:
                yield from _item(change.sentence, page)


def _item(text: str, page: Page) -> list[str]:
    first, *rest = wrapped(visible(text), page.width - 2)
    return [f"- {first}", *(f"  {line}" for line in rest)]


def undo_document(difference: Difference, edits: Sequence[Edit], states: Sequence[Undone]) -> Row:
    """The document."""
    said = [place for edit in edits for place in places(edit)]
    rows = [
        UNDONE.row(
            state.setup,
            _paths(state, state.delta.gained),
            _paths(state, state.delta.lost),
            [change.sentence for change in state.changes],
        )
        for state in states
    ]
    return UNDO.answer(difference.old.name, difference.new.name, causes(said, difference), rows)


def _paths(state: Undone, pairs: frozenset[Pair]) -> list[Row]:
    name = state.names.matched.channel_name
    return PATH.rows(sorted((name(source), name(target), idle) for source, target, idle in pairs))
