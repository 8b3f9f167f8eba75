"""Why a partial return cannot be made: what it names is gone, is called otherwise, or does not go with what changed since.

Says which; decides nothing about texts. Places are of the earlier revision, where the name stands.
"""

from collections.abc import Iterable, Iterator

from routecode.circuit.plant import Plant
from routecode.files.scan import Path
from routecode.ground.finding import Finding, Mistake, Severity
from routecode.ground.place import At
from routecode.history.back_names import Called, Names
from routecode.history.back_parts import KINDS, Part, Wanted, differing, parts
from routecode.language.ranges import spread, spread_whole
from routecode.studio.opened import Opened

_IDS = {
    "room": "room",
    "rack": "rack",
    "model": "model",
    "type": "cable_type",
    "include": "setup",
}
"""Keys that name a table by its id, and the kind of table."""

_WORDS = {"cable_type": "cable type"}
_MOST = 20
_UNKNOWN = 3
"""Errors that are told of a studio that would not compile for a reason that is not looked into."""


# -- the name of what is asked for ------------------------------------------------------------------------------------------


def named_otherwise(then: Opened, wanted: Wanted, names: Names) -> Iterator[Mistake]:
    """What is asked for by a name that only one of the two revisions has, while the thing itself is in both."""
    for kind in KINDS:
        asked = wanted.of(kind)
        for each in dict.fromkeys(asked):
            new, was = names.now(kind, each), names.then(kind, each)
            if new is not None and new.name not in asked:
                yield _renamed(then, kind, (each, new.name), new, f"it is called `{new.name}` now")
            elif was is not None and was.name not in asked:
                yield _renamed(then, kind, (was.name, each), was, f"it was called `{was.name}` then")


def _renamed(then: Opened, kind: str, both: tuple[str, str], called: Called, what: str) -> Mistake:
    """`both` are its name then and its name now; `called` is the one that was not asked for."""
    old, new = both
    one = old if called.name == new else new
    text = f"The {kind} `{one}` has {_guessed(called)}been given another name since: {what}."
    return Mistake("back-renamed", text, _place(then, kind, old), do=_both(kind, old, new))


def _both(kind: str, old: str, new: str) -> str:
    return f"Return the whole studio, or ask for both names, the old one to come and the new one to go: --{kind} {old} --{kind} {new}"


def _guessed(called: Called) -> str:
    """The word to put in where a new name is only likely."""
    return "probably " if called.is_guess else ""


def _place(opened: Opened, kind: str, each: str) -> At | None:
    if opened.studio is None:
        return None
    table = getattr(opened.studio, kind).get(each)
    return table.place if table is not None else None


# -- what it names ------------------------------------------------------------------------------------------------------------


def impossible(now: Opened, then: Opened, after: Opened, wanted: Wanted, names: Names) -> Iterator[Mistake]:
    """Why the studio with the parts put back does not compile: what they name and is no more, else the errors as they are."""
    found = list(_gone(now, then, wanted, names))
    if found:
        yield from found[:_MOST]
        return
    for number, mistake in enumerate(after.mistakes[:_UNKNOWN]):
        where = after.spot(mistake.place)
        place = f" ({where.file}:{where.line} as it would be)" if where is not None else ""
        others = len(after.mistakes) - _UNKNOWN
        more = f" And {others:,} more like it." if others > 0 and number == _UNKNOWN - 1 else ""
        text = f"With that part put back the wiring would not compile. {mistake.text}{place}{more}"
        yield Mistake(mistake.id, text, why=mistake.why, do="Return more together with it, or the whole studio.")


def _gone(now: Opened, then: Opened, wanted: Wanted, names: Names) -> Iterator[Mistake]:
    """Everything that the parts name and that is not there now, each once."""
    if then.circuit is None or now.circuit is None:
        return
    look = _Look(now.circuit.plant, then.circuit.plant, names, wanted)
    told: set[str] = set()
    for part in _taken(then, wanted):
        for path, text in _texts(part.value, part.path):
            for what, do in look.missing(path, text):
                if what not in told:
                    told.add(what)
                    yield Mistake(
                        "back-impossible", f"{_of(part)} cannot go back alone: {what}", At(part.file, path), do=do
                    )
    yield from _dangling(now, then, wanted)


