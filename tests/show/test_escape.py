"""No text of a user moves the cursor, colours, hides or reorders anything on a terminal."""

import sys
import unicodedata

import pytest

from routecode.show.escape import visible

BIDI = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u200e\u200f\u061c"
"""The bidirectional control characters of Unicode Standard Annex #9, table 1."""


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("North bay", "North bay"),
        ("Saal Süd, 漢字", "Saal Süd, 漢字"),
        ("\x1b[31mred", "\\x1b[31mred"),
        ("\x9b31m", "\\x9b31m"),
        ("a\tb\r\nc", "a\\tb\\r\\nc"),
        ("a\x00b\x7f", "a\\x00b\\x7f"),
        ("in\u202e1 tuo", "in\\u202e1 tuo"),
        ("zero\u200bwidth", "zero\\u200bwidth"),
        ("tag\U000e0041", "tag\\U000e0041"),
        ("lone\udcff", "lone\\udcff"),
        ("line\u2028sep", "line\\u2028sep"),
    ],
)
def test_what_is_not_plain_text_is_shown_as_an_escape(text: str, shown: str) -> None:
    assert visible(text) == shown


def test_no_control_or_direction_character_of_unicode_gets_through() -> None:
    every = "".join(map(chr, range(sys.maxunicode + 1)))
    left = {
        character for character in visible(every) if unicodedata.category(character) in ("Cc", "Cf", "Cs", "Zl", "Zp")
    }
    assert left == {"\u200c", "\u200d"}
    assert not set(BIDI) & set(visible(BIDI))
