"""One wiring file in plain lines, for `git diff`: each fact by itself, ranges spread, so that a diff by lines says what changed.

Works on one file alone, which is no studio: nothing is resolved or checked. Lines are sorted, so a table that moves within its file changes
nothing; comments follow in the order of the file. What means something else reads otherwise: a text that could be taken for a number, or for
two texts, stands in quotes. What cannot be read as TOML comes out as it is, without what a terminal would obey.
"""

import hashlib
import json
import re
from collections.abc import Iterator
from typing import Any

from routecode.files.toml import parse
from routecode.ground.order import natural
from routecode.ground.place import At
from routecode.language.kinds import Names
from routecode.language.ranges import spread, spread_whole
from routecode.show.escape import visible

_PAIRED = ("cable", "cord", "inside", "route", "normal")
"""Tables that join two sides, one to one."""
_NOWHERE = At("", ())
_MOST = 200_000
"""Lines; a file that would give more comes out as it is."""
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_DOUBTFUL = re.compile(r"""["\\\[\]{}]|, |: | = | \(| to |\A\s|\s\Z|\A\Z""")
"""Text that would read as more than one thing."""
_NUMBERLIKE = re.compile(
    r"[+-]?(?:inf|nan|\d+(?:\.\d+)?(?:e[+-]?\d+)?)|true|false|\d\d\d\d-\d\d-\d\d.*|\d\d:\d\d.*", re.IGNORECASE
)
_TOKEN = re.compile(
    r'"""(?:\\.|[^\\])*?"""(?:"{0,2})'
    r"|'''.*?'''(?:'{0,2})"
    r'|"(?:\\.|[^"\\\n])*"'
    r"|'[^'\n]*'"
    r"|#(?P<comment>[^\n]*)",
    re.DOTALL,
)
Line = tuple[str, ...]


def plain_text(name: str, data: bytes) -> bytes:
    """The lines of a file; where it cannot be read as TOML, its own lines."""
    parsed = parse(name, data)
    if parsed.table is None:
        return _as_it_is(data)
    told: list[Line] = []
    for line in plain_lines(parsed.table):
        told.append(line)
        if len(told) > _MOST:
            return _as_it_is(data)
    lines = [": ".join(line) for line in sorted(told, key=lambda line: tuple(map(natural, line)))]
    lines += [f"#{text.rstrip()}" for text in _comments(parsed.text)]
    return _written(lines)


def plain_lines(table: dict[str, Any]) -> Iterator[Line]:
    """The facts of a parsed file, each as the parts that a colon joins; in the order of the file."""
    for kind, value in table.items():
        if kind == "studio" or not isinstance(value, dict | list):
            yield from _keys((_key(kind),), value)
        elif isinstance(value, dict):
            for name, inner in value.items():
                yield from _thing(f"{_key(kind)} {_name(name)}", inner)
        else:
            for inner in value:
                yield from _row(kind, (), inner)


def _thing(name: str, value: Any) -> Iterator[Line]:
    """A named table: its keys and the tables it owns; its name alone where it has neither."""
    if not isinstance(value, dict):
        yield (f"{name} = {_said(value)}",)
        return
    if not value:
        yield (name,)
    for key, inner in value.items():
        if isinstance(inner, list) and inner and all(isinstance(each, dict) for each in inner):
            for each in inner:
                yield from _row(key, (name,), each)
        else:
            yield from _keys((name, _key(key)), inner)


def _keys(ahead: Line, value: Any) -> Iterator[Line]:
    if isinstance(value, dict):
        if not value:
            yield ahead
        for key, inner in value.items():
            yield (*ahead, f"{_key(key)} = {_said(inner)}")
    else:
        yield (*ahead[:-1], f"{ahead[-1]} = {_said(value)}")


# -- tables of an array --------------------------------------------------------------------------------------------------


def _row(kind: str, owner: Line, table: Any) -> Iterator[Line]:
    """One of them: a line for each thing that its ranges stand for."""
    if not isinstance(table, dict):
        yield (*owner, f"{_key(kind)} = {_said(table)}")
    elif kind == "column" and (numbers := _numbers(table.get("at"))):
        yield from _columns(owner, numbers, table)
    elif kind in _PAIRED and (rows := _pairs(table)):
        without = ("from", "to", "number")
        yield from ((*owner, f"{_key(kind)} {number}{pair}{_rest(table, without)}") for number, pair in rows)
    elif kind == "port" and (names := _names(table.get("name"))):
        yield from ((*owner, f"port {_name(name)}{_rest(table, ('name',))}") for name in names)
    else:
        yield (*owner, f"{_key(kind)}{_rest(table, ())}")


