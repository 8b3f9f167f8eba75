"""The history of a studio as a JSON document. Its shape is declared in `documents`."""

from collections.abc import Iterable

from routecode.ground.finding import Severity
from routecode.history.entry import Found
from routecode.history.log import Item
from routecode.show.document import PLACE, Row
from routecode.show.history_shapes import (
    HISTORY,
    HISTORY_ENTRY,
    HISTORY_ERROR,
    HISTORY_FOUND,
    HISTORY_KIND,
    HISTORY_RENAMED,
)


def history_document(items: Iterable[Item], title: str, commits: int) -> Row:
    """The document. `commits`: how many touched the wiring, shown or not."""
    return HISTORY.answer(title, commits, [_row(item) for item in items])


def _row(item: Item) -> Row:
    entry, commit = item.entry, item.commit
    error = None
    if entry.error is not None:
        text, file, line, column = entry.error
        error = HISTORY_ERROR.row(text, PLACE.row(file, max(line, 1), max(column, 1)) if file else None)
    return HISTORY_ENTRY.row(
        item.number,
        commit.id,
        list(commit.parents),
        commit.author,
        commit.when,
        commit.title,
        commit.body,
        entry.kind,
        entry.result or None,
        item.against,
        item.mended,
        item.cut,
        entry.only_text,
        entry.loses,
        entry.lost,
        entry.gained,
        entry.rerouted,
        [HISTORY_KIND.row(kind, sense or None, count) for kind, sense, count in entry.others],
        entry.failing,
        entry.met,
        _found(entry.new),
        _found(entry.gone),
        *(sorted(names) for names in (entry.rooms, entry.units, entry.bays, entry.setups)),
        [HISTORY_RENAMED.row(*each) for each in sorted(entry.renamed)],
        error,
        entry.errors,
        entry.meaning,
        list(entry.said),
    )


def _found(found: Found) -> Row:
    return HISTORY_FOUND.row(*(getattr(found, severity.value) for severity in Severity), list(found.told))
