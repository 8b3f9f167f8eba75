"""TOML 1.0 from bytes to a table, with every fault as a value that has a place.

The bytes are looked at first (`hostile.py`); `rtoml` does the parsing, the standard library where it is not installed;
what a parser accepts beyond TOML 1.0 is refused afterwards, so that every machine accepts the same files: line ends and
a last comma in inline tables, `\\e` and `\\xHH`, times without seconds, numbers too large for 64 bits. Knows no wiring.
"""

import re
from collections.abc import Callable, Iterator
from functools import cache
from math import isinf
from typing import Any, NamedTuple

from routecode.files.faults import explain, explain_beyond, number_too_large
from routecode.files.hostile import DIGITS_TO_0, readable, refusal
from routecode.files.positions import Positions, offset_of
from routecode.files.scan import Path
from routecode.ground.finding import Mistake
from routecode.ground.place import Spot

_LONG_EXPONENT = (b"e000", b"E000", b"e+000", b"E+000")
"""How a number with an exponent of three digits looks when every digit is 0."""
_TIME = re.compile(r"(?<![\d:+-])\d\d:\d\d(?!:?\d)")
_NOT_CLOSED_HERE = re.compile(r"""\{(?!(?>(?:[^{}"'\n#,]++|,(?![ \t]*\})|"[^"\\\n]*+"|'[^'\n]*+')*)\})""")


class Parsed(NamedTuple):
    """A document: its table, or the first mistake. `text` is for places: no byte-order mark, `\\n` line ends."""

    table: dict[str, Any] | None
    text: str
    mistake: Mistake | None


def parse(name: str, data: bytes) -> Parsed:
    """The document `data` of the file `name`. Never raises; `table` is None exactly when there is a `mistake`."""
    text = readable(data)
    mistake = refusal(name, data, text)
    if mistake is not None:
        return Parsed(None, text, mistake)
    try:
        table = _parser()(text)
    except (KeyboardInterrupt, SystemExit):
        raise
    except BaseException as error:  # a parser in Rust panics outside Exception; whatever it says is about this file
        return Parsed(None, text, explain(name, text, str(error)))
    mistake = _beyond(name, data, text, table)
    return Parsed(None if mistake else table, text, mistake)


@cache
def _parser() -> Callable[[str], dict[str, Any]]:
    """The parser of this machine; both give the same table for every document of TOML 1.0."""
    try:
        import rtoml
    except ImportError:
        import tomllib

        return tomllib.loads
    return rtoml.loads


def _beyond(name: str, data: bytes, text: str, table: dict[str, Any]) -> Mistake | None:
    """What a parser took although TOML 1.0 has no such thing. Cheap looks first: nearly no file needs the exact one."""
    has_escapes = "\\e" in text or "\\x" in text
    has_times = ":" in text and _TIME.search(text) is not None
    if has_escapes or has_times or _NOT_CLOSED_HERE.search(text):
        mistake = explain_beyond(name, text)
        if mistake is not None:
            return mistake
    zeros = data.translate(DIGITS_TO_0)
    has_other_base = b"0x" in zeros or b"0o" in zeros or b"0b" in zeros
    has_long_exponent = any(begun in zeros for begun in _LONG_EXPONENT)
    if has_other_base or has_long_exponent or b"0" * 19 in zeros:
        return next(_too_large(name, text, table, ()), None)
    return None


def _too_large(name: str, text: str, value: Any, path: Path) -> Iterator[Mistake]:
    if isinstance(value, dict):
        for key, below in value.items():
            yield from _too_large(name, text, below, (*path, key))
    elif isinstance(value, list):
        for index, below in enumerate(value):
            yield from _too_large(name, text, below, (*path, index))
    elif (isinstance(value, int) and not -(2**63) <= value < 2**63) or (isinstance(value, float) and isinf(value)):
        span = Positions(text).value(path)
        start = offset_of(text, span) if span else 0
        if span is None or not text.startswith(("inf", "+inf", "-inf"), start):  # infinity may be written, not reached
            yield number_too_large(Spot(name, *span) if span else Spot(name, 1, 1))
