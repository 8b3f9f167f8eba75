"""Kinds of values a key may hold. One kind gives the decoder, the JSON Schema and the words of the reference page."""

from typing import Any

from attrs import field, frozen

Names = tuple[str | int, ...]
"""Texts as written, joined in order; ranges are not spread yet. Whole numbers only where `at` allows them."""

Legs = tuple[Names, ...]
"""One leg, or several where a list of lists was given (a deliberate split)."""


@frozen
class Text:
    """Printable text of one line (`lines=True`: several)."""

    lines: bool = False
    usual: tuple[str, ...] = ()
    """Words that an editor offers; others are no less allowed."""


@frozen
class Id:
    """The id of something in a table of the studio: `Id("rack")`."""

    table: str


@frozen
class NameList:
    """A text or a list of texts, each perhaps with a range. `of` says what is named; `numbers` allows whole numbers."""

    of: str
    numbers: bool = False


@frozen
class LegList:
    """As NameList; a list of lists is a deliberate split (`Legs`)."""

    of: str


@frozen
class TextList:
    """A list of texts that are not names (globs, positions, setups)."""

    of: str
    one: bool = False
    """True: a single text is allowed for a list of one."""
    repeats: bool = False
    """True: the same text may come twice."""


@frozen
class Steps:
    """A list of places in order, each perhaps with a range: the `path` of a need."""


@frozen
class Ends:
    """The `to` of a cord: a text, or a list of texts, which is a Y-cord (then a tuple of several)."""


@frozen
class Whole:
    """A whole number between `low` and `high`, both included."""

    low: int
    high: int


@frozen
class Number:
    """A number of at least `low` (`above`: greater than it), in the unit that the key names."""

    low: float = 0.0
    above: bool = False


@frozen
class Flag:
    """true or false."""


@frozen
class Choice:
    """One of the words given."""

    words: tuple[str, ...]


@frozen
class Choices:
    """One or more of the words given: a text, or a list of texts."""

    words: tuple[str, ...]


@frozen
class Quantity:
    """A number and its unit as text where the unit changes the meaning: `"+4 dBu"`."""

    units: tuple[str, ...]


@frozen
class Day:
    """A date (TOML date, or text `2026-03-01`)."""


@frozen
class Reserved:
    """true, or a text that says for what."""


@frozen
class Tables:
    """An array of tables of the record class given."""

    record: type


Kind = (
    Text
    | Id
    | NameList
    | LegList
    | TextList
    | Steps
    | Ends
    | Whole
    | Number
    | Flag
    | Choice
    | Choices
    | Quantity
    | Day
    | Reserved
    | Tables
)


@frozen
class Key:
    """The declaration of one key: its kind, what it is for, whether it must be there, an example in TOML."""

    kind: Kind
    doc: str
    required: bool = False
    example: str = ""
    default_words: str = ""
    """What holds where the key is missing, in words, when `default` alone does not say it."""


def key(
    kind: Kind, doc: str, *, default: Any = None, required: bool = False, example: str = "", otherwise: str = ""
) -> Any:
    """Declare one key of a table: an attrs field that carries its `Key` in `metadata["key"]`."""
    return field(default=default, metadata={"key": Key(kind, doc, required, example, otherwise)})
