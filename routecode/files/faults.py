"""What is wrong with a TOML text, said so that someone new to it can put it right.

Explains a text that a parser has refused (or should have). The exact scanner finds faults of structure by itself,
whatever parser was used; for single values the parser's own line and column say where to look. The words for faults of
structure are in `fault_words.py`.
"""

import re

from routecode.files.fault_words import (
    lost_array,
    lost_end,
    lost_equals,
    lost_header,
    lost_inline,
    lost_key,
    lost_value,
)
from routecode.files.scan import Again, Found, scan
from routecode.files.suspect import Text
from routecode.ground.finding import Mistake
from routecode.ground.place import Spot

_SAID_PLACE = re.compile(r"\(?at line (\d+),? column (\d+)\)?")
_CONFLICT_MARK = re.compile(r"^(?:<{7}|>{7}) .*$", re.MULTILINE)
_QUOTED_OR_COMMENT = re.compile(
    r'''"{3}(?>(?:[^"\\]++|\\.|"{1,2}(?!"))*)"{3,5}|"(?>(?:[^"\\\n]++|\\.)*)"'''
    r"""|'{3}(?>(?:[^']++|'{1,2}(?!'))*)'{3,5}|'[^'\n]*+'|#[^\n]*+""",
    re.DOTALL,
)
_NEW_ESCAPE = re.compile(r"\\(?:[^ex]|(?=[ex])(?P<new>.))", re.DOTALL)
_BAD_ESCAPE = re.compile(
    r'\\(?:[btnfr"\\]|u(?![dD][89a-fA-F])[0-9A-Fa-f]{4}|U00(?:0[0-9A-Fa-f]|10)[0-9A-Fa-f]{4}|[ \t]*\n|(?P<bad>.?))'
)
_SHORT_TIME = re.compile(r"(?<![\d:+-])\d\d:\d\d(?!:?\d)")
_DATE = re.compile(r"\d{1,4}-\d{1,2}-|\d{1,2}:\d")
_NUMBER = re.compile(r"[+-]?[\d._][\d._eE+-]*\Z")
_EXPLAIN = {
    "key": lost_key,
    "equals": lost_equals,
    "header": lost_header,
    "value": lost_value,
    "array": lost_array,
    "inline": lost_inline,
    "end": lost_end,
}


def explain(name: str, text: str, said: str) -> Mistake:
    """The first mistake of a text that a parser refused with the words `said`."""
    where = Text(name, text)
    mark = _CONFLICT_MARK.search(text)
    if mark is not None:
        return Mistake(
            "conflict-mark",
            "Here stands a mark that git leaves where two versions could not be joined.",
            where.spot(*mark.span()),
            do="Keep the lines that are right, delete the others and the marks <<<<<<<, ======= and >>>>>>>.",
        )
    found, lost = scan(text)
    at = _said_offset(where, said)
    if found.again and (lost is None or found.again[0].here[0] <= lost.at):
        return _key_twice(where, found.again[0])
    if lost is not None and (at is None or at >= lost.opened):
        return _EXPLAIN[lost.kind](where, lost)
    return _explain_value(where, found, len(text) if at is None else at, said)


def explain_beyond(name: str, text: str) -> Mistake | None:
    """The first thing in a document that is newer than TOML 1.0; None when it has no such thing."""
    where = Text(name, text)
    _, lost = scan(text)
    if lost is not None:
        return _EXPLAIN[lost.kind](where, lost)
    for quoted in _QUOTED_OR_COMMENT.finditer(text):
        if quoted.group()[0] == '"':
            for escape in _NEW_ESCAPE.finditer(quoted.group()):
                if escape["new"]:
                    return _escape_unknown(where, quoted.start() + escape.start())
    bare = _QUOTED_OR_COMMENT.sub(
        lambda quoted: "\n".join("_" * len(line) for line in quoted.group().split("\n")), text
    )
    time = _SHORT_TIME.search(bare)
    if time is None:
        return None
    return _time_without_seconds(time.group(), where.spot(*time.span()))


