"""Text of users made ready to be drawn: cleaned, in Arabic letter forms, in the order in which signs stand on paper from left to right.

The order is that of UAX #9 (`direction`), the direction that of the first letter with one; letter forms are Unicode's own
presentation forms, with the ligatures of lam and alef. What is not here: the joining of other scripts (Syriac, N'Ko, the scripts
of India), whose letters are drawn singly.
"""

import re
import unicodedata
from functools import cache
from typing import NamedTuple

from routecode.show import escape
from routecode.show.paper import direction

_RIGHT_TO_LEFT = re.compile("[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufeff\U00010800-\U00010fff\U0001e800-\U0001efff]")
_ARABIC = re.compile("[\u0600-\u06ff\u0750-\u077f]")
_MOST_MARKS = 2
"""Marks above and below one letter that are kept: more would reach the next line."""
_JOINERS = re.compile("[\u200c\u200d]")
"""They say how the letters beside them are joined, and have no glyph."""
_LAM = "\u0644"
_JOIN = "\u0640\u200d"
"""The stretched line and the joiner: letters on both sides join them."""


def cleaned(text: str) -> str:
    """A text of users on one line, composed, with control and direction signs as escapes, and not too many marks on a letter."""
    if text.isascii() and text.isprintable():
        return text
    kept: list[str] = []
    marks = 0
    for sign in unicodedata.normalize("NFC", escape.visible(text)):
        marks = marks + 1 if unicodedata.combining(sign) or unicodedata.category(sign) in ("Mn", "Me") else 0
        if marks <= _MOST_MARKS:
            kept.append(sign)
    return "".join(kept)


def drawn(text: str) -> str:
    """The signs of one cleaned line in the order in which they are drawn, from left to right; a mark follows its letter."""
    if text.isascii():
        return text
    if not _RIGHT_TO_LEFT.search(text):
        return _JOINERS.sub("", text)
    if _ARABIC.search(text):
        text = _joined(text)
    return direction.visual(_JOINERS.sub("", text))


def right_to_left(text: str) -> bool:
    """Whether a text reads from right to left: it is set flush right."""
    return direction.base_level(text) == 1


# -- Arabic letter forms ------------------------------------------------------------------------------------------------


class _Forms(NamedTuple):
    """The forms of a letter; empty where Unicode has none."""

    isolated: str
    final: str
    initial: str
    medial: str


@cache
def _forms() -> dict[str, _Forms]:
    """Letter, or lam and alef, -> its forms, from Unicode's compatibility decompositions."""
    found: dict[str, dict[str, str]] = {}
    for code in (*range(0xFB50, 0xFE00), *range(0xFE70, 0xFF00)):
        kind, *codes = unicodedata.decomposition(chr(code)).split() or [""]
        letters = "".join(chr(int(part, 16)) for part in codes)
        known = kind in ("<isolated>", "<final>", "<initial>", "<medial>")
        if known and (
            len(letters) == 1 or (len(letters) == 2 and letters[0] == _LAM and letters[1] in "\u0622\u0623\u0625\u0627")
        ):
            found.setdefault(letters, {}).setdefault(kind.strip("<>"), chr(code))
    return {letters: _Forms(*(forms.get(name, "") for name in _Forms._fields)) for letters, forms in found.items()}


def _joined(text: str) -> str:
    letters = _ligated(text)
    out = []
    for index, letter in enumerate(letters):
        forms = _forms().get(letter)
        if forms is None:
            out.append(letter)
            continue
        before = _joins_on(_neighbour(letters, index, -1)) and bool(forms.final)
        after = bool(forms.initial) and _joins_back(_neighbour(letters, index, 1))
        chosen = (forms.medial if after else forms.final) if before else (forms.initial if after else forms.isolated)
        out.append(chosen or letter)
    return "".join(out)


def _ligated(text: str) -> list[str]:
    """The letters, lam and alef as one."""
    found: list[str] = []
    for sign in text:
        if found and found[-1] == _LAM and _LAM + sign in _forms():
            found[-1] += sign
        else:
            found.append(sign)
    return found


def _neighbour(letters: list[str], index: int, step: int) -> str:
    """The next letter that way, past marks; empty at the end."""
    index += step
    while 0 <= index < len(letters) and unicodedata.category(letters[index][0]) == "Mn":
        index += step
    return letters[index] if 0 <= index < len(letters) else ""


def _joins_on(letter: str) -> bool:
    """Whether the letter after it may join it."""
    forms = _forms().get(letter)
    return (bool(letter) and letter in _JOIN) or (forms is not None and bool(forms.initial))


def _joins_back(letter: str) -> bool:
    """Whether it may join the letter before it."""
    forms = _forms().get(letter)
    return (bool(letter) and letter in _JOIN) or (forms is not None and bool(forms.final))
