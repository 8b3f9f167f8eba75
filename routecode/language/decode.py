"""The studio as written, from parsed TOML: every key read by its declaration, every mistake told in one run.

Nothing is resolved here: ranges are not spread and places are not looked up. That is the circuit's work.
"""

from collections.abc import Sequence
from itertools import groupby
from typing import Any

from attrs import frozen

from routecode.ground.finding import Mistake
from routecode.ground.place import At, Spot, Step
from routecode.language.checks import check
from routecode.language.mistakes import MOST_GUESSED, key_twice, missing_key, told_faults, unknown_key
from routecode.language.plan import KEYED_CLASSES, LISTED_CLASSES, Plan, plan_of
from routecode.language.subjects import header
from routecode.language.unite import File, Piece, United, tables_of, unite
from routecode.language.values import LONGEST
from routecode.language.written import Allowed, Head, Studio, Times

LANGUAGE = 1
"""The version of the wiring language that is read; older ones stay readable."""


@frozen
class Known:
    """A studio that was read before, without mistakes, of files most of which are still as they were.

    `changed`: the names of the files that differ, are new or are gone; `gone`: their tables as they were.
    """

    studio: Studio
    changed: frozenset[str]
    gone: Sequence[File]

    def touched(self, files: Sequence[File]) -> dict[str, set[str]]:
        """Table -> the ids that a changed file says something of, on either side."""
        found: dict[str, set[str]] = {name: set() for name in KEYED_CLASSES}
        for _, data in (*self.gone, *(file for file in files if file[0] in self.changed)):
            for name, ids in found.items():
                if type(data.get(name)) is dict:
                    ids.update(data[name])
        return found


def decode(files: Sequence[File], known: Known | None = None) -> tuple[Studio | None, tuple[Mistake, ...]]:
    """The studio that the files describe, and no mistakes; or None and every mistake, in the order of files and tables.

    `files` are posix names and parsed TOML, in any order. What only unchanged files of a `known` studio say is taken from it, the
    very same records: two studios that share them differ in the others only.
    """
    newer = _too_new(files)
    if newer is not None:
        return None, (newer,)
    mistakes: list[Mistake] = []
    united = unite(files, mistakes)
    studio = _studio(united, mistakes) if known is None else _studio_again(united, known, files, mistakes)
    check(studio, mistakes)
    if mistakes:
        return None, tuple(sorted(mistakes, key=_order))
    return studio, ()


def _too_new(files: Sequence[File]) -> Mistake | None:
    for file, data in sorted(files, key=lambda each: each[0]):
        head = data.get("studio")
        language = head.get("language") if type(head) is dict else None
        if type(language) is int and language > LANGUAGE:
            text = f"These files are written in language {language}; this program reads up to language {LANGUAGE}."
            do = f"Install a version of routecode that reads language {language}."
            return Mistake("language-newer", text, At(file, ("studio", "language")), do=do)
    return None


def _order(mistake: Mistake) -> tuple[Any, ...]:
    place = mistake.place or At("", ())
    path: tuple[Step, ...] = (place.line, place.column) if isinstance(place, Spot) else place.path
    steps = tuple((0, step, "") if isinstance(step, int) else (1, 0, step) for step in path)
    return (place.file, steps, mistake.id, mistake.text)


def _studio(united: United, mistakes: list[Mistake]) -> Studio:
    tables: dict[str, Any] = {}
    for name, record in KEYED_CLASSES.items():
        plan = plan_of(record)
        pieces = united.keyed[name]
        tables[name] = {each: _record(plan, pieces[each], mistakes, id=each) for each in sorted(pieces)}
    for name, record in LISTED_CLASSES.items():
        tables[name] = _leaves(plan_of(record), united.listed[name], mistakes)
    return Studio(**_singles(united, mistakes), **tables)


