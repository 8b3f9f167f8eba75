"""The first look at the bytes of a file, before any parser sees them.

Refuses what makes parsers slow or lets them fall over (size, depth, endless keys and numbers) and what TOML forbids in
any place (broken UTF-8, control characters, a bare carriage return). Every check is linear. It does not parse.
"""

import re

from routecode.files.positions import spot_of
from routecode.ground.finding import Mistake
from routecode.ground.place import Spot

MAX_BYTES = 8 * 1024 * 1024
MAX_DEPTH = 64
MAX_DOTS = 64
MAX_DIGITS = 1000

_CONTROLS = bytes(code for code in (*range(32), 127) if code not in (9, 10, 13))
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")
DIGITS_TO_0 = bytes(ord("0") if chr(code) in "0123456789_" else code for code in range(256))
_NO_BRACKETS = bytes(code for code in range(256) if chr(code) not in "[]{}")
_MANY_BRACKETS = 100_000
_QUOTED = re.compile(
    rb'"{3}(?>(?:[^"\\]++|\\.|"{1,2}(?!"))*)(?:"{3,5}|\Z)|"(?>(?:[^"\\\n]++|\\[^\n])*)(?:"|(?=\n)|\Z|\\)'
    rb"|'{3}(?>(?:[^']++|'{1,2}(?!'))*)(?:'{3,5}|\Z)|'[^'\n]*+(?:'|(?=\n)|\Z)|#[^\n]*+",
    re.DOTALL,
)
_BRACKET = re.compile(rb"[\[\]{}]")
_NOT_DOTTED = re.compile(rb"[^\w.\- \t]+")
_MANY_DOTS = re.compile(rb"\.(?:[^.\n]*+\.){%d}" % MAX_DOTS)
_OTHER_KINDS = {
    b"PK\x03\x04": "a zip archive or an office document",
    b"\xd0\xcf\x11\xe0": "an office document",
    b"%PDF-": "a PDF",
}
_MARKS = {b"\xff\xfe": "UTF-16", b"\xfe\xff": "UTF-16"}


def readable(data: bytes) -> str:
    """The bytes as text for showing lines: no byte-order mark, `\\n` for every line end, unreadable bytes replaced."""
    text = data.decode("utf-8", errors="replace")
    return text.removeprefix("\ufeff").replace("\r\n", "\n")


def refusal(name: str, data: bytes, text: str) -> Mistake | None:
    """Why this file is not handed to the parser, or None. `text` is `readable(data)`, for the places."""
    if len(data) > MAX_BYTES:
        return Mistake(
            "file-too-large",
            f"This file has {len(data) / 1048576:.1f} MB; at most {MAX_BYTES // 1048576} MB are read.",
            Spot(name, 1, 1),
            do="Split it, or leave it out with skip in the [studio] table.",
        )
    return _refused_encoding(name, data, text) or _refused_characters(name, data, text) or _refused_size(name, data)


def _refused_encoding(name: str, data: bytes, text: str) -> Mistake | None:
    for beginning, kind in _OTHER_KINDS.items():
        if data.startswith(beginning):
            said = f"This is {kind}, not a text."
            do = "Save what is in it as text, or give the file another ending than .toml."
            return Mistake("not-text", said, Spot(name, 1, 1), do=do)
    if data[:2] in _MARKS:
        return Mistake(
            "not-utf8",
            "This file is saved as UTF-16, and TOML is always UTF-8.",
            Spot(name, 1, 1),
            do='Save it again with the encoding "UTF-8".',
        )
    if data.isascii():
        return None
    if text.startswith("\ufeff"):
        said = "This file begins with two byte-order marks."
        return Mistake("byte-order-mark", said, Spot(name, 1, 1), do='Save it again with the encoding "UTF-8".')
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as error:
        byte = data[error.start]
        before = readable(data[: error.start])
        guess = data[error.start : error.start + 1].decode("cp1252", errors="replace")
        return Mistake(
            "not-utf8",
            f"Here stands a byte (0x{byte:02X}) that is not UTF-8.",
            Spot(name, *spot_of(before, len(before), len(before) + 1)),
            why=f'In the older encoding Windows-1252 it is "{guess}".'
            if guess.isprintable() and guess != "\ufffd"
            else "",
            do='Save the file again with the encoding "UTF-8".',
        )
    return None


