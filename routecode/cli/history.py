"""`routecode history`: every change to the wiring, newest first, as text, Markdown, JSON, or one page for a browser."""

import sys
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from routecode.cli import asked, options
from routecode.cli.failure import Refused
from routecode.cli.past import Past
from routecode.cli.quoted import quoted
from routecode.cli.say import paint_of, say, sentences, width_of
from routecode.files.kept import open_kept
from routecode.ground.finding import Mistake
from routecode.show.paint import plain

if TYPE_CHECKING:
    from routecode.history.filters import Wanted
    from routecode.history.log import Item

_OF = ("--in", "--setup", "--json", "--markdown")


class Flags(NamedTuple):
    """What is asked for beside the filters."""

    of: str | None
    limit: int | None
    unfold: bool
    markdown: bool
    as_json: bool
    page: Path | None
    force: bool
    dot: str | None

    @property
    def as_text(self) -> bool:
        """Whether it is the plain text that is asked for."""
        return not (self.as_json or self.markdown or self.page)

    def check(self) -> None:
        """Refuse what does not go together."""
        given = [
            name for name, on in (("--json", self.as_json), ("--markdown", self.markdown), ("--page", self.page)) if on
        ]
        if len(given) > 1:
            raise click.UsageError(f"Choose one of {' and '.join(given)}.")
        if self.force and self.page is None:
            raise click.UsageError("--force goes with --page FILE.")


def _names(sort: str) -> Callable[[Callable[..., object]], Callable[..., object]]:
    """`--room NAME` and so on; each may be given several times."""
    told = f"Only what touched this {sort}, as it is or was called. May be given several times."
    return click.option(f"--{sort}", sort, metavar="NAME", multiple=True, help=told)


@click.command("history")
@options.in_folder
@click.option("--of", "of", metavar="PLACE", help="The story of one port, channel, jack, unit or cable number instead.")
@_names("room")
@_names("unit")
@_names("bay")
@_names("setup")
@click.option(
    "--since", metavar="DATE", help="Only from this year, month, day or minute on: 2026, 2026-03, 2026-03-01."
)
@click.option("--until", metavar="DATE", help="Only up to the end of it.")
@click.option("--losses", is_flag=True, help="Only what lost something: a path, a need, or that it compiles at all.")
@click.option("--limit", type=click.IntRange(min=1), help="At most so many, the newest.")
@click.option("--unfold", is_flag=True, help="Tell commits that changed only text one by one.")
@click.option("--markdown", is_flag=True, help="Print Markdown.")
@options.as_json
@click.option(
    "--page",
    "page",
    metavar="FILE",
    type=click.Path(path_type=Path, dir_okay=False, allow_dash=True),
    help="Write one HTML page, on which one steps through the revisions; - writes it to stdout.",
)
@click.option("--force", is_flag=True, help="With --page: replace a file that was not written by this command.")
@click.option(
    "--dot", "dot", metavar="PROGRAM", envvar="ROUTECODE_DOT", help="With --page: the graphviz program to use."
)
def command(
    folder: Path,
    since: str | None,
    until: str | None,
    losses: bool,
    room: tuple[str, ...],
    unit: tuple[str, ...],
    bay: tuple[str, ...],
    setup: tuple[str, ...],
    **flags: object,
) -> int:
    """Tell every change to the wiring, newest first: what it lost, gained and rerouted, who made it, when, and why.

    Each has the number that other commands take for it (1 is the newest). Commits that changed only text are folded.
    """
    asked_for = Flags(**flags)  # type: ignore[arg-type] # click gives what the options above say
    asked_for.check()
    names = {"room": room, "unit": unit, "bay": bay, "setup": setup}
    if asked_for.of is not None:
        other = bool(since or until or losses or room or unit or bay)
        return _story(folder, setup, asked_for, other)
    if asked_for.page is not None:
        from routecode.cli.life import may_write

        may_write(asked_for.page, asked_for.force)
    repository = asked.repository_of(folder)
    with repository.walking() as reader, open_kept(repository.top) as kept:
        past = Past(reader, repository, kept)
        question = None if any(names.values()) else _question(folder, past, (since, until, losses), asked_for)
        if _told_before(folder, past, question):
            return 0
        wanted = _wanted(folder, names, since, until, losses)
        if not past.commits:
            raise Refused(_nothing(folder))
        items = _found(past, wanted, asked_for.limit)
        if any(wanted.wanted.names.values()):
            items = iter(list(items))  # so that a name that is refused is refused before anything is told
        if asked_for.as_text:
            _text(folder, items, past, wanted.wanted, asked_for, question)
        else:
            _tell(items, past, asked_for)
    return 0


