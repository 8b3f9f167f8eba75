"""The page of a studio's life, for `routecode history --page`: revisions read again to be drawn, and the file written."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from routecode.cli.draw import find_engine
from routecode.cli.paper_file import deliver, may_put
from routecode.cli.past import Progress

if TYPE_CHECKING:
    from routecode.history.log import Item, Reader
    from routecode.show.drawing.facts import Side
    from routecode.studio.opened import Opened

MOST_JOINTS = 500_000
"""Joints of all revisions on one page; with more, the older ones are left out."""


def may_write(path: Path, force: bool) -> None:
    """Refuse to replace what this command did not write; asked before anything is worked out."""
    from routecode.show.life.page import is_ours

    may_put(path, force, is_ours)


class Studio(Protocol):
    """The studio whose life is shown: what it is called, who reads its revisions, and the numbers of its commits."""

    @property
    def title(self) -> str:
        """What it is called."""

    @property
    def reader(self) -> "Reader":
        """Who reads it."""

    @property
    def numbers(self) -> dict[str, int]:
        """Commit -> number."""


def write_page(items: Sequence["Item"], studio: Studio, path: Path, dot: str | None, *, force: bool) -> None:
    """Write the page of some entries, the newest first."""
    from routecode.show.life.page import MOST_STEPS, Life, is_ours, life_page

    shown = items[:MOST_STEPS]
    engine = find_engine(dot)
    sides: dict[str, Side] = {}
    if engine is not None:
        reading = _Sides(studio.reader)
        shown = list(reading.within(shown))
        sides = reading.found
    page = life_page(Life(studio.title, shown, sides, engine, studio.numbers, len(items) - len(shown)))
    deliver({path: page.encode()}, force, is_ours)


def sides_of(items: Sequence["Item"], reader: "Reader") -> dict[str, "Side"]:
    """What there is to draw of each entry and of what it is put beside, by commit, the newest first, in the names they have last."""
    reading = _Sides(reader)
    list(reading.within(items))
    return reading.found


class _Sides:
    """Revisions opened one after another, each made of the one before."""

    def __init__(self, reader: "Reader") -> None:
        self._reader = reader
        self._open: Opened | None = None
        self._newest: Opened | None = None
        self._called: dict[str, dict[str, str]] = {}
        self.found: dict[str, Side] = {}

    def within(self, items: Sequence["Item"]) -> Iterator["Item"]:
        """The entries, seen one after another, as many as one page can hold; the newest always."""
        progress = Progress(len(items))
        for done, item in enumerate(items, 1):
            self.see(item)
            progress(done)
            yield item
            if sum(len(side.joints) for side in self.found.values()) > MOST_JOINTS:
                break
        progress.end()

    def see(self, item: "Item") -> None:
        """An entry, and what it is put beside."""
        after = self._opened(item.commit.id)
        if after.circuit is None:
            return
        self._newest = self._newest or after
        self._add(after, self._newest)
        if item.against is not None:
            before = self._opened(item.against)
            if before.circuit is not None:
                self._add(before, after)

    def _opened(self, commit_id: str) -> "Opened":
        from routecode.studio.opened import Opened

        if self._open is not None and self._open.name == commit_id:
            return self._open
        like = self._open if self._open is not None and self._open.circuit is not None else self._newest
        self._open = Opened(self._reader.files(commit_id), commit_id, None, like)
        return self._open

    def _add(self, opened: "Opened", later: "Opened") -> None:
        """What there is to draw of a revision, in the names of a later one as they are last."""
        from routecode.show.drawing.compare import renamed
        from routecode.show.drawing.facts import side

        if opened.name in self.found or opened.circuit is None or later.circuit is None:
            return
        own = renamed(opened.circuit, later.circuit) if later is not opened else {}
        names = self._called.get(later.name, {})
        kept = {old: new for old, new in names.items() if old not in own}
        called = {**kept, **{old: names.get(new, new) for old, new in own.items()}}
        self._called[opened.name] = called
        self.found[opened.name] = side(opened.circuit, None, called)
        opened.circuit.base = None
