"""Which entries of a history are asked for: by time before anything is opened, by what they touch and lose afterwards.

Names may be those of any revision, and titles of today; what was called otherwise is followed through its names. Several of one sort:
any of them. Several sorts: all of them.
"""

import calendar
import re
from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta

from attrs import Factory, evolve, frozen

from routecode.files.git.objects import Commit
from routecode.ground.finding import Mistake
from routecode.ground.nearest import did_you_mean, nearest
from routecode.ground.order import natural
from routecode.history.counting import SORTS
from routecode.history.entry import BROKEN
from routecode.history.log import Item

_DATE = re.compile(r"(\d{4})(?:-(\d\d)(?:-(\d\d)(?:[ T](\d\d):(\d\d))?)?)?")
_LISTED = 8

Names = dict[str, set[str]]
"""Sort -> ids."""


@frozen
class Wanted:
    """What is asked for. `names`: ids by sort, empty for no such condition; `since` and `until` with a zone, both included."""

    names: Mapping[str, frozenset[str]] = Factory(dict)
    since: datetime | None = None
    until: datetime | None = None
    losses: bool = False

    @property
    def everything(self) -> bool:
        """Whether nothing is left out."""
        return not (any(self.names.values()) or self.since or self.until or self.losses)

    def in_time(self, commit: Commit) -> bool:
        """Whether a commit was recorded within the time that is asked for; one without a readable date never is."""
        if self.since is None and self.until is None:
            return True
        try:
            when = datetime.fromisoformat(commit.when)
        except ValueError:
            return False
        return (self.since is None or when >= self.since) and (self.until is None or when < self.until)

    def wants(self, item: Item) -> bool:
        """Whether an entry is asked for; one that does not compile touches nothing, and loses everything."""
        if self.losses and not (item.entry.loses or item.entry.kind == BROKEN):
            return False
        touched = touches(item)
        return all(not ids or not ids.isdisjoint(touched[sort]) for sort, ids in self.names.items())

    def before(self, item: Item) -> "Wanted":
        """What is asked for in what is older than this entry: also under the names it had before."""
        pairs = [(sort, old) for sort, old, new in item.entry.renamed if new in self.names.get(sort, ())]
        return self._with(pairs) if pairs else self

    def everywhere(self, items: Iterable[Item]) -> "Wanted":
        """What is asked for under all names it ever had in these entries."""
        renamed = [each for item in items for each in item.entry.renamed]
        found = self
        while True:
            pairs = [
                (sort, other)
                for sort, *ends in renamed
                for name, other in (ends, ends[::-1])
                if name in found.names.get(sort, ()) and other not in found.names[sort]
            ]
            if not pairs:
                return found
            found = found._with(pairs)

    def _with(self, pairs: Iterable[tuple[str, str]]) -> "Wanted":
        names = dict(self.names)
        for sort, name in pairs:
            names[sort] = names[sort] | {name}
        return evolve(self, names=names)


def touches(item: Item) -> Names:
    """What an entry touches, by sort."""
    entry = item.entry
    return dict(zip(SORTS, map(set, (entry.rooms, entry.units, entry.bays, entry.setups)), strict=True))


def moment(text: str | None, option: str) -> tuple[datetime, datetime] | Mistake | None:
    """The begin and the end of a year, month, day or minute, without a zone; None for no text."""
    if text is None:
        return None
    found = _DATE.fullmatch(text.strip())
    year, month, day, hour, minute = (int(part) if part else None for part in found.groups()) if found else (None,) * 5
    try:
        if year is None:
            raise ValueError
        begin = datetime(year, month or 1, day or 1, hour or 0, minute or 0)
        end = begin + _length(year, month, day, hour)
    except (ValueError, OverflowError):
        do = "Write a year, a month, a day or a minute: 2026, 2026-03, 2026-03-01, 2026-03-01 14:00."
        return Mistake("bad-date", f'{option}: "{text}" is no date.', do=do)
    return begin, end


def _length(year: int, month: int | None, day: int | None, hour: int | None) -> timedelta:
    if month is None:
        return timedelta(days=366 if calendar.isleap(year) else 365)
    if day is None:
        return timedelta(days=calendar.monthrange(year, month)[1])
    return timedelta(days=1) if hour is None else timedelta(minutes=1)


def meant(words: Iterable[str], titles: Mapping[str, str]) -> frozenset[str]:
    """What is typed as ids: an id as it is, a title of today (in capitals or not) as the ids that have it."""
    found: set[str] = set()
    for word in words:
        named = {name for name, title in titles.items() if title.casefold() == word.casefold()}
        found |= {word} if word in titles or not named else named
    return frozenset(found)


def unknown(sort: str, ids: Iterable[str], seen: Iterable[str], titles: Mapping[str, str]) -> Mistake | None:
    """The first name that no revision has, with the nearest that one has; `seen`: all names of the sort in the history."""
    known = {*seen, *titles}
    for name in sorted(ids):
        if name in known:
            continue
        near = did_you_mean(name, known)
        if not near:
            title = nearest(name, titles.values())
            near = next((f"Did you mean `{one}` ({title})?" for one, each in titles.items() if each == title), "")
        listed = sorted(known, key=natural)
        more = f" and {len(listed) - _LISTED} more" if len(listed) > _LISTED else ""
        there = f"There are: {', '.join(listed[:_LISTED])}{more}." if listed else f"The studio never had a {sort}."
        return Mistake(f"unknown-{sort}", f"No revision has a {sort} {name}.", do=near or there)
    return None
