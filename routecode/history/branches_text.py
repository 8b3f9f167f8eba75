"""Places that git cannot join: what each side means there, by the facts that stand on those lines, or by the lines themselves."""

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from attrs import frozen

from routecode.change.besides import besides
from routecode.change.difference import Difference
from routecode.change.fact import Fact
from routecode.ground.place import At
from routecode.studio.opened import Opened

Lines = tuple[int, int]
"""First line, from 1, and how many."""
_HEAD = re.compile(r"\s*\[\[?\s*[A-Za-z0-9_\"'-]")
_MOST = 3
"""Lines of text that are shown where they are all that is known."""


class Place(NamedTuple):
    """A place that git cannot join: the line in the joined text, and the lines of ours, of theirs and of the base."""

    line: int
    ours: Lines
    theirs: Lines
    base: Lines


class Torn(NamedTuple):
    """A file that git cannot join: `file` below the studio's folder (None: it is no wiring of the studio), else by `path`."""

    path: str
    file: str | None
    kind: str
    places: tuple[Place, ...]


@frozen
class Conflict:
    """One place with what each side means there. `line` None: the file as a whole."""

    path: str
    file: str | None
    line: int | None
    kind: str
    ours: tuple[str, ...] = ()
    theirs: tuple[str, ...] = ()


def conflicts(torn: Iterable[Torn], ours: Difference, theirs: Difference) -> Iterator[Conflict]:
    """What is meant, place by place."""
    for path, file, kind, places in torn:
        if file is None or not places:
            yield Conflict(path, file, None, kind, *(_whole(file, side) for side in (ours, theirs)))
            continue
        for place in places:
            meant = (
                _meant(file, side, lines, place.base) for side, lines in ((ours, place.ours), (theirs, place.theirs))
            )
            yield Conflict(path, file, place.line, kind, *meant)


def _whole(file: str | None, side: Difference) -> tuple[str, ...]:
    """What a side did to a file, where git says of no line that it cannot be joined."""
    if file is None:
        return ()
    if file not in side.new.files.texts:
        return ("The file is gone.",)
    facts = [
        fact for fact in side.facts if any(at is not None and at.file == file for at in (fact.before_at, fact.after_at))
    ]
    return tuple(besides(facts, side.words, every=True))


def _meant(file: str, side: Difference, lines: Lines, base: Lines) -> tuple[str, ...]:
    """The facts of one side that stand on some lines, or did in the base; without any, the lines as they are."""
    text = _lines(side.new, file)
    for near in (_on, _in_tables):
        facts = [
            fact for fact in side.facts if near(_spot(side, fact, file), (text, lines), (_lines(side.old, file), base))
        ]
        if facts:
            return tuple(besides(facts, side.words, every=True))
    first, count = lines
    shown = [line.strip() for line in text[max(0, first - 1) : first - 1 + count] if line.strip()]
    more = [f"and {len(shown) - _MOST} more lines"] if len(shown) > _MOST else []
    return (*shown[:_MOST], *more)


_Found = tuple[int | None, int | None]
"""The line on which a fact stands in the side's text, or in that of the base."""
_Text = tuple[Sequence[str], Lines]


def _spot(side: Difference, fact: Fact, file: str) -> _Found:
    def line(opened: Opened, at: At | None) -> int | None:
        spot = opened.spot(at) if at is not None and at.file == file else None
        return spot.line if spot is not None else None

    return line(side.new, fact.after_at), line(side.old, fact.before_at)


def _on(found: _Found, *texts: _Text) -> bool:
    return any(
        line is not None and first <= line < first + count
        for line, (_, (first, count)) in zip(found, texts, strict=True)
    )


def _in_tables(found: _Found, *texts: _Text) -> bool:
    """Whether a fact stands in a table that reaches into the lines."""
    return any(
        line is not None and _head(text, line) in {_head(text, number) for number in range(first, first + count)}
        for line, (text, (first, count)) in zip(found, texts, strict=True)
    )


def _head(text: Sequence[str], line: int) -> int:
    """The line on which the table of a line begins."""
    return next((number for number in range(min(line, len(text)), 0, -1) if _HEAD.match(text[number - 1])), 0)


def _lines(opened: Opened, file: str) -> list[str]:
    return opened.files.texts.get(file, b"").decode(errors="replace").split("\n")