def _time_without_seconds(time: str, place: Spot) -> Mistake:
    said = f"The time {time} has no seconds, and TOML 1.0 asks for them."
    return Mistake("time-without-seconds", said, place, do=f"Write {time}:00.")


def number_too_large(place: Spot) -> Mistake:
    """A number beyond what 64 bits hold."""
    return Mistake(
        "number-too-large",
        "This number is too large: whole numbers go up to 9223372036854775807, others to 1.7e308.",
        place,
        do="If it is a name or a serial number, put it in double quotes.",
    )


def _said_offset(where: Text, said: str) -> int | None:
    match = _SAID_PLACE.search(said)
    return where.offset(int(match[1]), int(match[2])) if match else None


def _key_twice(where: Text, again: Again) -> Mistake:
    name = ".".join(str(step) for step in again.path if isinstance(step, str))
    return Mistake(
        "key-twice",
        f'"{name}" is given twice in this file.',
        where.spot(*again.here),
        why="TOML does not say which of the two would count.",
        do="Delete one of them, or give the second another name.",
        also=(("it stands here first", where.spot(*again.before)),),
    )


def _escape_unknown(where: Text, at: int) -> Mistake:
    shown = where.text[at : at + 2]
    return Mistake(
        "escape-unknown",
        f"In double quotes a backslash begins an escape, and {shown} is none of them.",
        where.spot(at, at + len(shown)),
        do="Write two backslashes for one, or put the text in 'single quotes'.",
    )


def _explain_value(where: Text, found: Found, at: int, said: str) -> Mistake:
    """A value (or a thing unforeseen) at the offset `at` that the parser did not like."""
    spans = [span for span in found.values.values() if span[0] <= at <= span[1]]
    span = min(spans, key=lambda span: (span[1] - span[0], -span[0]), default=None)
    value = where.text[slice(*span)] if span else ""
    if span and value.startswith('"'):
        for escape in _BAD_ESCAPE.finditer(value):
            if escape["bad"] is not None:
                return _escape_unknown(where, span[0] + escape.start())
    if span and value and value[0] not in "\"'[{":
        return _explain_bare(where, value, span)
    why = _SAID_PLACE.sub("", said).strip()
    return Mistake(
        "not-toml",
        "This cannot be read as TOML.",
        where.spot(at),
        why=f"The parser says: {why}." if why else "",
        do="Compare the line with its neighbours: key = value, texts in double quotes, [table] in brackets.",
    )


def _explain_bare(where: Text, value: str, span: tuple[int, int]) -> Mistake:
    place = where.spot(*span)
    if value.lower() in ("true", "false"):
        said, do = f"{value} is written in small letters in TOML.", f"Write {value.lower()}."
        return Mistake("true-or-false", said, place, do=do)
    if re.fullmatch(r"[+-]?0\d[\d_]*", value):
        said = f"The number {value} begins with a zero."
        do = f'Write {value.lstrip("+-0") or "0"}, or "{value}" in quotes if the zeros belong to a name.'
        return Mistake("leading-zero", said, place, do=do)
    if re.fullmatch(r"[+-]?\d+(?:\.\d+)?(?:[eE]\+?\d+)?", value):
        return number_too_large(place)
    time = _SHORT_TIME.search(value)
    if time is not None and re.fullmatch(r"(?:\d{4}-\d\d-\d\d[Tt ])?\d\d:\d\d(?:[Zz]|[+-]\d\d:\d\d)?", value):
        return _time_without_seconds(time.group(), where.spot(span[0] + time.start(), span[0] + time.end()))
    if _DATE.match(value):
        do = "Write it like 2026-03-01, or put it in double quotes if it is a text."
        return Mistake("not-a-date", f"{value} is not a date or time that exists.", place, do=do)
    if _NUMBER.match(value):
        do = "Write digits on both sides of the point, like 0.5; put it in double quotes if it is a text."
        return Mistake("not-a-number", f"{value} is not a number in TOML.", place, do=do)
    return where.not_quoted(*span)