def _taken(then: Opened, wanted: Wanted) -> Iterator[Part]:
    tables = {name: table for name in then.files.texts if (table := then.table(name)) is not None}
    yield from parts(tables, wanted)
    for name in wanted.files:
        for kind, value in tables.get(name, {}).items():
            yield Part(name, (kind,), value)


def _of(part: Part) -> str:
    head = str(part.path[0])
    if len(part.path) == 1:
        return f"The file {part.file}"
    return f"The {head} `{part.path[1]}`" if head in KINDS else f"This {head}"


def _texts(value: object, path: Path) -> Iterator[tuple[Path, str]]:
    """Every text in a table, with the way to it."""
    if isinstance(value, str):
        yield path, value
    elif isinstance(value, dict):
        for key, below in value.items():
            if key not in ("title", "notes", "group", "because", "label_top", "label_bottom", "reserved"):
                yield from _texts(below, (*path, key))
    elif isinstance(value, list):
        for index, below in enumerate(value):
            yield from _texts(below, (*path, index))


class _Look:
    """Looks names of the earlier revision up in the studio as it is now."""

    def __init__(self, now: Plant, then: Plant, names: Names, wanted: Wanted) -> None:
        self._now = now
        self._then = then
        self._names = names
        self._back = {*wanted.units, *wanted.bays}
        self._setups = set(wanted.setups)

    def missing(self, path: Path, text: str) -> Iterator[tuple[str, str]]:
        """(what is missing, what to do) for each name in a text that is not there any more."""
        head, slash, rest = text.partition("/")
        key = next((step for step in reversed(path) if isinstance(step, str)), "")
        if slash and head not in self._back:
            yield from self._place(head, rest)
        elif not slash and key in _IDS:
            yield from self._table(_IDS[key], text)

    def _place(self, head: str, rest: str) -> Iterator[tuple[str, str]]:
        kind = "unit" if head in self._then.units else "bay"
        if head not in self._then.units and head not in self._then.bays:
            return
        title = (self._then.units.get(head) or self._then.bays[head]).title
        new = self._names.now(kind, head)
        if new is not None:
            do = f"Return it together with it, under both names: --{kind} {head} --{kind} {new.name}"
            yield f"{title} (`{head}`) has {_guessed(new)}been given another name since: `{new.name}`.", do
        elif head not in self._now.units and head not in self._now.bays:
            yield f"{title} (`{head}`) is gone since.", f"Return it together with it: --{kind} {head}"
        elif head in self._now.units:
            yield from self._ports(head, rest)
        else:
            yield from self._columns(head, rest)

    def _ports(self, head: str, rest: str) -> Iterator[tuple[str, str]]:
        unit = self._now.units[head]
        old = self._then.units.get(head)
        for name in spread((rest.partition(" ch ")[0],), At("", ()), []):
            if name in unit.kit.index or old is None or name not in old.kit.index:
                continue
            new = self._names.identity.ports.get(head, {}).get(name)
            gone = "has no such port any more" if new is None else f"calls it `{new}` now"
            do = f"Return it together with it: --unit {head}" if not unit.written.model else "Return the whole studio."
            yield f"it names `{head}/{name}`, and {unit.title} {gone}.", do
            return

    def _columns(self, head: str, rest: str) -> Iterator[tuple[str, str]]:
        bay = self._now.bays[head]
        numbers = spread_whole((rest.removeprefix("top ").removeprefix("bottom "),), At("", ()), [])
        over = [number for number in numbers if number > bay.columns]
        do = f"Return it together with it: --bay {head}"
        if over:
            has = f"{bay.title} has {bay.columns} columns now"
            yield f"it names column {over[0]} of {bay.title}, which no longer exists ({has}).", do
        elif bay.rows == 1 and rest.startswith(("top ", "bottom ")):
            yield f"it names two rows, and {bay.title} has one row now.", do

    def _table(self, kind: str, each: str) -> Iterator[tuple[str, str]]:
        if each in getattr(self._now.studio, kind) or (each in self._setups and kind == "setup"):
            return
        old = getattr(self._then.studio, kind).get(each)
        if old is None:
            return
        setup = self._names.now(kind, each) if kind == "setup" else None
        new = setup.name if setup is not None else self._names.identity.others.get((kind, each))
        gone = "is gone since" if new is None else f"has been given another name since: `{new}`"
        do = (
            f"Return it together with it: --setup {each}"
            if kind == "setup" and new is None
            else "Return the whole studio."
        )
        yield f"the {_WORDS.get(kind, kind)} `{each}` {gone}.", do


