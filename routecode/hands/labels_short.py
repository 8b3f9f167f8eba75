"""How a label is shortened where the type would become too small: a ladder of forms, each shorter, each with the rule that made it.

The rules are told on the page `labels`; a studio that wants other words says them with `label_top` and `label_bottom`.
"""

import re
import unicodedata
from collections.abc import Callable, Iterator
from typing import NamedTuple

from routecode.hands.labels import Label, joined

USUAL = {
    "amplifier": "Amp", "analogue": "Ana", "auxiliary": "Aux", "cabinet": "Cab", "channel": "Ch", "compressor": "Comp",
    "control": "Ctl", "converter": "Conv", "delay": "Dly", "digital": "Dig", "direct": "Dir", "equaliser": "EQ",
    "foldback": "Fb", "group": "Grp", "guitar": "Gtr", "headphone": "HP", "headphones": "HP", "input": "In",
    "inputs": "In", "insert": "Ins", "keyboard": "Keys", "left": "L", "limiter": "Lim", "line": "Ln", "loudspeaker": "LS",
    "main": "Mn", "master": "Mstr", "microphone": "Mic", "monitor": "Mon", "output": "Out", "outputs": "Out",
    "preamp": "Pre", "preamplifier": "Pre", "recorder": "Rec", "return": "Rtn", "reverb": "Rev", "right": "R",
    "send": "Snd", "sidechain": "SC", "speaker": "Spk", "splitter": "Spl", "stereo": "St", "synthesiser": "Syn",
    "talkback": "TB", "timecode": "TC", "track": "Trk", "turntable": "TT", "wordclock": "WC",
}  # fmt: skip
"""Words and the short forms that the trade uses for them (common practice, no source)."""

WHOLE, USUAL_RULE, VOWELS, THREE, INITIALS, CLOSE, PORT, NUMBER, CUT, BLANK = (
    "whole", "usual", "vowels", "three", "initials", "close", "port", "number", "cut", "blank",
)  # fmt: skip
RULES = {
    USUAL_RULE: "usual short forms of words",
    VOWELS: "vowels inside words of more than four letters left out",
    THREE: "three letters of each word",
    INITIALS: "the unit by its initials",
    CLOSE: "the same without blanks",
    PORT: "the port alone, without the unit",
    NUMBER: "its number alone",
    CUT: "cut, with an ellipsis",
    BLANK: "left out: not even an ellipsis fits",
}
"""Rule -> what it does, in the order in which they are tried."""

_VOWELS = frozenset("aeiou")
_WORD = re.compile(r"\S+")


class Form(NamedTuple):
    """A label in one form: what stands over the tails (`stem`), and whether the tail follows without a blank."""

    rule: str
    stem: str
    close: bool = False

    def text(self, span: str) -> str:
        """All of it in one line."""
        return f"{self.stem}{span}" if self.close else joined(self.stem, span)


def forms(label: Label, group: str = "") -> Iterator[Form]:
    """The forms of a label, each shorter than those before it. What the title of its group says is never repeated."""
    named = bool(label.tails[0]) and not label.tails[0].isdecimal()  # `left` says what it is, a number alone does not
    head, stem = _without(group, label.head, label.stem, named) if group and not label.own else (label.head, label.stem)
    seen = set()
    for form in _ladder(head, stem, bool(label.tails[0])):
        key = (form.stem, form.close)
        if key not in seen:
            seen.add(key)
            yield form


def _ladder(head: str, stem: str, tailed: bool) -> Iterator[Form]:
    yield Form(WHOLE, joined(head, stem))
    short_head, short = _usual(head), _usual(stem)
    yield Form(USUAL_RULE, joined(short_head, short))
    yield Form(VOWELS, joined(_each(short_head, _vowelless), _each(short, _vowelless)))
    yield Form(THREE, joined(_each(short_head, _three), _each(short, _three)))
    initials = _initials(head)
    if head:
        yield Form(INITIALS, joined(initials, _each(short, _three)))
    yield Form(CLOSE, (initials + _each(short, _three)).replace(" ", ""), True)
    if head and stem:
        yield Form(PORT, _each(short, _three).replace(" ", ""), True)
    if tailed:
        yield Form(NUMBER, "", True)


def _without(group: str, head: str, stem: str, named: bool) -> tuple[str, str]:
    """Head and stem without the words with which the group's title begins them; all of it where nothing would be left."""
    words, title = head.split(), group.split()
    count = 0
    while count < min(len(words), len(title)) and words[count].casefold() == title[count].casefold():
        count += 1
    if count < len(title):
        return head, stem
    rest = " ".join(words[count:])
    return (rest, stem) if rest or stem or named else (head, stem)


def _usual(text: str) -> str:
    return _WORD.sub(lambda found: USUAL.get(found[0].casefold(), found[0]), text)


def _each(text: str, shorten: Callable[[str], str]) -> str:
    return " ".join(shorten(word) for word in text.split())


def _vowelless(word: str) -> str:
    if len(word) <= 4 or not word.isalpha():
        return word
    kept = word[0] + "".join(sign for sign in word[1:] if _plain(sign) not in _VOWELS)
    return re.sub(r"(.)\1", r"\1", kept)


def _plain(sign: str) -> str:
    return unicodedata.normalize("NFD", sign)[0].casefold()


def _three(word: str) -> str:
    """The first three letters, with the marks on them."""
    if word.isdecimal():
        return word
    count = 0
    for index, sign in enumerate(word):
        if not unicodedata.combining(sign):
            count += 1
        if count > 3:
            return word[:index]
    return word


def _initials(head: str) -> str:
    """The first letter of each word, numbers whole: `Hall wall box` is HWB."""
    return "".join(word if word.isdecimal() else word[0].upper() for word in head.split())