def _story(folder: Path, setup: tuple[str, ...], flags: Flags, filtered: bool) -> int:
    """The story of one place, which is told elsewhere."""
    if filtered or flags.limit or flags.unfold or flags.page or len(setup) > 1:
        raise click.UsageError(f"--of goes with {', '.join(_OF)} only, each once.")
    from routecode.cli.story import tell as tell_story

    place = flags.of or ""
    return tell_story(folder, place, setup=setup[0] if setup else None, as_json=flags.as_json, markdown=flags.markdown)


def _nothing(folder: Path) -> Mistake:
    where = "" if folder == Path() else f" --in {quoted(folder)}"
    do = f"Record what you have:\nroutecode record{where} {quoted(asked.AS_IT_IS)}"
    return Mistake("nothing-recorded", "No commit has touched the wiring yet, so it has no history.", do=do)


# -- what is asked for ------------------------------------------------------------------------------------------------------


class _Asked(NamedTuple):
    """The filters, and what the names of today are: sort -> id -> title."""

    wanted: "Wanted"
    titles: Mapping[str, Mapping[str, str]]


def _wanted(
    folder: Path, names: Mapping[str, tuple[str, ...]], since: str | None, until: str | None, losses: bool
) -> _Asked:
    from routecode.history.filters import Wanted, meant, moment

    begin, end = (moment(text, option) for text, option in ((since, "--since"), (until, "--until")))
    if isinstance(begin, Mistake):
        raise Refused(begin)
    if isinstance(end, Mistake):
        raise Refused(end)
    if begin is not None and end is not None and begin[0] >= end[1]:
        do = f"Exchange the two: --since {until} --until {since}"
        raise Refused(Mistake("bad-date", f"Nothing is after {since} and before the end of {until}.", do=do))
    titles = _titles(folder) if any(names.values()) else {}
    ids = {sort: meant(words, titles[sort]) for sort, words in names.items() if words}
    first, last = begin and begin[0].astimezone(), end and end[1].astimezone()
    return _Asked(Wanted(ids, first, last, losses), titles)


def _titles(folder: Path) -> dict[str, dict[str, str]]:
    """Sort -> id -> title, as the files are now; empty where they do not compile."""
    from routecode.studio.opened import Opened

    studio = Opened(asked.files_now(folder), asked.WORKTREE).studio
    tables = {sort: getattr(studio, sort) if studio is not None else {} for sort in ("room", "unit", "bay", "setup")}
    return {sort: {name: one.title or name for name, one in table.items()} for sort, table in tables.items()}


def _found(past: Past, asked_for: _Asked, limit: int | None) -> Iterator["Item"]:
    """The entries that are asked for, worked out as they are taken. A name that no revision has is refused, before any of them."""
    wanted = asked_for.wanted
    if not any(wanted.names.values()):
        yield from islice(filter(wanted.wants, past.entries(wanted.in_time)), limit)
        return
    items: Iterable[Item] = past.entries()
    if any(not ids <= asked_for.titles[sort].keys() for sort, ids in wanted.names.items()):
        items = list(items)
        _check_names(items, asked_for)
        wanted = wanted.everywhere(items)
    yield from islice(_followed(items, wanted), limit)


def _followed(items: Iterable["Item"], wanted: "Wanted") -> Iterator["Item"]:
    """Those that are asked for; what was called otherwise is followed back under its older names."""
    for item in items:
        if wanted.in_time(item.commit) and wanted.wants(item):
            yield item
        wanted = wanted.before(item)


