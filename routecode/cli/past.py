"""The history of a studio as the commands ask for it: worked out, or as it is kept; and how far it is, told on a terminal."""

import json
import sys
import time
from collections.abc import Callable, Iterator
from functools import cached_property
from typing import TYPE_CHECKING, Any

from routecode.cli.say import tell

if TYPE_CHECKING:
    from routecode.files.git import Commit, Repository
    from routecode.files.git.walking import Walker
    from routecode.history.log import Item, Keep

_PATIENCE = 1.0
"""Seconds after which somebody at a terminal is told how far it is."""


class Past:
    """The commits that touched the wiring, numbered, the newest first, and what each says."""

    def __init__(self, reader: "Walker", repository: "Repository", keep: "Keep") -> None:
        self.reader = reader
        self._repository = repository
        self._keep = keep
        self.partial = False
        """Whether something that was told may be told otherwise another time, since a part of it is not here."""

    def question(self, *options: object) -> str | None:
        """What a text about the whole history is kept under; None where it must be told anew."""
        if self._repository.is_shallow or not self._head:
            return None
        return json.dumps(["history text", self._repository.studio, self._head, *options])

    def keep(self, question: str | None, told: list[object]) -> None:
        """Keep a text, unless something in it may be told otherwise another time."""
        if question is not None and not self.partial:
            self._keep.put(question, told)

    def kept(self, question: str | None, *sorts: type) -> list[Any] | None:
        """What is kept, if it is a list of these sorts."""
        found = self._keep.get(question) if question is not None else None
        return found if isinstance(found, list) and [*map(type, found)] == [*sorts] else None

    def is_newest(self, texts: dict[str, bytes]) -> bool:
        """Whether the newest commit says exactly this; without reading its files where their ids tell."""
        return bool(self._head) and self.reader.says(self._head, texts)

    @cached_property
    def _head(self) -> str:
        head = self._repository.head()
        return head.id if head is not None else ""

    @cached_property
    def _recalled(self) -> tuple[int, list["Item"]] | None:
        """A history that is kept, and how many commits are on top of it; of a shallow copy none, since it may get deeper."""
        from routecode.history.remembered import recall

        if self._repository.is_shallow or not self._head:
            return None
        return recall(self._keep, self._repository.studio, self._head, self.reader)

    @cached_property
    def commits(self) -> list[tuple[int, "Commit"]]:
        """All of them."""
        new, items = self._recalled or (None, [])
        fresh = (
            list(enumerate(self.reader.commits(), 1))
            if new is None
            else list(zip(range(1, new + 1), self.reader.commits(), strict=False))
        )
        return [*fresh, *((item.number, item.commit) for item in items)]

    @property
    def numbers(self) -> dict[str, int]:
        """The numbers of all commits, by their ids."""
        return {commit.id: number for number, commit in self.commits}

    @cached_property
    def title(self) -> str:
        """What the studio is called in the newest revision, as far as that can be read."""
        from routecode.files.toml import parse
        from routecode.files.tree import STUDIO

        text = self.reader.files(self.commits[0][1].id).texts.get(STUDIO, b"")
        head = (parse(STUDIO, text).table or {}).get("studio")
        title = head.get("title") if isinstance(head, dict) else None
        return title if isinstance(title, str) and title else "Studio"

    def entries(self, chosen: "Callable[[Commit], bool]" = lambda _: True) -> Iterator["Item"]:
        """The entries of the commits that are chosen, worked out as they are taken; a whole history is kept for the next run."""
        from routecode.history.log import entries
        from routecode.history.remembered import remember

        known = {item.number: item for item in self._recalled[1]} if self._recalled is not None else {}
        asked = [(number, commit) for number, commit in self.commits if chosen(commit)]
        progress = Progress(len(asked))
        found: list[Item] = []
        for item in entries(self.reader, (each for each in asked if each[0] not in known), self._keep, progress):
            progress.end()
            self.partial = self.partial or item.cut or item.partial
            found.append(item)
            yield item
        for number, _ in asked:
            if number in known:
                found.append(known[number])
                yield known[number]
        fresh = self._recalled is None or self._recalled[0]
        if fresh and len(found) == len(self.commits) and not self._repository.is_shallow and not self.partial:
            remember(self._keep, self._repository.studio, self._head, found)


class Progress:
    """Says on a terminal how far a long run is, on one line that goes away again."""

    def __init__(self, total: int) -> None:
        self._total = total
        self._begun = self._last = time.monotonic()
        self._shown = False

    def __call__(self, done: int) -> None:
        """So many are done."""
        now = time.monotonic()
        if now - self._begun < _PATIENCE or now - self._last < _PATIENCE / 5 or not sys.stderr.isatty():
            return
        self._last, self._shown = now, True
        tell(f"\rReading revisions: {done:,} of {self._total:,} ")

    def end(self) -> None:
        """Take the line away."""
        if self._shown:
            tell("\r" + " " * 60 + "\r")
            self._shown = False