def _dangling(now: Opened, then: Opened, wanted: Wanted) -> Iterator[Mistake]:
    """What was not there then and is named by something that stays."""
    if now.circuit is None or then.circuit is None:
        return
    old, new = then.circuit.plant, now.circuit.plant
    goes = {each for each in (*wanted.units, *wanted.bays) if each not in old.units and each not in old.bays}
    naming: dict[str, dict[tuple[str, str], None]] = {}
    for file, path, head in _stays(now, wanted):
        if head in goes:
            option = f"--{path[0]} {path[1]}" if len(path) > 1 and path[0] in KINDS else ""
            naming.setdefault(head, {})[file, option] = None
    for head, found in naming.items():
        title = (new.units.get(head) or new.bays[head]).title
        files = ", ".join(dict.fromkeys(file for file, _ in found))
        said = f"{title} (`{head}`) was not there then, and is still named in {files} by what stays."
        options = list(dict.fromkeys(option for _, option in found))
        more = "" if "" in options else f"Return it together with: {' '.join(options)}"
        do = more or "Take it out there first and record that, or return more together with it."
        yield Mistake("back-impossible", said, do=do)


def _stays(now: Opened, wanted: Wanted) -> Iterator[tuple[str, Path, str]]:
    """Every unit or bay that is named by what is not asked for: (file, path, its id)."""
    tables = {name: table for name in now.files.texts if (table := now.table(name)) is not None}
    mine = {(part.file, part.path[:2]) for part in parts(tables, wanted)}
    for file, table in sorted(tables.items()):
        for path, text in _texts(table, ()):
            head, slash, _ = text.partition("/")
            if slash and (file, path[:2]) not in mine:
                yield file, path, head


# -- what compiles and is wrong all the same -------------------------------------------------------------------------------------


def wrong_together(now: Opened, then: Opened, after: Opened, wanted: Wanted) -> Iterator[Mistake]:
    """Errors that neither revision has: two things that each were right in their time and are not right together.

    A need that is not met is none: it is told among what would change.
    """
    known = {*_errors(now), *_errors(then)}
    alike: dict[tuple[str, str], list[Finding]] = {}
    more = _More(now, then, wanted)
    for finding in after.report.findings:
        if _is_error(finding) and finding.identity not in known:
            alike.setdefault((finding.rule, more.do(finding)), []).append(finding)
    for (rule, do), found in alike.items():
        others = len({finding.at for finding in found}) - 1
        like = f" {others} more like it." if others else ""
        text = f"This part does not go together with what changed since. {found[0].text}{like}"
        yield Mistake(rule, text, why=found[0].why, do=do)


class _More:
    """What else is to go back for an error to be gone: whatever it is about and was otherwise then."""

    def __init__(self, now: Opened, then: Opened, wanted: Wanted) -> None:
        self._bays = now.circuit.plant.bays.keys() if now.circuit is not None else ()
        self._sides = [
            {name: table for name in side.files.texts if (table := side.table(name))} for side in (now, then)
        ]
        self._wanted = wanted
        self._options: dict[str, str] = {}

    def do(self, finding: Finding) -> str:
        """What to do about an error."""
        options = [self._option(head) for head in dict.fromkeys(name.partition("/")[0] for name in finding.at)]
        found = " ".join(filter(None, options))
        return f"Return it together with: {found}" if found else "Return the whole studio, or more of it together."

    def _option(self, head: str) -> str:
        if head not in self._options:
            kind = "bay" if head in self._bays else "unit"
            one = Wanted(bays=(head,)) if kind == "bay" else Wanted(units=(head,))
            is_more = head not in self._wanted.of(kind) and any(differing(*(parts(side, one) for side in self._sides)))
            self._options[head] = f"--{kind} {head}" if is_more else ""
        return self._options[head]


def _errors(opened: Opened) -> Iterable[object]:
    if opened.circuit is None:
        return ()
    return [finding.identity for finding in opened.report.findings if _is_error(finding)]


def _is_error(finding: Finding) -> bool:
    return finding.severity is Severity.ERROR and not finding.rule.startswith("need-")
