"""Readers of single values: one for each kind of key. A reader gives the value as a record holds it, or what is wrong.

A reader answers with a list of `Fault` (never empty) where the value is not of its kind; no good value is a list.
Nothing is converted that was not meant: "12" is no number and true is not 1.
"""

import re
import unicodedata
from collections.abc import Callable
from datetime import date, datetime
from math import isfinite
from typing import Any, NamedTuple

from routecode.ground.nearest import did_you_mean
from routecode.ground.place import Step
from routecode.language.kinds import (
    Choice,
    Choices,
    Day,
    Ends,
    Flag,
    Id,
    Key,
    LegList,
    NameList,
    Number,
    Quantity,
    Reserved,
    Steps,
    Text,
    TextList,
    Whole,
)
from routecode.language.names import name_fault
from routecode.language.quantities import example, must_be, wrong_quantity
from routecode.language.ranges import COLUMNS, RANGES, is_column_text, read_range

LONGEST = 1_000
"""Most characters of a text of one line."""

LONGEST_NOTES = 100_000
HIGHEST = 1e12
"""No quantity of a studio is greater; it keeps arithmetic finite."""

UNBOUNDED = 1_000_000
"""An upper limit of a whole number that is only there to keep it finite."""

PORT_NAMES = ("ports",)
"""What a NameList names without its unit: such texts follow the rules of port names."""


class Fault(NamedTuple):
    """What is wrong with a value: the end of a sentence that starts with the key; `steps` lead to the element meant."""

    id: str
    says: str
    do: str = ""
    steps: tuple[Step, ...] = ()


Read = Callable[[Any], Any]


def reader(key: Key) -> Read:
    """The reader for one key."""
    build = _BUILDERS[type(key.kind)]
    read: Read = build(key.kind, key.required)
    return read


def told(value: Any) -> str:
    """What a value is, in words, with its article."""
    if type(value) is str:
        return "a text"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return f"the number {value}" if abs(value) < HIGHEST else "a number"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "an array of tables" if value and isinstance(value[0], dict) else "a list"
    return "a date" if isinstance(value, date) else "a time"


def _good(value: Any) -> bool:
    """Whether it is a printable text of one line in NFC."""
    return (
        type(value) is str
        and value.isprintable()
        and 0 < len(value) <= LONGEST
        and (value.isascii() or unicodedata.is_normalized("NFC", value))
    )


def _text_fault(value: Any, *steps: Step, lines: bool = False) -> Fault | None:
    if type(value) is not str:
        quoted = f'Put it in quotes: "{value}".' if type(value) in (int, float) else ""
        return Fault("wrong-type", f"must be a text, not {told(value)}", quoted, steps)
    if not value:
        return Fault("empty", "must not be an empty text", "Leave the key out, or write the text.", steps)
    most = LONGEST_NOTES if lines else LONGEST
    if len(value) > most:
        return Fault(
            "too-long", f"is longer than {most:,} characters", "Keep the long text in a file of its own.", steps
        )
    for char in value:
        if not char.isprintable() and not (lines and char in "\n\t"):
            name = unicodedata.name(char, "a control character").lower()
            return Fault(
                "unprintable",
                f"holds a character that cannot be seen: U+{ord(char):04X}, {name}",
                "Type it again.",
                steps,
            )
    if not unicodedata.is_normalized("NFC", value):
        says = "holds a letter made of two characters, the letter and its accent, and would match no other"
        return Fault("not-nfc", says, "Type the letter again as one character (Unicode form NFC).", steps)
    return None


def _name_text_fault(value: Any, *steps: Step) -> Fault | None:
    """As `_text_fault`, for a text that may end in a range."""
    fault = _text_fault(value, *steps)
    if fault is None and isinstance(says := read_range(value), str):
        says = f"holds `{value[:80]}`, which is not a range: {says}"
        return Fault("bad-range", says, RANGES, steps)
    return fault


def _text_reader(kind: Text, _required: bool) -> Read:
    def read(value: Any) -> Any:
        if _good(value):
            return value
        fault = _text_fault(value, lines=kind.lines)
        return value if fault is None else [fault]

    return read


