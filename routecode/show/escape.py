"""Text of users made fit for a terminal: no character of it can move the cursor, colour, hide or reorder anything.

Only for what people read; JSON has its own escapes (`document.py`).
"""

import re
import unicodedata

_PLAIN = re.compile(r"[ -~]*\Z")
_KEPT_JOINERS = "\u200c\u200d"
"""Written languages need these two; they change no order and hide no text."""


def visible(text: str) -> str:
    """The text on one line, with control, format and direction characters and lone surrogates as `\\x1b`, `\\u202e`."""
    if _PLAIN.match(text):
        return text
    return "".join(map(escaped, text))


def escaped(character: str) -> str:
    """One character, or the escape that stands for it."""
    category = unicodedata.category(character)
    if category not in ("Cc", "Cf", "Cs", "Zl", "Zp") or character in _KEPT_JOINERS:
        return character
    number = ord(character)
    if number < 0x100:
        return {9: "\\t", 10: "\\n", 13: "\\r"}.get(number) or f"\\x{number:02x}"
    return f"\\u{number:04x}" if number < 0x10000 else f"\\U{number:08x}"
