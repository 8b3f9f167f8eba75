"""What comes back if an edit is undone: the answer of `diff --undo` as text and as a document."""

from collections.abc import Sequence

from routecode.change.changes import GAIN, LOSS, RISK, Change
from routecode.change.claims import GONE
from routecode.change.delta import Pair
from routecode.change.difference import Difference
from routecode.change.matched import BEFORE
from routecode.change.undo import Meant, Undone
from routecode.ground.place import At
from routecode.show.diagnostic import Page
from routecode.show.difference_document import causes
from routecode.show.document import Row
from routecode.show.documents import PATH, UNDO, UNDONE
from routecode.show.escape import visible
from routecode.show.measure import wrapped

BACK, AGAIN, RISKS, ENDED, REST = "Comes back", "Goes again", "At risk then", "Risks that end", "To note"
_HEADINGS = {GAIN: BACK, LOSS: AGAIN, RISK: RISKS}
_SHOWN = 6
"""Places of an edit that are named."""


def undo_text(difference: Difference, meant: Meant, states: Sequence[Undone], page: Page) -> str:
    """The whole answer."""
    several = len(meant.edits) > 1
    lines = [f"What {'these edits' if several else 'this edit'} did:"]
    for text in meant.said:
        lines += _item(text, page)
    spots = [spot for side, at in meant.places if (spot := _spot(difference, side, at))]
    lines += [page.paint(f"    {spot}", "quiet") for spot in spots[:_SHOWN]]
    if len(spots) > _SHOWN:
        lines.append(page.paint(f"    and {len(spots) - _SHOWN} more", "quiet"))
    lines += ["", f"If {'they are' if several else 'it is'} undone, and nothing else:"]
    told = _told(states)
    if not told:
        lines.append("No path changes.")
    for heading in (BACK, AGAIN, RISKS, ENDED, REST):
        if heading in told:
            lines += ["", page.paint(heading, "strong")]
            lines += [line for text in told[heading] for line in _item(text, page)]
    return "\n".join(lines) + "\n"


def _told(states: Sequence[Undone]) -> dict[str, list[str]]:
    """What is said under each heading; each sentence once, with the states where it is not true of all."""
    found: dict[tuple[str, str], list[Undone]] = {}
    for state in states:
        for change in state.changes:
            found.setdefault((_heading(change), change.sentence), []).append(state)
    told: dict[str, list[str]] = {}
    for (heading, sentence), of in found.items():
        names = ["unpatched" if one.setup is None else f"in {one.names.words.setup(one.setup)}" for one in of]
        told.setdefault(heading, []).append(sentence if len(of) == len(states) else f"{sentence} ({', '.join(names)})")
    return told


def _heading(change: Change) -> str:
    if change.kind in ("tied", "feedback") and change.sense == GONE:
        return ENDED
    return _HEADINGS.get(change.harm, REST)


def _spot(difference: Difference, side: str, at: At) -> str:
    spot = (difference.old if side == BEFORE else difference.new).spot(at)
    return f"{visible(spot.file)}:{spot.line}:{spot.column} ({side})" if spot is not None else ""


def _item(text: str, page: Page) -> list[str]:
    first, *rest = wrapped(visible(text), page.width - 2)
    return [f"- {first}", *(f"  {line}" for line in rest)]


def undo_document(difference: Difference, meant: Meant, states: Sequence[Undone]) -> Row:
    """The document."""
    rows = [
        UNDONE.row(
            state.setup,
            _paths(state, state.delta.gained),
            _paths(state, state.delta.lost),
            [change.sentence for change in state.changes],
        )
        for state in states
    ]
    return UNDO.answer(difference.old.name, difference.new.name, causes(meant.places, difference), rows)


def _paths(state: Undone, pairs: frozenset[Pair]) -> list[Row]:
    name = state.names.matched.channel_name
    return PATH.rows(sorted((name(source), name(target), idle) for source, target, idle in pairs))