def _id_reader(_kind: Id, _required: bool) -> Read:
    return _text_reader(Text(), False)


def _name_reader(kind: NameList, required: bool) -> Read:
    numbers = kind.numbers
    check = name_fault if kind.of in PORT_NAMES else None
    plain = check is None and not numbers

    def item(value: Any, *steps: Step) -> Fault | None:
        if numbers and type(value) is int:
            return None
        if numbers and type(value) is not str:
            return Fault("wrong-type", f'must be whole numbers or texts such as "1..8", not {told(value)}', "", steps)
        fault = _name_text_fault(value, *steps)
        if fault is None and numbers and not is_column_text(value):
            return Fault("bad-range", f"holds `{value[:80]}`, which is no column number", COLUMNS, steps)
        if fault is None and check is not None and (says := check(value)):
            return Fault("bad-name", says, "", steps)
        return fault

    def read(value: Any) -> Any:
        if type(value) is list:
            return _items(value, item, required)
        if numbers and type(value) is int:
            return (value,)
        if plain and _good(value) and ".." not in value:
            return (value,)
        fault = item(value)
        return (value,) if fault is None else [fault]

    return read


def _items(value: list[Any], item: Callable[..., Fault | None], required: bool) -> Any:
    """A tuple of the items, or the faults of the bad ones."""
    if not value and required:
        return [Fault("empty", "must not be an empty list", "Write at least one.")]
    faults = [fault for index, each in enumerate(value) if (fault := item(each, index)) is not None]
    return faults or tuple(value)


def _leg_reader(_kind: LegList, _required: bool) -> Read:
    def read(value: Any) -> Any:
        if type(value) is not list:
            fault = _name_text_fault(value)
            return ((value,),) if fault is None else [fault]
        if not any(type(each) is list for each in value):
            read_one = _items(value, _name_text_fault, True)
            return read_one if type(read_one) is list else (read_one,)
        return _legs(value)

    return read


def _legs(value: list[Any]) -> Any:
    """A list of lists: each inner list is one leg of a split."""
    faults: list[Fault] = []
    legs = []
    for index, each in enumerate(value):
        if type(each) is not list:
            says = "mixes texts and lists; a split is a list of lists only"
            faults.append(Fault("wrong-type", says, "Put each leg of the split into its own list.", (index,)))
            continue
        leg = _items(each, _name_text_fault, True)
        if type(leg) is list:
            faults += [fault._replace(steps=(index, *fault.steps)) for fault in leg]
        else:
            legs.append(leg)
    return faults or tuple(legs)


def _list_reader(kind: TextList, required: bool) -> Read:
    def read(value: Any) -> Any:
        if kind.one and type(value) is str:
            fault = _text_fault(value)
            return (value,) if fault is None else [fault]
        if type(value) is not list:
            return [Fault("wrong-type", f"must be a list of texts, not {told(value)}")]
        items = _items(value, _text_fault, required)
        if type(items) is tuple and len(set(items)) < len(items) and not kind.repeats:
            index = next(index for index, each in enumerate(items) if each in items[:index])
            return [Fault("repeated-name", f"names `{items[index]}` twice", "Name it once.", (index,))]
        return items

    return read


def _steps_reader(_kind: Steps, _required: bool) -> Read:
    def read(value: Any) -> Any:
        if type(value) is not list or len(value) < 2:
            says = "must be a list of two places or more: where the signal starts, then each input it must reach"
            return [Fault("wrong-type" if type(value) is not list else "out-of-range", says)]
        return _items(value, _name_text_fault, True)

    return read


def _ends_reader(_kind: Ends, required: bool) -> Read:
    return _name_reader(NameList("places"), required)


def _whole_reader(kind: Whole, _required: bool) -> Read:
    low, high = kind.low, kind.high
    bound = f"must be from {low} to {high:,}" if high < UNBOUNDED else f"must be {low} or more"

    def read(value: Any) -> Any:
        if type(value) is not int:
            return [Fault("wrong-type", f"must be a whole number, not {told(value)}", _unquoted(value))]
        if not low <= value <= high:
            return [Fault("out-of-range", bound if abs(value) > HIGHEST else f"{bound}, not {value}")]
        return value

    return read


