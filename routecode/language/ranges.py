"""Ranges in names: `mic 1..8` spread into eight names, and names folded into ranges. Knows no unit, bay or cable."""

import re
from collections.abc import Iterable
from typing import NamedTuple

from routecode.ground.finding import Mistake
from routecode.ground.order import natural
from routecode.ground.place import At
from routecode.language.kinds import Names

LIMIT = 10_000
"""Most names one field may stand for."""

_DIGITS = 18
_LONGEST = 1_000
_RANGE = re.compile(r"(?P<stem>.*?)(?P<first>[0-9]+)\.\.(?P<last>[0-9]+)(?: step (?P<step>[0-9]+))?", re.DOTALL)
_TWICE = re.compile(r"(?P<stem>.*[^0-9]|)(?P<first>[0-9]+) ?\.\. ?(?P<again>.*[^0-9]|)(?P<last>[0-9]+)")
_NUMBERED = re.compile(r"(.*?)([0-9]{1,18})", re.DOTALL)
RANGES = "A range is two numbers at the end of a text, as in `mic 1..8` or `mic 1..9 step 2`."
"""What to do about a text that is no range."""

COLUMNS = 'Write numbers alone, as in `at = 7`, `at = "1..8"` or `at = [1, 3, "5..8"]`.'
"""What to do about a text that is no column number."""


class Range(NamedTuple):
    """A range as written: `stem` and the numbers from `first` to `last` by `step` (negative: down), `width` wide."""

    stem: str
    first: int
    last: int
    step: int
    width: int

    @property
    def size(self) -> int:
        """How many names it stands for."""
        return (self.last - self.first) // self.step + 1

    @property
    def numbers(self) -> range:
        """The numbers, in order."""
        return range(self.first, self.last + (1 if self.step > 0 else -1), self.step)

    @property
    def names(self) -> list[str]:
        """The names, in order."""
        stem, width = self.stem, self.width
        return [f"{stem}{number:0{width}}" for number in self.numbers]


def spread(names: Names, at: At, mistakes: list[Mistake], *, down: bool = True) -> tuple[str, ...]:
    """The names a field stands for, its ranges spread and its texts joined in order.

    `at` is the place of the key. Ranges count down only where `down`. On a mistake (a bad range, more than LIMIT names,
    a name given twice) it is appended to `mistakes` and the answer is empty; nothing long is ever built.
    """
    if len(names) == 1:
        text = names[0]
        if type(text) is str and ".." not in text:
            return (text,)
    before = len(mistakes)
    parts: list[list[str]] = []
    total = 0
    for index, name in enumerate(names):
        part = _spread_one(str(name), _item(names, at, index), mistakes, down)
        total += len(part)
        if total > LIMIT:
            mistakes.append(_too_many(at))
            return ()
        parts.append(part)
    if len(mistakes) > before:
        return ()
    return tuple(_joined(names, parts, at, mistakes))


def spread_whole(names: Names, at: At, mistakes: list[Mistake]) -> tuple[int, ...]:
    """The column numbers that `at` of columns stands for: whole numbers and texts such as `1..8` or `1..9 step 2`.

    Mistakes as in `spread`; a text that is not a number or a range of numbers is one too.
    """
    if len(names) == 1 and type(names[0]) is int:
        return (names[0],)
    before = len(mistakes)
    parts: list[list[str]] = []
    total = 0
    for index, name in enumerate(names):
        part = _whole_names(name, _item(names, at, index), mistakes)
        total += len(part)
        if total > LIMIT:
            mistakes.append(_too_many(at))
            return ()
        parts.append(part)
    if len(mistakes) > before:
        return ()
    return tuple(int(number) for number in _joined(names, parts, at, mistakes))


def read_range(text: str) -> Range | str | None:
    """The range in a text; None where there is none; where `..` makes no range, one sentence that says why."""
    if ".." not in text:
        return None
    found = _RANGE.fullmatch(text)
    if found is None or ".." in found["stem"]:
        return _why_not(text)
    first, last, step = found["first"], found["last"], found["step"] or "1"
    if max(len(first), len(last), len(step)) > _DIGITS:
        return f"numbers have at most {_DIGITS} digits"
    if len(text) > _LONGEST:
        return f"a text with a range has at most {_LONGEST:,} characters"
    if int(step) == 0:
        return "a step of 0 leads nowhere; steps count from 1"
    if len(first) != len(last) and (_padded(first) or _padded(last)):
        return f"`{first}` and `{last}` start with a zero and differ in width; write both equally wide"
    width = len(first) if len(first) == len(last) else 1
    sign = 1 if int(last) >= int(first) else -1
    return Range(found["stem"], int(first), int(last), sign * int(step), width)


def is_column_text(text: str) -> bool:
    """Whether a text is a number, or a range of numbers and nothing else."""
    if text.isascii() and text.isdecimal():
        return len(text) <= _DIGITS
    found = read_range(text)
    return isinstance(found, Range) and not found.stem


