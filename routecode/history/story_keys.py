"""Of a statement that two revisions have otherwise, the key that differs: what a commit wrote, and not where its statement begins.

The statement of the other revision that is meant is the one with the same name, or of a list the one that says most of the same.
Pure over what the files say; what the statement means is not asked.
"""

from collections.abc import Iterator
from typing import Any, NamedTuple

from routecode.change.matched import AFTER, BEFORE
from routecode.files.scan import Path
from routecode.ground.place import At
from routecode.history.story_place import Step
from routecode.studio.opened import Opened

_WORDS = frozenset(("title", "notes", "number", "metres", "loom", "type", "because", "group", "make", "rack", "room"))
"""Keys that join nothing: named only where no other key differs."""
_KNOWN_BY = ("at", "from", "to", "top", "bottom", "number", "name", "path")
"""Keys of which one at least is the same where two statements of a list are one."""


class Key(NamedTuple):
    """Where a difference stands: the side whose text has it, and the place; `differs`: it is one."""

    side: str
    at: At
    differs: bool


class _Statement(NamedTuple):
    """A table in a file."""

    file: str
    path: Path
    says: dict[str, Any]

    def at(self, key: str) -> At:
        return At(self.file, (*self.path, key))


def key_of(step: Step, side: str, at: At) -> Key:
    """The key that differs in the statement at a place of one side; the place itself where it is one, or nothing is known."""
    opened, other = (step.older, step.newer) if side == BEFORE else (step.newer, step.older)
    own = _statement(opened, at)
    if own is None:
        return Key(side, at, True)
    partner = _partner(opened, other, own)
    if partner is None:
        return Key(side, at, True)
    before, after = (own, partner) if side == BEFORE else (partner, own)
    keys = sorted(_differing(before.says, after.says), key=lambda key: key in _WORDS)
    if not keys:
        return Key(side, at, False)
    asked = at.path[len(own.path)] if len(at.path) > len(own.path) else None
    key = asked if isinstance(asked, str) and asked in keys else keys[0]
    return Key(AFTER, after.at(key), True) if key in after.says else Key(BEFORE, before.at(key), True)


def _differing(before: dict[str, Any], after: dict[str, Any]) -> Iterator[str]:
    """The keys that differ, but for tables below, which are statements of their own."""
    for key in dict.fromkeys((*after, *before)):
        one, other = before.get(key), after.get(key)
        if one != other and not _holds_tables(one) and not _holds_tables(other):
            yield key


def _holds_tables(value: Any) -> bool:
    return isinstance(value, dict) or (isinstance(value, list) and any(isinstance(each, dict) for each in value))


def _statement(opened: Opened, at: At) -> _Statement | None:
    """The innermost table on the way to a place."""
    value: Any = opened.table(at.file)
    found = None
    for number, step in enumerate(at.path, 1):
        if isinstance(value, dict) and isinstance(step, str):
            value = value.get(step)
        elif isinstance(value, list) and isinstance(step, int) and step < len(value):
            value = value[step]
        else:
            return found
        if isinstance(value, dict):
            found = _Statement(at.file, at.path[:number], value)
    return found


def _partner(opened: Opened, other: Opened, own: _Statement) -> _Statement | None:
    """The same statement in the other revision."""
    if isinstance(own.path[-1], str):
        return next(_under(other, own.path), None)
    there = list(_listed(other, own.path[:-1]))
    same = next((one for one in there if one.says == own.says), None)
    if same is not None:
        return same
    here = [one.says for one in _listed(opened, own.path[:-1])]
    able = [one for one in there if _alike(one.says, own.says) and one.says not in here]
    return max(able, key=lambda one: (_likeness(one.says, own.says), one.file == own.file), default=None)


def _alike(one: dict[str, Any], other: dict[str, Any]) -> bool:
    return any(key in one and one[key] == other.get(key) for key in _KNOWN_BY)


def _likeness(one: dict[str, Any], other: dict[str, Any]) -> int:
    return sum(1 for key, value in one.items() if other.get(key) == value)


def _under(opened: Opened, path: Path) -> Iterator[_Statement]:
    """The tables at a path, in whatever file."""
    for file in opened.files.texts:
        found = _statement(opened, At(file, path))
        if found is not None and found.path == path:
            yield found


def _listed(opened: Opened, path: Path) -> Iterator[_Statement]:
    """The tables in the array at a path, in whatever file."""
    for file in opened.files.texts:
        found = _value(opened.table(file), path)
        for number, value in enumerate(found if isinstance(found, list) else ()):
            if isinstance(value, dict):
                yield _Statement(file, (*path, number), value)


def _value(value: Any, path: Path) -> Any:
    for step in path:
        if isinstance(step, str):
            value = value.get(step) if isinstance(value, dict) else None
        else:
            value = value[step] if isinstance(value, list) and step < len(value) else None
    return value