def _number_reader(kind: Number, _required: bool) -> Read:
    bound = f"must be greater than {kind.low:g}" if kind.above else f"must be {kind.low:g} or more"

    def read(value: Any) -> Any:
        if type(value) is not float and type(value) is not int:
            return [Fault("wrong-type", f"must be a number, not {told(value)}", _unquoted(value))]
        if abs(value) > HIGHEST or not isfinite(value):
            return [Fault("out-of-range", "must be a number that a studio can have")]
        if value < kind.low or (kind.above and value == kind.low):
            return [Fault("out-of-range", f"{bound}, not {value}")]
        return float(value)

    return read


def _unquoted(value: Any) -> str:
    found = re.fullmatch(r"([0-9]{1,9}(?:\.[0-9]{1,9})?)[ ]?([A-Za-z]{0,8})", value) if type(value) is str else None
    if found is None:
        return ""
    if found[2]:
        return "Write the number alone, without quotes, in the unit that the key is in."
    return f"Write {value} without quotes."


def _flag_reader(_kind: Flag, _required: bool) -> Read:
    def read(value: Any) -> Any:
        if type(value) is bool:
            return value
        return [Fault("wrong-type", f"must be true or false, without quotes, not {told(value)}")]

    return read


def _choice_reader(kind: Choice, _required: bool) -> Read:
    words = kind.words
    listed = ", ".join(f"`{word}`" for word in words)

    def read(value: Any) -> Any:
        if type(value) is not str:
            return [Fault("wrong-type", f"must be a text, not {told(value)}", f"It is one of {listed}.")]
        if value not in words:
            do = did_you_mean(value, words)
            return [Fault("unknown-choice", f"cannot be `{value[:80]}`; it is one of {listed}", do)]
        return value

    return read


def _choices_reader(kind: Choices, required: bool) -> Read:
    texts, one = _list_reader(TextList("words", one=True), required), _choice_reader(Choice(kind.words), False)

    def read(value: Any) -> Any:
        found = texts(value)
        if type(found) is list:
            return found
        steps = ((),) if type(value) is str else tuple((index,) for index in range(len(found)))
        told = zip(steps, map(one, found), strict=True)
        return [fault._replace(steps=step) for step, word in told if type(word) is list for fault in word] or found

    return read


def _quantity_reader(kind: Quantity, _required: bool) -> Read:
    def read(value: Any) -> Any:
        if type(value) is str:
            wrong = wrong_quantity(value, kind.units)
            return value if wrong is None else [Fault("bad-quantity", *wrong)]
        return [Fault("wrong-type", f"{must_be(kind.units)}, not {told(value)}", example(kind.units))]

    return read


def _day_reader(_kind: Day, _required: bool) -> Read:
    def read(value: Any) -> Any:
        if isinstance(value, date) and not isinstance(value, datetime):
            return value
        if type(value) is str and re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
            try:
                return date.fromisoformat(value)
            except ValueError:
                return [Fault("bad-date", f"is no day of the calendar: {value}")]
        return [Fault("wrong-type", "must be a date such as 2026-03-01")]

    return read


def _reserved_reader(_kind: Reserved, _required: bool) -> Read:
    def read(value: Any) -> Any:
        if type(value) is bool or _good(value):
            return value
        if type(value) is str:
            return [_text_fault(value)]
        return [Fault("wrong-type", f"must be true, or a text that says for what, not {told(value)}")]

    return read


_BUILDERS: dict[type, Callable[[Any, bool], Read]] = {
    Text: _text_reader,
    Id: _id_reader,
    NameList: _name_reader,
    LegList: _leg_reader,
    TextList: _list_reader,
    Steps: _steps_reader,
    Ends: _ends_reader,
    Whole: _whole_reader,
    Number: _number_reader,
    Flag: _flag_reader,
    Choice: _choice_reader,
    Choices: _choices_reader,
    Quantity: _quantity_reader,
    Day: _day_reader,
    Reserved: _reserved_reader,
}
"""Every kind but `Tables`, whose records the decoder reads itself."""