def fold(names: Iterable[str]) -> list[str]:
    """Names in natural order, consecutive numbers as ranges: the inverse of `spread`, for people and for writing.

    Each name stands once; a gap always ends a range, and padding is never mixed, so spreading the answer gives exactly
    the names in natural order.
    """
    folded: list[str] = []
    run: tuple[str, str, str, int] | None = None
    for name in sorted(set(names), key=natural):
        found = _NUMBERED.fullmatch(name)
        stem, number = (found[1], found[2]) if found else (name, "")
        if run is not None and run[0] == stem and number and _follows(run, number):
            run = (stem, run[1], number, run[3] + 1)
            continue
        if run is not None:
            folded.append(_run_text(run))
        run = (stem, number, number, 1)
    if run is not None:
        folded.append(_run_text(run))
    return folded


def _follows(run: tuple[str, str, str, int], number: str) -> bool:
    _, first, last, count = run
    if not last or count >= LIMIT or int(number) != int(last) + 1:
        return False
    return len(number) == len(first) if _padded(first) else not _padded(number)


def _run_text(run: tuple[str, str, str, int]) -> str:
    stem, first, last, count = run
    return f"{stem}{first}" if count == 1 else f"{stem}{first}..{last}"


def _padded(digits: str) -> bool:
    return len(digits) > 1 and digits[0] == "0"


def _item(names: Names, at: At, index: int) -> At:
    """The place of one text of a field; a field of one text is its own place."""
    return at if len(names) == 1 else At(at.file, (*at.path, index))


def _spread_one(text: str, at: At, mistakes: list[Mistake], down: bool) -> list[str]:
    found = read_range(text)
    if found is None:
        return [text]
    if isinstance(found, str):
        mistakes.append(Mistake("bad-range", f"`{_short(text)}` is not a range: {found}.", at, do=RANGES))
    elif found.step < 0 and not down:
        upward = f"{found.stem}{found.last:0{found.width}}..{found.first:0{found.width}}"
        mistakes.append(
            Mistake(
                "bad-range",
                f"`{_short(text)}` counts down, but names are declared counting up.",
                at,
                do=f"Write `{_short(upward)}`; count down where the names are used.",
            )
        )
    elif found.size > LIMIT:
        mistakes.append(_too_many(at))
    else:
        return found.names
    return []


def _whole_names(name: str | int, at: At, mistakes: list[Mistake]) -> list[str]:
    text = str(name)
    found = read_range(text)
    if found is None and is_column_text(text):
        return [str(int(text))]
    if isinstance(found, Range) and not found.stem:
        return _spread_one(text, at, mistakes, True) and [str(number) for number in found.numbers]
    if isinstance(found, str):
        return _spread_one(text, at, mistakes, True)
    mistakes.append(Mistake("bad-range", f"`{_short(text)}` is not a column number.", at, do=COLUMNS))
    return []


def _joined(names: Names, parts: list[list[str]], at: At, mistakes: list[Mistake]) -> list[str]:
    joined = parts[0] if len(parts) == 1 else [name for part in parts for name in part]
    if len(set(joined)) == len(joined):
        return joined
    seen: dict[str, int] = {}
    for index, part in enumerate(parts):
        for name in part:
            if name in seen:
                mistakes.append(_repeat(names, name, at, seen[name], index))
                return []
            seen[name] = index
    return []


def _repeat(names: Names, name: str, at: At, first: int, second: int) -> Mistake:
    one, other = str(names[first]), str(names[second])
    text = f"`{_short(name)}` is named twice here: by `{_short(one)}` and again by `{_short(other)}`."
    also = (("named first here", _item(names, at, first)),)
    return Mistake("repeated-name", text, _item(names, at, second), do="Name it once.", also=also)


def _too_many(at: At) -> Mistake:
    return Mistake(
        "too-many-names", f"More than {LIMIT:,} names in one field.", at, do="Check the numbers of the range."
    )


def _why_not(text: str) -> str:
    twice = _TWICE.fullmatch(text) if len(text) <= _LONGEST else None
    if twice is not None and ".." not in twice["stem"]:
        stem, again = twice["stem"], twice["again"]
        if again in (stem, "") or stem.endswith(again):
            return f"write `{stem}{twice['first']}..{twice['last']}`"
    fewer = re.sub(r"\.{3,}", "..", text[:_LONGEST])
    if fewer != text and _RANGE.fullmatch(fewer):
        return f"a range has two dots; write `{fewer}`"
    if len(re.findall(r"[0-9]\.\.[0-9]", text)) > 1:
        return "one text holds one range; write a list with one range each"
    return "`..` stands only between two numbers at the end of a text"


def _short(text: str) -> str:
    return text if len(text) <= 80 else f"{text[:77]}..."
