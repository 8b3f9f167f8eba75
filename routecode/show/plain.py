"""One wiring file in plain lines, for `git diff`: each statement by itself, ranges spread, so that a diff by lines says what changed.

Works on one file alone, which is no studio: nothing is resolved or checked. Lines are sorted, so a table that moves within the file
changes nothing. A text that is no TOML comes out as it is.
"""

from collections.abc import Iterator
from typing import Any

from routecode.files.toml import parse
from routecode.ground.order import natural
from routecode.ground.place import At
from routecode.language.ranges import spread
from routecode.show.escape import visible

_PAIRED = {
    "cable": ("number", "from", "to"),
    "cord": ("from", "to"),
    "inside": ("from", "to"),
    "route": ("from", "to"),
    "normal": ("from", "to"),
}
_COLUMN = ("top", "bottom", "label_top", "label_bottom")
_NOWHERE = At("", ())
_MOST = 200_000
"""Lines; a file that would give more comes out as it is."""


def plain_text(name: str, data: bytes) -> bytes:
    """The lines of a file, or its own bytes where it cannot be read."""
    table = parse(name, data).table
    if table is None:
        return data
    lines: list[str] = []
    for line in _top(table):
        lines.append(line)
        if len(lines) > _MOST:
            return data
    told = sorted(lines, key=natural)
    return "".join(f"{visible(line)}\n" for line in told).encode("utf-8", errors="backslashreplace")


def _top(table: dict[str, Any]) -> Iterator[str]:
    for kind, value in table.items():
        if kind == "studio" or not isinstance(value, dict | list):
            yield from _keys(kind, value)
        elif isinstance(value, dict):
            for name, inner in value.items():
                yield from _thing(f"{kind.replace('_', ' ')} {name}", inner)
        else:
            for inner in value:
                yield from _row(kind, "", inner)


def _thing(name: str, value: Any) -> Iterator[str]:
    if not isinstance(value, dict):
        yield f"{name} = {_said(value)}"
        return
    yield name
    for key, inner in value.items():
        if isinstance(inner, list) and inner and all(isinstance(each, dict) for each in inner):
            for each in inner:
                yield from _row(key, f"{name}: ", each)
        else:
            yield from _keys(f"{name}: {key.replace('_', ' ')}", inner)


def _keys(name: str, value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield f"{name}: {key.replace('_', ' ')} = {_said(inner)}"
    else:
        yield f"{name} = {_said(value)}"


def _row(kind: str, owner: str, table: Any) -> Iterator[str]:
    """One table of an array: a line for each pair of its ranges."""
    if not isinstance(table, dict):
        yield f"{owner}{kind} = {_said(table)}"
    elif kind == "column":
        yield from _columns(owner, table)
    elif kind in _PAIRED and (rows := _pairs(kind, table)) is not None:
        rest = _rest(table, _PAIRED[kind])
        yield from (f"{owner}{kind} {row}{rest}" for row in rows)
    elif kind == "port" and (names := _names(table.get("name"))):
        yield from (f"{owner}port {name}{_rest(table, ('name',))}" for name in names)
    else:
        yield f"{owner}{kind}{_rest(table, ())}"


def _columns(owner: str, table: dict[str, Any]) -> Iterator[str]:
    numbers = _names(table.get("at")) or [_said(table.get("at"))]
    rest = _rest(table, ("at", *_COLUMN))
    said = {key: _names(table.get(key)) for key in _COLUMN}
    for position, number in enumerate(numbers):
        parts = [
            f"{key.replace('_', ' ')} {names[position] if len(names) == len(numbers) else _said(table.get(key))}"
            for key, names in said.items()
            if table.get(key) is not None
        ]
        yield f"{owner}column {number}: {', '.join(parts) or 'nothing wired'}{rest}"


def _pairs(kind: str, table: dict[str, Any]) -> list[str] | None:
    """`L101: a to b` for each pair; None where the two sides do not pair one to one here."""
    froms, tos = _names(table.get("from")), _names(table.get("to"))
    numbers = _names(table.get("number"))
    if not froms or len(froms) != len(tos):
        return None
    if len(numbers) == 1:
        numbers = numbers * len(froms)
    ahead = [f"{number}: " for number in numbers] if len(numbers) == len(froms) else [""] * len(froms)
    assert kind in _PAIRED
    return [f"{number}{one} to {other}" for number, one, other in zip(ahead, froms, tos, strict=True)]


def _names(value: Any) -> list[str]:
    """The names that a text or a list of texts stands for; none where it is something else."""
    texts = value if isinstance(value, list) else [value]
    if not texts or not all(type(text) in (str, int) for text in texts):
        return []
    return [str(name) for name in spread(tuple(texts), _NOWHERE, [])]


def _rest(table: dict[str, Any], without: tuple[str, ...]) -> str:
    said = [f"{key.replace('_', ' ')} = {_said(value)}" for key, value in table.items() if key not in without]
    return f" ({', '.join(said)})" if said else ""


def _said(value: Any) -> str:
    if isinstance(value, list):
        return (
            ", ".join(map(_said, value))
            if all(not isinstance(each, list) for each in value)
            else "; ".join(map(_said, value))
        )
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {_said(inner)}" for key, inner in value.items()) + "}"
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value)