def _studio_again(united: United, known: Known, files: Sequence[File], mistakes: list[Mistake]) -> Studio:
    tables: dict[str, Any] = {}
    touched = known.touched(files)
    for name, record in KEYED_CLASSES.items():
        plan, pieces, old = plan_of(record), united.keyed[name], getattr(known.studio, name)
        tables[name] = {
            each: _record(plan, pieces[each], mistakes, id=each) if each in touched[name] else old[each]
            for each in sorted(pieces)
        }
    for name, record in LISTED_CLASSES.items():
        plan, made = plan_of(record), list[Any]()
        kept = {file: list(rows) for file, rows in groupby(getattr(known.studio, name), lambda row: row.place.file)}
        for file, listed in groupby(united.listed[name], lambda piece: piece[0].file):
            made += _leaves(plan, list(listed), mistakes) if file in known.changed else kept[file]
        tables[name] = tuple(made)
    return Studio(**_singles(united, mistakes), **tables)


def _head(united: United, mistakes: list[Mistake]) -> Head:
    pieces = united.single["studio"]
    if not pieces:
        do = 'Write these lines at the top of studio.toml: [studio], title = "...", language = 1.'
        mistakes.append(Mistake("studio-missing", "No file has a table [studio].", do=do))
        return Head(language=LANGUAGE, place=At("studio.toml", ("studio",)))
    head: Head = _record(plan_of(Head), pieces, mistakes)
    return head


def _singles(united: United, mistakes: list[Mistake]) -> dict[str, Any]:
    """The tables of which there is one; `[times]` as usual where it is not given."""
    found: dict[str, Any] = {"head": _head(united, mistakes)}
    for name, record in (("allowed", Allowed), ("times", Times)):
        if pieces := united.single[name]:
            found[name] = _record(plan_of(record), pieces, mistakes)
    return found


def _leaves(plan: Plan, pieces: list[Piece], mistakes: list[Mistake]) -> tuple[Any, ...]:
    """Records of tables that hold no tables: by far the most there are, so this loop does nothing else."""
    record, keys, required, lists = plan.record, plan.keys, plan.required, plan.lists
    made = []
    for at, table in pieces:
        values: dict[str, Any] = {"place": at}
        for name, value in table.items():
            if name in lists:  # the same as the reader below says of nearly every value, without calling it
                field, numbers = lists[name]
                if numbers:
                    plain = type(value) is int
                else:
                    plain = type(value) is str and value.isascii() and value.isprintable() and 0 < len(value) <= LONGEST
                    plain = plain and ".." not in value
                if plain:
                    values[field] = (value,)
                    continue
            slot = keys.get(name)
            if slot is None:
                mistakes.append(unknown_key(plan, at, table, name, guess=len(mistakes) < MOST_GUESSED))
                continue
            read = slot[1](value)
            if type(read) is list:
                mistakes.extend(told_faults(read, at, table, name))
            else:
                values[slot[0]] = read
        for name in required:
            if name not in table:
                mistakes.append(missing_key(plan, at, table, name))
        made.append(record(**values))
    return tuple(made)


def _record(plan: Plan, pieces: list[Piece], mistakes: list[Mistake], **values: Any) -> Any:
    """The record of a table that may have pieces in several files and may hold arrays of tables."""
    values["place"] = pieces[0][0]
    given: dict[str, At] = {}
    inner: dict[str, list[Piece]] = {}
    for at, table in pieces:
        for name, value in table.items():
            if name in plan.tables:
                heading = f"[[{header(at).strip('[]')}.{name}]]"
                inner.setdefault(name, []).extend(tables_of(value, At(at.file, (*at.path, name)), heading, mistakes))
                given.setdefault(name, at)
                continue
            if name in given:
                mistakes.append(key_twice(at, table, name, given[name]))
                continue
            given[name] = at
            slot = plan.keys.get(name)
            if slot is None:
                mistakes.append(unknown_key(plan, at, table, name, guess=len(mistakes) < MOST_GUESSED))
                continue
            read = slot[1](value)
            if type(read) is list:
                mistakes.extend(told_faults(read, at, table, name))
            else:
                values[slot[0]] = read
    for name, tables in inner.items():
        values[name] = _leaves(plan_of(plan.tables[name]), tables, mistakes)
    for name in plan.required:
        if name not in given:
            mistakes.append(missing_key(plan, pieces[0][0], pieces[0][1], name))
    if len(pieces) > 1:
        values["elsewhere"] = given
    return plan.record(**values)