def _refused_characters(name: str, data: bytes, text: str) -> Mistake | None:
    if len(data.translate(None, _CONTROLS)) != len(data):
        match = _CONTROL.search(text)
        start = match.start() if match else 0
        return Mistake(
            "control-character",
            f"Here stands a control character (U+{ord(text[start]):04X}) that cannot be seen.",
            Spot(name, *spot_of(text, start, start + 1)),
            why="TOML forbids it, in texts and comments too.",
            do="Delete it, or write it as an escape inside double quotes, like \\u001B.",
        )
    if b"\r" in data and "\r" in text:
        start = text.index("\r")
        return Mistake(
            "bare-carriage-return",
            "Here stands a carriage return without a line feed.",
            Spot(name, *spot_of(text, start, start + 1)),
            do="Save the file with line ends LF (Unix) or CRLF (Windows).",
        )
    return None


def _refused_size(name: str, data: bytes) -> Mistake | None:
    has_long_number = b"0" * (MAX_DIGITS + 1) in data.translate(DIGITS_TO_0)
    has_many_dots = data.count(b".") > MAX_DOTS and _MANY_DOTS.search(data) is not None
    is_maybe_deep = _maybe_deep(data)
    if not (has_long_number or has_many_dots or is_maybe_deep):
        return None
    bare = _QUOTED.sub(_same_length, data)
    if has_long_number:
        start = bare.translate(DIGITS_TO_0).find(b"0" * (MAX_DIGITS + 1))
        if start >= 0:
            said = f"This number has more than {MAX_DIGITS} digits."
            return _too_much("number-too-long", said, "Write a shorter number, or put it in quotes.", name, data, start)
    if has_many_dots:
        start = _long_key(bare)
        if start >= 0:
            said = f"This key has more than {MAX_DOTS} parts."
            return _too_much("key-too-long", said, "Use tables with headers.", name, data, start)
    start = _too_deep(bare)
    if start >= 0:
        said = f"More than {MAX_DEPTH} brackets are open here, one inside the other."
        return _too_much("too-deep", said, "Close the arrays and tables that are open.", name, data, start)
    return None


def _maybe_deep(data: bytes) -> bool:
    """Whether brackets may be open more than MAX_DEPTH deep: pairs are taken out from the inside, those in texts too."""
    left = data.translate(None, _NO_BRACKETS)
    if len(left) > _MANY_BRACKETS:
        return True
    for rounds in range(MAX_DEPTH):
        fewer = left.replace(b"[]", b"").replace(b"{}", b"")
        if len(fewer) == len(left):
            return rounds + len(left) > MAX_DEPTH - 2
        left = fewer
    return True


def _too_much(kind: str, said: str, do: str, name: str, data: bytes, start: int) -> Mistake:
    before = readable(data[:start])
    return Mistake(kind, said, Spot(name, *spot_of(before, len(before), len(before))), do=do)


def _same_length(match: re.Match[bytes]) -> bytes:
    """A stand-in for a text or comment that has no digits, dots or brackets; line ends stay."""
    quoted = match.group()
    return b"\n".join(b"q" * len(line) for line in quoted.split(b"\n"))


def _long_key(bare: bytes) -> int:
    """The offset of the first line with a key of too many parts, else -1. Numbers in an array do not count."""
    start = 0
    for line in bare.split(b"\n"):
        if line.count(b".") > MAX_DOTS and max(piece.count(b".") for piece in _NOT_DOTTED.split(line)) > MAX_DOTS:
            return start
        start += len(line) + 1
    return -1


def _too_deep(bare: bytes) -> int:
    """The offset of the first bracket that goes too deep, else -1."""
    depth = 0
    for match in _BRACKET.finditer(bare):
        depth = depth + 1 if match.group() in b"[{" else max(depth - 1, 0)
        if depth > MAX_DEPTH:
            return match.start()
    return -1
