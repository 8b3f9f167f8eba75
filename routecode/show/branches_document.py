"""The answer of `before-merge` as a JSON document."""

from collections.abc import Sequence
from typing import NamedTuple

from routecode.history.branches import Branches
from routecode.history.branches_kinds import JOINED, OURS
from routecode.history.branches_wrong import Wrong
from routecode.show.branches_shapes import BEFORE_MERGE, BOTH, ENDS, STANDS, TORN, WRONG
from routecode.show.document import Row, mistake_rows, place


class Asked(NamedTuple):
    """Ids of the commits, how they stand to each other, and (file, driver) where git would run a program."""

    ours: str
    theirs: str
    bases: Sequence[str]
    relation: str
    drivers: Sequence[tuple[str, str]] = ()


def branches_document(asked: Asked, branches: Branches | None) -> Row:
    """The document; without `branches` there is nothing to join."""
    torn = [] if branches is None else branches.torn
    apart = branches is not None and not branches.compiles
    wiring_torn = any(each.file is not None for each in torn)
    return BEFORE_MERGE.answer(
        asked.ours,
        asked.theirs,
        sorted(asked.bases),
        asked.relation,
        branches is None or branches.fine,
        [] if branches is None else _torn(branches),
        None if wiring_torn else [] if branches is None else mistake_rows(branches.mistakes, branches.joined),
        None
        if apart
        else []
        if branches is None
        else sorted((_wrong(each, branches) for each in branches.wrong), key=str),
        [] if branches is None else sorted(_both(branches), key=str),
        [{"file": file, "driver": driver} for file, driver in sorted(asked.drivers)],
    )


def _torn(branches: Branches) -> list[Row]:
    return [
        TORN.row(each.path, each.line, each.kind, each.file is not None, list(each.ours), list(each.theirs))
        for each in branches.conflicts
    ]


def _wrong(wrong: Wrong, branches: Branches) -> Row:
    texts = {JOINED: branches.joined, OURS: branches.ours}
    stands = [STANDS.row(text, place(texts.get(text, branches.theirs).spot(at))) for text, at in wrong.places]
    found = wrong.finding
    return WRONG.row(
        wrong.kind,
        wrong.side,
        sorted(set(wrong.setups), key=lambda name: name or ""),
        ENDS.rows(wrong.paths),
        None if found is None else found.rule,
        None if found is None else found.severity.value,
        [] if found is None else list(found.at),
        stands,
        wrong.text,
    )


def _both(branches: Branches) -> list[Row]:
    return [
        BOTH.row(
            each.kind,
            sorted(each.names),
            sorted(set(each.setups), key=lambda name: name or ""),
            each.alike,
            list(each.ours),
            list(each.theirs),
        )
        for each in branches.both
    ]
