"""What one revision of a studio says beside the one before it, as a plain value: numbers, one line of meaning, what it touches.

It can be kept as JSON and read back (`to_plain`, `from_plain`); what is read back is checked key by key and never trusted. Which
revisions are put beside each other is decided in `log`, what is counted in `counting`.
"""

from typing import Any

from attrs import fields, frozen

from routecode.change.difference import RESULTS, TEXT_ONLY
from routecode.ground.finding import Severity
from routecode.ground.place import Spot
from routecode.history.counting import ONLY_TEXT, count, first_of
from routecode.studio.opened import Opened
from routecode.studio.spot import spot_of

FIRST, COMPARED, BROKEN = "first", "compared", "broken"
KINDS = (FIRST, COMPARED, BROKEN)
"""first: there is nothing to compare with. compared: it has a revision before it. broken: it does not compile."""
VERSION = 1
"""Of the kept form; another one is not read."""


@frozen
class Found:
    """Findings that are new or gone: how many of each severity, and the worst few in words."""

    error: int = 0
    hazard: int = 0
    warning: int = 0
    note: int = 0
    told: tuple[str, ...] = ()

    @property
    def count(self) -> int:
        """All of them but the notes."""
        return self.error + self.hazard + self.warning


@frozen
class Entry:
    """One revision beside the one before it; names as they read after, and as they read before where they were otherwise.

    `lost`, `gained`, `rerouted`: paths (pairs of ends), each once over all states; `others`: changes of the other kinds, as
    (kind, sense or an empty text, how many). `loses`: a destination lost its source or hears another, or a need now fails.
    `said`: the sentences that matter most, worst first. `error` is the first mistake of a revision that does not compile.
    """

    kind: str
    result: str = ""
    lost: int = 0
    gained: int = 0
    rerouted: int = 0
    others: tuple[tuple[str, str, int], ...] = ()
    failing: int = 0
    met: int = 0
    new: Found = Found()
    gone: Found = Found()
    meaning: str = ""
    said: tuple[str, ...] = ()
    rooms: tuple[str, ...] = ()
    units: tuple[str, ...] = ()
    bays: tuple[str, ...] = ()
    setups: tuple[str, ...] = ()
    renamed: tuple[tuple[str, str, str], ...] = ()
    """Of rooms, units, bays and setups: (sort, how it read before, how it reads after)."""
    loses: bool = False
    only_text: bool = False
    error: tuple[str, str, int, int] | None = None
    """The sentence, the file (or an empty text), line and column."""
    errors: int = 0

    def to_plain(self) -> dict[str, Any]:
        """The entry as JSON has it."""
        plain = {field.name: _plain(getattr(self, field.name)) for field in fields(Entry)}
        return {"entry": VERSION, **plain}

    @classmethod
    def from_plain(cls, plain: object) -> "Entry | None":
        """The entry of what `to_plain` gave; None for anything else."""
        if not isinstance(plain, dict) or plain.get("entry") != VERSION or set(plain) != _KEYS:
            return None
        try:
            values = {name: _READ[name](plain[name]) for name in _READ}
        except (TypeError, ValueError, KeyError):
            return None
        return cls(**values)


def entry_of(before: Opened | None, after: Opened) -> Entry:
    """What `after` says beside `before`; None: it is the first revision, or none before it compiles.

    `before` must compile (ValueError). Where `after` does not, the entry says so.
    """
    if after.mistakes:
        return _broken(after)
    if before is None:
        return Entry(FIRST, **_read_findings(first_of(after)))
    if before.files.texts == after.files.texts:
        return SAME_TEXT
    return Entry(COMPARED, **_read_findings(count(before, after)))


def _read_findings(values: dict[str, Any]) -> dict[str, Any]:
    """The counts of findings as `Found`."""
    for name in ("new", "gone"):
        if name in values:
            counts, told = values[name]
            values[name] = Found(told=told, **{level.value: counts[level.value] for level in Severity})
    return values


def _broken(after: Opened) -> Entry:
    """A revision that does not compile."""
    mistakes = after.mistakes
    places = [spot_of(mistake, after) for mistake in mistakes[:_LOOKED]]
    first = min(range(len(places)), key=lambda index: (places[index] or Spot("", 0, 0), index))
    spot, text = places[first] or Spot("", 0, 0), mistakes[first].text
    more = len(mistakes) - 1
    where = f" ({spot.file}:{spot.line}:{spot.column})" if spot.file else ""
    rest = f" And {more:,} more error{'s' if more > 1 else ''}." if more else ""
    return Entry(
        BROKEN,
        meaning=f"Does not compile: {text}{where}{rest}",
        error=(text, spot.file, spot.line, spot.column),
        errors=len(mistakes),
    )


_LOOKED = 100
"""Mistakes of which the first in the text is looked for."""


# -- kept and read back ---------------------------------------------------------------------------------------------------


def _plain(value: Any) -> Any:
    if isinstance(value, Found):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(Found)}
    return [_plain(each) for each in value] if isinstance(value, tuple) else value


def _text(value: object) -> str:
    if type(value) is not str:
        raise TypeError
    return value


def _number(value: object) -> int:
    if type(value) is not int or value < 0:
        raise TypeError
    return value


def _flag(value: object) -> bool:
    if type(value) is not bool:
        raise TypeError
    return value


def _texts(value: object) -> tuple[str, ...]:
    return tuple(map(_text, _list(value)))


def _list(value: object) -> list[Any]:
    if type(value) is not list:
        raise TypeError
    return value


def _kind(value: object) -> str:
    return KINDS[KINDS.index(_text(value))]


def _result(value: object) -> str:
    return ("", *RESULTS)[("", *RESULTS).index(_text(value))]


def _others(value: object) -> tuple[tuple[str, str, int], ...]:
    rows = [(kind, sense, number) for kind, sense, number in map(_list, _list(value))]
    return tuple((_text(kind), _text(sense), _number(number)) for kind, sense, number in rows)


def _renamed(value: object) -> tuple[tuple[str, str, str], ...]:
    return tuple((sort, before, after) for sort, before, after in map(_texts, _list(value)))


def _found(value: object) -> Found:
    if type(value) is not dict or set(value) != {field.name for field in fields(Found)}:
        raise TypeError
    return Found(told=_texts(value["told"]), **{level.value: _number(value[level.value]) for level in Severity})


def _error(value: object) -> tuple[str, str, int, int] | None:
    if value is None:
        return None
    text, file, line, column = _list(value)
    return _text(text), _text(file), _number(line), _number(column)


_READ: dict[str, Any] = {
    **dict.fromkeys(("lost", "gained", "rerouted", "failing", "met", "errors"), _number),
    **dict.fromkeys(("said", "rooms", "units", "bays", "setups"), _texts),
    **dict.fromkeys(("loses", "only_text"), _flag),
    "meaning": _text,
    "kind": _kind,
    "result": _result,
    "others": _others,
    "renamed": _renamed,
    "error": _error,
    **dict.fromkeys(("new", "gone"), _found),
}
"""How each field is read back; what it is not, raises."""
_KEYS = {"entry", *_READ}
SAME_TEXT = Entry(COMPARED, TEXT_ONLY, meaning=ONLY_TEXT, only_text=True)
"""Where not a byte of the wiring files differs: a file that is left out was touched."""
