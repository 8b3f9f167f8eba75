"""What a unit, bay or setup of an earlier revision is called now, and what one of now was called then.

Followed from commit to commit between the two, as the story of a place is, since a name that one commit changed can be recognized
there and perhaps no more after later work; where that tells nothing, by the two ends alone. Decides nothing about texts.
"""

from collections.abc import Callable
from functools import cached_property
from typing import NamedTuple

from routecode.change.difference import Compared
from routecode.change.identity import PROBABLE, Identity
from routecode.files.toml import parse
from routecode.files.tree import Files
from routecode.history.story_line import Line
from routecode.studio.opened import Opened

Between = Callable[[], Line]
"""The revisions from the earlier one to that of now, newest first; read when they are asked for."""
Ids = frozenset[tuple[str, str]]
"""What has a table: (kind, id)."""
_KINDS = ("bay", "unit", "setup")


class Called(NamedTuple):
    """Another name of the same thing; `is_guess`: that it is the same is only likely."""

    name: str
    is_guess: bool


class Names:
    """Names of the revision `then` as they read `now`, and back; `between` are the revisions from one to the other."""

    def __init__(self, now: Opened, then: Opened, between: Between | None = None, *, guessing: bool = True) -> None:
        self._now = now
        self._then = then
        self._between = between
        self._guessing = guessing
        self._read: dict[bytes, Ids] = {}

    @cached_property
    def identity(self) -> Identity:
        """What reads otherwise where only the two ends are looked at; nothing where one of them does not compile."""
        return _identity(self._then, self._now, guessing=self._guessing) or Identity()

    def now(self, kind: str, old: str) -> Called | None:
        """What a thing of the earlier revision is called now, where that is otherwise."""
        if (kind, old) not in self._ids(self._then.files) or (kind, old) in self._ids(self._now.files):
            return None
        return self._followed(kind, old, back=False) or _new_name(self.identity, kind, old)

    def then(self, kind: str, new: str) -> Called | None:
        """What a thing of now was called in the earlier revision, where that was otherwise."""
        if (kind, new) not in self._ids(self._now.files) or (kind, new) in self._ids(self._then.files):
            return None
        return self._followed(kind, new, back=True) or _old_name(self.identity, kind, new)

    @cached_property
    def _line(self) -> Line | None:
        return None if self._between is None else self._between()

    def _followed(self, kind: str, name: str, *, back: bool) -> Called | None:
        """Its name at the other end, followed from revision to revision; None where it came or went between, or never changed."""
        line, is_guess, first = self._line, False, name
        if line is None:
            return None
        for number in range(len(line)) if back else reversed(range(len(line))):
            if (kind, name) in self._ids(line.files(number)) or not line.compiles(number):
                continue
            last = line.newer(number) if back else line.older(number)
            older, newer = (number, last) if back else (last, number)
            if older is None or newer is None:
                return None
            identity = _identity(line.opened(older), line.opened(newer), guessing=self._guessing) or Identity()
            called = (_old_name if back else _new_name)(identity, kind, name)
            if called is None:
                return None
            name, is_guess = called.name, is_guess or called.is_guess
        end = self._then if back else self._now
        is_there = name != first and (kind, name) in self._ids(end.files)
        return Called(name, is_guess) if is_there else None

    def _ids(self, files: Files) -> Ids:
        found: set[tuple[str, str]] = set()
        for name, text in files.texts.items():
            if text not in self._read:
                self._read[text] = _ids(parse(name, text).table or {})
            found |= self._read[text]
        return frozenset(found)


def _ids(table: dict[str, object]) -> Ids:
    below = {kind: table.get(kind) for kind in _KINDS}
    return frozenset((kind, each) for kind, ids in below.items() if isinstance(ids, dict) for each in ids)


def _identity(then: Opened, now: Opened, *, guessing: bool) -> Identity | None:
    if now.circuit is None or then.circuit is None:
        return None
    return Compared(then.circuit, now.circuit, guessing=guessing).identity


def _names(identity: Identity, kind: str) -> dict[str, str]:
    return {"bay": identity.bays, "unit": identity.units, "setup": identity.setups}[kind]


def _new_name(identity: Identity, kind: str, old: str) -> Called | None:
    new = _names(identity, kind).get(old)
    return None if new is None else Called(new, _is_guess(identity, kind, old))


def _old_name(identity: Identity, kind: str, new: str) -> Called | None:
    found = (old for old, other in _names(identity, kind).items() if other == new)
    return next((Called(old, _is_guess(identity, kind, old)) for old in found), None)


def _is_guess(identity: Identity, kind: str, old: str) -> bool:
    return any((one.kind, one.before, one.how) == (kind, old, PROBABLE) for one in identity.renamed)
