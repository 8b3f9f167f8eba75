"""`routecode history --of PLACE`: the story of one path. Asked by `history`, which is the command."""

import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from routecode.cli import asked
from routecode.cli.failure import Refused
from routecode.cli.quoted import quoted
from routecode.cli.say import paint_of, say, width_of
from routecode.cli.say import tell as told_aside
from routecode.cli.trace import advice
from routecode.files.git.mainline import mainline
from routecode.files.tree import Files
from routecode.ground.finding import Mistake
from routecode.ground.nearest import nearest

if TYPE_CHECKING:
    from routecode.files.git import Commit, Repository
    from routecode.files.git.walking import Walker
    from routecode.history.story import Story
    from routecode.history.story_found import Unknown
    from routecode.history.story_line import Line

_HOW = 'Write "unit/port", "unit/port ch 1", "bay/top 1", a unit, a bay, or the number of a cable.'
_PATIENCE = 1.0
"""Seconds before somebody at a terminal is told how far it is."""


def tell(folder: Path, place: str, *, setup: str | None, as_json: bool, markdown: bool) -> int:
    """Print the story of a place; the exit status."""
    from routecode.history.story import story
    from routecode.history.story_found import Unknown

    if not place.strip():
        raise Refused(Mistake("unknown-place", "The name of the place is empty.", do=_HOW))
    repository = asked.repository_of(folder)
    with repository.walking() as reader:
        progress = _Progress()
        try:
            line = _line(folder, repository, reader, progress)
            _check(line, setup)
            found = story(line, place, setup)
        finally:
            progress.end()
        if isinstance(found, Unknown):
            raise Refused(_unknown(found, place, len(line)))
        _print(folder, found, line, (repository, reader), as_json=as_json, markdown=markdown)
    return 0


def _line(folder: Path, repository: "Repository", reader: "Walker", seen: Callable[[int], None]) -> "Line":
    """The revisions along first parents, with the files as they are now ahead of them where they say something else."""
    from routecode.history.story_line import Line

    head = asked.commit_of(folder, "last")
    commits: list[Commit | None] = list(mainline(repository.top, head.id, repository.studio))
    now = asked.files_now(folder)
    if not commits:
        where = "" if folder == Path() else f" --in {quoted(folder)}"
        do = f"Record what you have:\nroutecode record{where} {quoted(asked.AS_IT_IS)}"
        raise Refused(Mistake("nothing-recorded", "No commit has touched the wiring yet, so it has no history.", do=do))
    if not asked.same_texts(now.texts, reader.files(head.id).texts):
        commits.insert(0, None)

    def read(commit: "Commit | None") -> Files:
        return now if commit is None else reader.files(commit.id)

    return Line(commits, read, asked.today(), seen)


def _check(line: "Line", setup: str | None) -> None:
    """Refuse where nothing compiles, or where the newest revision that does has no such setup."""
    newest = line.newest()
    if newest is None:
        opened = line.opened(0)
        raise Refused(*opened.mistakes, opened=opened)
    asked.checked_setup(line.opened(newest), setup)


def _unknown(found: "Unknown", place: str, revisions: int) -> Mistake:
    """That no revision has the place, with what may be meant."""
    text = f"There is no place {place[:100]}, neither now nor in any of {revisions:,} revisions."
    return Mistake("unknown-place", text, do=_meant(found, place) or _HOW)


def _meant(found: "Unknown", place: str) -> str:
    plant = found.plant
    if plant is None:
        return ""
    head, slash, rest = place.partition("/")
    if head in plant.units or head in plant.bays:
        return advice(plant, place)
    titles = {name: unit.title for name, unit in plant.units.items()}
    titles |= {name: bay.title for name, bay in plant.bays.items()}
    titled = [name for name, title in titles.items() if title.casefold() == head.casefold()]
    other = next((kind for kind in ("setup", "room") if place in getattr(plant.studio, kind)), None)
    if other is not None and not titled:
        return f"It is a {other}. What touched it:\nroutecode history --{other} {quoted(place)}"
    near = min(titled) if titled else nearest(head.removeprefix("cable "), found.names)
    if near is None:
        return ""
    if not slash:
        return f'Did you mean "{near}"?'
    known = near in plant.units or near in plant.bays
    if known and plant.node(f"{near}/{rest}") is None:
        return advice(plant, f"{near}/{rest}")
    return f'Did you mean "{near}/{rest}"?'


def _print(
    folder: Path,
    found: "Story",
    line: "Line",
    source: "tuple[Repository, Walker]",
    *,
    as_json: bool,
    markdown: bool,
) -> None:
    if as_json:
        from routecode.show.document import written
        from routecode.show.story_document import story_document

        say(written(story_document(found, line)))
        return
    from routecode.show.story import Frame, story_markdown, story_text

    repository, reader = source
    numbers = {commit.id: number for number, commit in enumerate(reader.commits(), 1)}
    where = "" if folder == Path() else f" --in {quoted(folder)}"
    frame = Frame(line, width_of(sys.stdout), paint_of(sys.stdout), numbers, where, repository.is_shallow)
    say(story_markdown(found, frame) if markdown else story_text(found, frame))


class _Progress:
    """Says on a terminal how many revisions were looked at, on one line that goes away again."""

    def __init__(self) -> None:
        self._begun = self._last = time.monotonic()
        self._shown = False

    def __call__(self, done: int) -> None:
        now = time.monotonic()
        if now - self._begun < _PATIENCE or now - self._last < _PATIENCE / 5 or not sys.stderr.isatty():
            return
        self._last, self._shown = now, True
        told_aside(f"\rLooking at revisions: {done:,} ")

    def end(self) -> None:
        """Take the line away."""
        if self._shown:
            told_aside("\r" + " " * 40 + "\r")
            self._shown = False