def _check_names(items: Iterable["Item"], asked_for: _Asked) -> None:
    """Refuse a name that neither the files of today nor any revision has."""
    from routecode.history.counting import SORTS
    from routecode.history.filters import touches, unknown

    seen: dict[str, set[str]] = {sort: set() for sort in SORTS}
    for item in items:
        for sort, touched in touches(item).items():
            seen[sort] |= touched
    for sort, ids in asked_for.wanted.names.items():
        mistake = unknown(sort, ids, seen[sort], asked_for.titles[sort])
        if mistake is not None:
            raise Refused(mistake)


# -- the answer ----------------------------------------------------------------------------------------------------------


def _question(folder: Path, past: Past, filters: tuple[str | None, str | None, bool], flags: Flags) -> str | None:
    """What the text is kept under; None where it is no text. A day is one of the zone that this machine is set to."""
    if not flags.as_text:
        return None
    zone = (*time.tzname, time.timezone, time.altzone)
    out, asking = sys.stdout, (*filters, *zone, flags.limit, flags.unfold)
    return past.question(str(folder), *asking, width_of(out), paint_of(out) is plain)


def _told_before(folder: Path, past: Past, question: str | None) -> bool:
    """Print the text as it was printed before; whether it is kept."""
    found = past.kept(question, str, str)
    if found is None:
        return False
    say(found[0] + _unrecorded(folder, past) + "\n" + found[1])
    return True


def _tell(found: Iterator["Item"], studio: Past, flags: Flags) -> None:
    """Print the answer in the form that is asked for."""
    if flags.as_json:
        from routecode.show.document import written
        from routecode.show.history_document import history_document

        say(written(history_document(found, studio.title, len(studio.commits))))
    elif flags.markdown:
        from routecode.show.history import Frame, history_markdown

        say(history_markdown(found, studio.title, Frame(unfolded=flags.unfold)))
    elif flags.page is not None:
        from routecode.cli.life import write_page

        write_page(list(found), studio, flags.page, flags.dot, force=flags.force)


def _text(
    folder: Path, found: Iterator["Item"], studio: Past, wanted: "Wanted", flags: Flags, question: str | None
) -> None:
    from routecode.show.escape import visible
    from routecode.show.history import Frame, between, history_text
    from routecode.show.spoken import counted

    items: list[Item] = []
    told: list[str] = []

    def passed() -> Iterator["Item"]:
        for item in found:
            items.append(item)
            yield item

    def tell(text: str) -> None:
        told.append(text)
        say(text)

    count = counted(len(studio.commits), "commit")
    head = sentences(f"{visible(studio.title)}: {count} that touched the wiring, the newest first.")
    say(f"{head}{_unrecorded(folder, studio)}\n")
    for entry in history_text(passed(), Frame(width_of(sys.stdout), paint_of(sys.stdout), flags.unfold)):
        tell(entry)
    if not items:
        tell(sentences("None of them is what was asked for." if not wanted.everything else "There is nothing to tell."))
    elif len(items) < len(studio.commits):
        tell(sentences(f"{len(items):,} of {len(studio.commits):,} {'is' if len(items) == 1 else 'are'} shown."))
    example = next((way for item in items if (way := between(item, studio.numbers)) and not item.entry.only_text), None)
    if example is not None:
        where = "" if folder == Path() else f" --in {quoted(folder)}"
        tell(f"To see one whole: routecode diff {example}{where}\n")
    if any(item.cut for item in items):
        tell("Older commits are not in this copy of the repository. To fetch them:\ngit fetch --unshallow\n")
    studio.keep(question, [head, "".join(told)])


def _unrecorded(folder: Path, studio: Past) -> str:
    """Whether the files say something else now than the newest revision."""

    now = asked.files_now(folder).texts
    if studio.is_newest(now) or asked.same_texts(now, studio.reader.files(studio.commits[0][1].id).texts):
        return ""
    where = "" if folder == Path() else f" --in {quoted(folder)}"
    return f"The files as they are now differ from it; to see how: routecode diff{where}\n"
