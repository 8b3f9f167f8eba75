"""The studio as written, from parsed TOML: every key read by its declaration, every mistake told in one run.

Nothing is resolved here: ranges are not spread and places are not looked up. That is the circuit's work.
"""

from collections.abc import Sequence
from typing import Any

from routecode.ground.finding import Mistake
from routecode.ground.place import At, Spot, Step
from routecode.language.checks import check
from routecode.language.mistakes import MOST_GUESSED, key_twice, missing_key, told_faults, unknown_key
from routecode.language.plan import KEYED_CLASSES, LISTED_CLASSES, Plan, plan_of
from routecode.language.subjects import header
from routecode.language.unite import File, Piece, United, tables_of, unite
from routecode.language.values import LONGEST
from routecode.language.written import Head, Studio

LANGUAGE = 1
"""The version of the wiring language that is read; older ones stay readable."""


def decode(files: Sequence[File]) -> tuple[Studio | None, tuple[Mistake, ...]]:
    """The studio that the files describe, and no mistakes; or None and every mistake, in the order of files and tables.

    `files` are posix names and parsed TOML, in any order.
    """
    newer = _too_new(files)
    if newer is not None:
        return None, (newer,)
    mistakes: list[Mistake] = []
    united = unite(files, mistakes)
    studio = _studio(united, mistakes)
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
    if not united.head:
        do = 'Write these lines at the top of studio.toml: [studio], title = "...", language = 1.'
        mistakes.append(Mistake("studio-missing", "No file has a table [studio].", do=do))
        head = Head(language=LANGUAGE, place=At("studio.toml", ("studio",)))
    else:
        head = _record(plan_of(Head), united.head, mistakes)
    return Studio(head=head, **tables)


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