def _columns(owner: Line, numbers: tuple[int, ...], table: dict[str, Any]) -> Iterator[Line]:
    """Each key of each column on a line of its own, with its own name where the names are as many as the columns."""
    keys = [key for key in table if key != "at"]
    names = {key: _names(table[key]) for key in keys}
    for position, number in enumerate(numbers):
        ahead = (*owner, f"column {number}")
        if not keys:
            yield ahead
        for key in keys:
            own = len(numbers) > 1 and len(names[key]) == len(numbers)
            yield (*ahead, f"{_key(key)} = {_name(names[key][position]) if own else _said(table[key])}")


def _pairs(table: dict[str, Any]) -> list[tuple[str, str]]:
    """(`L101: `, `a to b`) for each pair; none where the two sides do not pair one to one here."""
    froms, tos = _names(table.get("from")), _names(table.get("to"))
    if len(froms) != len(tos) or table.get("pairing", "one-to-one") != "one-to-one":
        return []
    numbers = _names(table.get("number")) if "number" in table else ()
    if "number" in table and len(numbers) not in (1, len(froms)):
        return []
    told = [f"{_name(number)}: " for number in numbers] or [""]
    told *= len(froms) // len(told)
    pairs = zip(froms, tos, strict=True)
    return [(number, f"{_name(one)} to {_name(other)}") for number, (one, other) in zip(told, pairs, strict=True)]


def _names(value: Any) -> tuple[str, ...]:
    """The names that a text or a list of texts stands for; none where it is something else, or is no range."""
    texts: Names = tuple(value) if isinstance(value, list) else (value,)
    return spread(texts, _NOWHERE, []) if texts and all(type(text) is str for text in texts) else ()


def _numbers(value: Any) -> tuple[int, ...]:
    """The numbers of columns."""
    texts: Names = tuple(value) if isinstance(value, list) else (value,)
    return spread_whole(texts, _NOWHERE, []) if texts and all(type(text) in (str, int) for text in texts) else ()


def _rest(table: dict[str, Any], without: tuple[str, ...]) -> str:
    """The other keys in brackets, by their names, so that their order in the file does not matter."""
    said = [f"{_key(key)} = {_said(table[key])}" for key in sorted(table) if key not in without]
    return f" ({', '.join(said)})" if said else ""


# -- words ---------------------------------------------------------------------------------------------------------------


def _key(key: str) -> str:
    return key.replace("_", " ") if _BARE.fullmatch(key) else json.dumps(key, ensure_ascii=False)


def _name(text: str) -> str:
    """A name as it is; in quotes where it would read as something else."""
    return json.dumps(text, ensure_ascii=False) if _DOUBTFUL.search(text) or visible(text) != text else text


def _said(value: Any) -> str:
    if isinstance(value, str):
        return json.dumps(value) if _NUMBERLIKE.fullmatch(value) else _name(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        inner = ", ".join(f"[{_said(each)}]" if isinstance(each, list) else _said(each) for each in value)
        return inner or "[]"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{_key(key)} = {_said(inner)}" for key, inner in value.items()) + "}"
    return str(value)


def _comments(text: str) -> Iterator[str]:
    """The comments of a text that is TOML; a `#` within a text of its own is none."""
    return (found["comment"] for found in _TOKEN.finditer(text) if found["comment"] is not None)


def _as_it_is(data: bytes) -> bytes:
    """The lines of what is no TOML; of what is no text, only that it is one and which."""
    if b"\0" in data:
        return f"not text: {len(data):,} bytes, SHA-256 {hashlib.sha256(data).hexdigest()}\n".encode()
    text = data.decode("utf-8", errors="backslashreplace")
    return _written([line.removesuffix("\r") for line in text.removesuffix("\n").split("\n")] if text else [])


def _written(lines: list[str]) -> bytes:
    told = ("\t".join(map(visible, line.split("\t"))) for line in lines)
    return "".join(f"{line}\n" for line in told).encode("utf-8", errors="backslashreplace")
