"""A TOML text under suspicion: lines, spots and offsets in it, and the mistakes that more than one fault can mean.

Only looks at what stands there; what was wrong is said in `fault_words.py` and `faults.py`.
"""

import re
import unicodedata

from routecode.files.positions import spot_of
from routecode.ground.finding import Mistake
from routecode.ground.place import Spot

_NUMBER_AND_UNIT = re.compile(r"([+-]?[0-9]+(?:\.[0-9]+)?)[ \t]*[A-Za-zµ°%]+")
_TRUTH = {"yes": "true", "on": "true", "no": "false", "off": "false"}
_CURLY = "“”„‟‘’‚‛«»"


class Text:
    """A text under suspicion: makes spots in it."""

    def __init__(self, name: str, text: str) -> None:
        self.name = name
        self.text = text

    def spot(self, start: int, end: int | None = None) -> Spot:
        """The stretch from one offset to another; without `end` one code point."""
        return Spot(self.name, *spot_of(self.text, start, start + 1 if end is None else end))

    def rest(self, at: int) -> str:
        """What stands from this offset to the end of the line."""
        end = self.text.find("\n", at)
        return self.text[at : end if end >= 0 else len(self.text)]

    def line_start(self, at: int) -> int:
        """The offset where the line of `at` begins."""
        return self.text.rfind("\n", 0, at) + 1

    def offset(self, line: int, column: int) -> int:
        """The offset of a line and column counted from 1, at most the end of the text."""
        start = 0
        for _ in range(line - 1):
            start = self.text.find("\n", start) + 1
            if not start:
                return len(self.text)
        return min(start + column - 1, len(self.text))

    def last_before(self, at: int) -> int:
        """The offset after the last thing before `at` that is not blank."""
        return len(self.text[:at].rstrip())

    def not_quoted(self, start: int, end: int) -> Mistake:
        """A text that stands without quotes."""
        value = self.text[start:end].strip()
        place = self.spot(start, start + len(value))
        number = _NUMBER_AND_UNIT.fullmatch(value)
        if number is not None:
            do = f'Write {number[1]} where the key says the unit, as metres does; as a text it is "{value}".'
            return Mistake("not-quoted", "A number has no unit after it, and a text stands in quotes.", place, do=do)
        truth = _TRUTH.get(value.casefold())
        if truth is not None:
            do = f'Write {truth}, or "{value}" if it is a text.'
            return Mistake("not-quoted", "Yes and no are written true and false, and a text in quotes.", place, do=do)
        do = f'Write "{value}".' if '"' not in value and "\\" not in value else "Put it in 'single quotes'."
        return Mistake("not-quoted", "A text must stand in quotes.", place, do=do)

    def sign(self, at: int) -> str:
        """The sign that stands there, in words that can be read even where the sign cannot be seen."""
        sign = self.text[at : at + 1]
        seen = sign.isprintable() and not sign.isspace() and not unicodedata.combining(sign)
        return f'"{sign}"' if seen else f"U+{ord(sign):04X} ({unicodedata.name(sign, 'unseen').lower()})"

    def curly(self, start: int, length: int) -> Mistake | None:
        """Curly quotes within the stretch, as word processors make them."""
        for at in range(start, min(start + length, len(self.text))):
            if self.text[at] in _CURLY:
                said = f"This is a curly quote ({self.text[at]}), as word processors make them."
                return Mistake("curly-quote", said, self.spot(at), do='Type a straight one: "')
        return None
